"""Law 1, mirror: swap left and right in the visit and every answer is swapped, bit for bit.

In: random rulebases and the shipped one, random visits. Out: failures.
Not here: rules that name a side outright; none may, and on the shipped rulebase this law finds one that does.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given

from reasoner.consult import Answer, judge
from reasoner.explanation.model import Chain
from reasoner.inference.evaluate import run
from reasoner.visit.model import Visit, mirrored
from reasoner.visit.reading import read_visit
from tests import asking
from tests.chance import Chooser, pick
from tests.laws.judged import OTHER, Ready, differences, outcome, ready, shipped, swapped, swapped_values
from tests.random_visits import random_visit
from tests.strategies import Case, cases, seeds

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def mirror_holds(ready: Ready, visit: Visit) -> None:
    facts, turned = ready.facts(visit), ready.facts(mirrored(visit))
    assert turned.values == swapped_values(ready, facts.values)
    found = differences(ready.judge(mirrored(visit)), swapped(ready.judge(visit)))
    assert not found, "\n".join(found)
    one, two = ready.bounds(facts.values), ready.bounds(turned.values)
    for row in (0, 1):
        found = differences(outcome(ready.program, two, row), swapped(outcome(ready.program, one, row)))
        assert not found, "\n".join(found)


@given(cases())
def test_random_rulebases(case: Case) -> None:
    book, visits, _ = case
    mirror_holds(ready(book), visits[0])


@given(seeds())
def test_the_shipped_rulebase(chooser: Chooser) -> None:
    mirror_holds(shipped(), random_visit(chooser, shipped().book))


def shown(answer: Answer, turned: bool) -> dict[str, set[object]]:
    """What the pages tell, with sides swapped back where the visit was mirrored."""
    account, plan = answer.explanation.account, answer.plan

    def at(key: str, side: str) -> tuple[str, str]:
        return key, OTHER[side] if turned else side

    def chain(one: Chain) -> object:
        return at(one.key, one.side), frozenset(at(*key) for key in one.loop), frozenset(map(chain, one.leads))

    return {
        "starting points": {chain(point) for point in account.starting_points},
        "ties": {frozenset(at(*key) for key in tie) for tie in account.ties},
        "unexplained": {at(f.where, f.side) for f in account.unexplained},
        "look at": {at(u.where, u.side) for u in account.look_at},
        "not checked": {at(u.where, u.side) for u in answer.explanation.not_checked},
        "leading": {at(*key) for key in answer.explanation.leading},
        "concerns": {(at(c.key, c.side), c.place, c.standing_stops) for c in answer.referral.concerns},
        "riding": {plan.riding.answer},
        "steps": {at(s.key, s.side) for s in plan.steps},
        "not today": {at(w.key, w.side) for w in plan.withheld},
        "tasks": {at(t.key, t.side) for t in plan.owner_tasks},
    }


def told_alike(visit: Visit) -> None:
    made = asking.shipped()
    one, two = shown(judge(visit, made), False), shown(judge(mirrored(visit), made), True)
    assert one == two, {name: one[name] ^ two[name] for name in one if one[name] != two[name]}


@given(seeds())
def test_what_is_made_of_it_is_swapped_too(chooser: Chooser) -> None:
    told_alike(random_visit(chooser, asking.shipped().book, filled=pick(chooser, [2, 5, 15, 50])))


@pytest.mark.parametrize("name", sorted(p.name for p in EXAMPLES.glob("*.yaml")))
def test_every_example_and_its_mirror_image(name: str) -> None:
    told_alike(read_visit(EXAMPLES / name, asking.shipped().book.vocabulary))


def test_a_visit_with_nothing_on_it_favours_no_side() -> None:
    program = shipped().program
    result = run(program, np.full((len(program.slots), 1), np.nan))
    nothing = outcome(program, result, 0)
    assert not differences(nothing, swapped(nothing))
    assert not any(nothing["concern"].values())
    assert not result.weight.any()
