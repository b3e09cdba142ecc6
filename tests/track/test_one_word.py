"""`progress` and `track` call the same promise by the same word.

In: two readings of a place, by hands that waver as the rules say. Out: nothing. Not here: either by itself.
"""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from reasoner.records.before import held_of
from reasoner.records.cases import steps_of
from reasoner.records.course import table_of
from reasoner.records.expectations import Outcome
from reasoner.records.progress import progress_of
from reasoner.store.opening import Store
from reasoner.store.reading import horses
from tests.asking import shipped
from tests.records.horses import keep, tell, visit
from tests.store.keeping import fresh


def test_the_settings_of_both_are_one() -> None:
    book = shipped().book
    assert book.scales.track is not None
    assert book.scales.track.carried_out == table_of(book).carried_out
    assert book.scales.track.in_part == table_of(book).in_part.answers
    assert book.scales.track.waver == table_of(book).better_or_worse.beyond


@pytest.mark.parametrize("was", [3, 4, 6])
@pytest.mark.parametrize("now", [0, 1, 2, 2.5, 3, 4, 5])
def test_one_word(was: float, now: float, tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, visit("2026-04-04", f"{{left: {was}, right: 1}}")), "done")
    keep(store, visit("2026-04-20", f"{{left: {now}, right: 1}}"))
    one_word(store, date(2026, 4, 20))


@pytest.mark.parametrize("after", [0, 1, 20, 41, 42, 43, 60])
@pytest.mark.parametrize("early", [None, 1, 3, 5])
@pytest.mark.parametrize("now", [1, 5])
def test_one_word_however_late_the_visit(after: int, early: int | None, now: int, tmp_path: Path) -> None:
    """The girth is expected to be down by 14 April; a visit before that day, and one `after` so many days."""
    store = fresh(tmp_path)
    tell(store, keep(store, visit("2026-04-04", "{left: 6, right: 1}")), "done")
    if early is not None:
        keep(store, visit("2026-04-09", f"{{left: {early}, right: 1}}"))
    last = date(2026, 4, 14) + timedelta(days=after)
    keep(store, visit(last.isoformat(), f"{{left: {now}, right: 1}}"))
    found = one_word(store, last)
    told = {(o.came, o.judged is None, o.days_late) for o in found if o.expected.place == "girth_line"}
    in_time = after <= table_of(shipped().book).looked_at.within_days
    if not in_time:
        assert told == ({("came_true", False, 0)} if early == 1 else {("not_examined", True, after)})
    else:
        assert told == {("came_true" if now == 1 else "not", False, after)}


def one_word(store: Store, last: date) -> list[Outcome]:
    """Hold both to one word for everything due by then; what progress says of it."""
    book = shipped().book
    with store.reading() as connection:
        horse = horses(connection)[0]
        found = progress_of(horse, held_of(connection, horse), book)
        cases = steps_of(connection, book).cases
    due = [o for o in found.outcomes if o.expected.by <= last and o.carried_out]
    told = {(o.step.key, o.expected.place, o.expected.side, o.expected.to): o.came.replace("_", " ") for o in due}
    counted = {
        (one.step, promise.place, promise.side, promise.to): promise.outcome
        for one in cases for promise in one.promises if promise.outcome
    }  # fmt: skip
    shared = told.keys() & counted.keys()
    assert shared
    assert {key: told[key] for key in shared} == {key: counted[key] for key in shared}
    return due
