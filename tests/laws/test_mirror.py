"""Law 1, mirror: swap left and right in the visit and every answer is swapped, bit for bit.

In: random rulebases and the shipped one, random visits. Out: failures.
Not here: rules that name a side outright; none may, and on the shipped rulebase this law finds one that does.
"""

from __future__ import annotations

import numpy as np
from hypothesis import given

from reasoner.inference.evaluate import run
from reasoner.visit.model import Visit, mirrored
from tests.chance import Chooser
from tests.laws.judged import Ready, differences, outcome, ready, shipped, swapped, swapped_values
from tests.random_visits import random_visit
from tests.strategies import Case, cases, seeds


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


def test_a_visit_with_nothing_on_it_favours_no_side() -> None:
    program = shipped().program
    result = run(program, np.full((len(program.slots), 1), np.nan))
    nothing = outcome(program, result, 0)
    assert not differences(nothing, swapped(nothing))
    assert not any(nothing["concern"].values())
    assert not result.weight.any()
