"""`progress` and `track` call the same promise by the same word.

In: two readings of a place, by hands that waver as the rules say. Out: nothing. Not here: either by itself.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from reasoner.records.before import held_of
from reasoner.records.cases import steps_of
from reasoner.records.progress import progress_of
from reasoner.store.reading import horses
from tests.asking import shipped
from tests.records.horses import keep, tell, visit
from tests.store.keeping import fresh


def test_the_settings_of_both_are_one() -> None:
    book = shipped().book
    assert book.scales.track is not None
    assert book.scales.track.carried_out == book.measures["progress"].carried_out
    assert book.scales.track.waver == book.measures["progress"].better_or_worse.beyond


@pytest.mark.parametrize("was", [3, 4, 6])
@pytest.mark.parametrize("now", [0, 1, 2, 2.5, 3, 4, 5])
def test_one_word(was: float, now: float, tmp_path: Path) -> None:
    store, book = fresh(tmp_path), shipped().book
    tell(store, keep(store, visit("2026-04-04", f"{{left: {was}, right: 1}}")), "done")
    keep(store, visit("2026-04-20", f"{{left: {now}, right: 1}}"))
    with store.reading() as connection:
        horse = horses(connection)[0]
        found = progress_of(horse, held_of(connection, horse), book)
        cases = steps_of(connection, book.scales).cases
    due = [o for o in found.outcomes if o.expected.by <= date(2026, 4, 20) and o.carried_out]
    told = {(o.step.key, o.expected.place, o.expected.side, o.expected.to): o.came.replace("_", " ") for o in due}
    counted = {
        (one.step, promise.place, promise.side, promise.to): promise.outcome
        for one in cases for promise in one.promises if promise.outcome
    }  # fmt: skip
    shared = told.keys() & counted.keys()
    assert shared
    assert {key: told[key] for key in shared} == {key: counted[key] for key in shared}
