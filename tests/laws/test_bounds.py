"""Law 5, bounds: weights are finite, a certainty lies between its bounds, and one more thing examined never widens them.

In: random rulebases and the shipped one, random visits. Out: failures.
Not here: what is made of the bounds (what to check next, too little to say).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from hypothesis import given

from reasoner.visit.model import Visit
from tests.chance import Chooser, pick, some
from tests.laws.judged import Ready, ready, shipped
from tests.random_visits import one_more, random_visit
from tests.strategies import Case, cases, seeds


def between_its_bounds(ready: Ready, values: Mapping[str, float]) -> None:
    now, bounds = ready.record(values).result, ready.bounds(values)
    lower, upper = bounds.certainty[:, :1], bounds.certainty[:, 1:]
    for result in (now, bounds):
        assert np.isfinite(result.certainty).all()
        assert (np.abs(result.weight) < 2**60).all()
    assert (lower <= now.certainty).all()
    assert (now.certainty <= upper).all()
    for name in ("concern", "level", "wanted"):
        low, here, high = getattr(bounds, name)[:, :1], getattr(now, name), getattr(bounds, name)[:, 1:]
        assert (low <= here).all()
        assert (here <= high).all()


def never_wider(ready: Ready, fewer: Mapping[str, float], more: Mapping[str, float]) -> None:
    before, after = ready.bounds(fewer), ready.bounds(more)
    assert (before.certainty[:, 0] <= after.certainty[:, 0]).all()
    assert (after.certainty[:, 1] <= before.certainty[:, 1]).all()
    for name in ("concern", "level"):
        low, high = getattr(before, name).T, getattr(after, name).T
        assert (low[0] <= high[0]).all()
        assert (high[1] <= low[1]).all()


def one_thing_more(ready: Ready, values: Mapping[str, float], chooser: Chooser) -> None:
    """From some of the values to all of them, one by one: what was recorded stays as it was."""
    names = sorted(name for name in values if name in ready.program.slots)
    dropped = some(chooser, names, 0, 5)
    known = {name: value for name, value in values.items() if name not in dropped}
    for name in dropped:
        more = {**known, name: values[name]}
        never_wider(ready, known, more)
        known = more


@given(cases())
def test_between_its_bounds_on_random_rulebases(case: Case) -> None:
    book, visits, _ = case
    made = ready(book)
    between_its_bounds(made, made.facts(visits[0]).values)


@given(cases())
def test_one_thing_more_on_random_rulebases(case: Case) -> None:
    book, visits, chooser = case
    made = ready(book)
    one_thing_more(made, made.facts(visits[0]).values, chooser)


def new_place_or_thing(ready: Ready, visit: Visit, chooser: Chooser) -> None:
    """A visit with one more place or thing, as it would be written, where nothing earlier is read anew."""
    more = one_more(chooser, ready.book, visit)
    before, after = ready.facts(visit).values, ready.facts(more).values
    if all(after.get(name) == value for name, value in before.items()):
        never_wider(ready, before, after)


@given(seeds())
def test_the_shipped_rulebase(chooser: Chooser) -> None:
    visit = random_visit(chooser, shipped().book, filled=pick(chooser, [3, 20, 60]))
    values = shipped().facts(visit).values
    between_its_bounds(shipped(), values)
    one_thing_more(shipped(), values, chooser)
    new_place_or_thing(shipped(), visit, chooser)


def test_nothing_recorded_leaves_everything_open_but_bounded() -> None:
    between_its_bounds(shipped(), {})
    bounds = shipped().bounds({})
    assert (bounds.certainty[:, 0] < bounds.certainty[:, 1]).all()
    assert (np.abs(bounds.certainty) < 1.0).all()
