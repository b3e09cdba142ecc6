"""What is called impossible never happens: the search for rules that cannot fire errs to one side only.

In: random rulebases and the shipped one, random visits. Out: a rule, sign or wish that held and was called impossible.
Not here: the mistakes the search is there to find (test_faults).
"""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given

from reasoner.rulecare import possible as module
from reasoner.rulecare.possible import Possible
from reasoner.visit.model import Visit
from tests.chance import Chooser
from tests.laws.judged import Ready, ready, shipped
from tests.random_visits import random_visit
from tests.strategies import Case, cases, seeds


def nothing_impossible_happened(ready: Ready, visit: Visit, possible: Possible) -> int:
    """How many rules fired; raises AssertionError where one of them, or anything else, was called impossible."""
    record = ready.record(ready.facts(visit).values)
    ground = {(rule.id, rule.side): rule for rule in ready.network.rules}
    fired = [a for a in record.applied if a.state == "fired" and a.degree > 0]
    for applied in fired:
        assert possible.fires(ground[applied.id, applied.side]), applied.id
    keys = [(entry[0], entry[1]) for entry in ready.program.meta["conclusions"]]
    for key, certainty in zip(keys, record.result.certainty[:, 0].tolist(), strict=True):
        low, high = possible.reach(key)
        assert low - 1e-9 <= certainty <= high + 1e-9, key
    literals = [sign for concern in ready.network.concerns for sign in concern.signs]
    literals += [x for action in ready.network.actions for x in (*action.wanted, *action.needs, action.wanted_literal)]
    for literal in literals:
        if record.pair(literal)[0] > 0:
            assert possible.holds(literal)
    for action in ready.network.actions:
        if record.pair(action.wanted_literal)[0] > 0 and record.pair(action.ready_literal)[0] > 0:
            assert possible.holds(action.wanted_literal, action.ready_literal), action.page
    return len(fired)


@given(cases(visits=3))
def test_on_random_rulebases(case: Case) -> None:
    book, visits, _ = case
    made = ready(book)
    possible = Possible(made.network, book)
    for visit in visits:
        nothing_impossible_happened(made, visit, possible)


@cache
def _shipped() -> Possible:
    return Possible(shipped().network, shipped().book)


@given(seeds())
def test_on_the_shipped_rulebase(chooser: Chooser) -> None:
    nothing_impossible_happened(shipped(), random_visit(chooser, shipped().book), _shipped())


def test_a_question_too_tangled_is_answered_yes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_STEPS", 0)
    assert Possible(shipped().network, shipped().book).holds(1)  # the opposite of "always true"
    monkeypatch.setattr(module, "MOST_STEPS", 20)
    assert not Possible(shipped().network, shipped().book).holds(1)
