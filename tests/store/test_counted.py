"""The track record counts the same on SQLite and on a server, and a made practice is kept on both.

In: practices from a seed. Out: counts. Not here: what a count means (tests/track), speed (tests/bench).
"""

from __future__ import annotations

from sqlalchemy import func, select

from reasoner.records.cases import settings_of, steps_of
from reasoner.records.track import CAUSE, track_of
from reasoner.records.yard import yard_view
from reasoner.store import tables as t
from reasoner.store.opening import Store
from reasoner.store.reading import horses
from tests.asking import shipped
from tests.bench.practice import fill
from tests.bench.practice import practice as made
from tests.track.practice import GIRTH, SADDLE, practice

BOOK = shipped().book


def test_the_record_is_what_was_true_on_either(store: Store) -> None:
    truth = practice(store, 11, horses=25)
    with store.reading() as connection:
        track = track_of(steps_of(connection, BOOK), settings_of(BOOK.scales))
    for cause in (GIRTH[0], SADDLE[0]):
        tally = next(one for one in track.views[CAUSE] if one.key == cause)
        came = truth.outcomes[cause]
        assert came.total()
        assert (tally.came_true, tally.partly, tally.not_so) == (came["came true"], came["partly"], came["not"])


def test_a_made_practice_is_kept_whole(store: Store) -> None:
    visits = made(horses=5, years=1, seed=3)
    assert fill(store, visits, seed=3) == len(visits)
    with store.reading() as connection:
        known = horses(connection)
        assert len(known) == 5
        assert sum(one.visits for one in known) == len(visits)
        told = connection.execute(select(func.count()).select_from(t.done)).scalar_one()
        steps = connection.execute(select(func.count()).select_from(t.step)).scalar_one()
        assert 0 < told < steps, "of some steps nobody told"
        assert yard_view(connection, BOOK).visits == len(visits)


def test_a_seed_means_the_same_practice_and_no_two_horses_are_one() -> None:
    first, again, other = made(300, 1, 1), made(300, 1, 1), made(300, 1, 2)
    assert first == again
    assert first != other
    names = {(told.horse, told.text.splitlines()[0].partition("name: ")[2].partition(",")[0]) for told in first}
    assert len(names) == len({name for _, name in names}) == len({number for number, _ in names})
