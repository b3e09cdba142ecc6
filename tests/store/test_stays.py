"""A horse that moved yards stands at the new one from its day on, and stood at the old one before.

In: visits and words about yards, on either kind of database. Out: yards by day, which horse a file means.
Not here: the commands (tests/cli).
"""

from __future__ import annotations

from datetime import date

import pytest

from reasoner.problems import BadInput
from reasoner.records.before import as_it_stands, held_of, horse_of, said_of
from reasoner.records.diary import diary_of
from reasoner.records.newcomers import much_like
from reasoner.records.yard import yard_view
from reasoner.store.checking import check
from reasoner.store.meant import horse_meant
from reasoner.store.opening import Store
from reasoner.store.reading import KnownHorse, horse_called, horses, visits
from reasoner.store.saving import Kept, save
from reasoner.store.stays import stands
from tests.asking import shipped
from tests.store.keeping import kept_of

TODAY = date(2026, 6, 30)


def text(day: str, yard: str = "Larkhope", name: str = "Bramble") -> Kept:
    where = f"yard: {yard}\n" if yard else ""
    return kept_of(
        f"horse: {{name: {name}, born: 2015}}\nvisit: {day}\n{where}owner: Ines Tallow\nexamined by: Wren Aldous\n"
        "palpation: {girth line: {left: 5}, loin: {left: 4}}\n"
    )


def bramble(store: Store) -> KnownHorse:
    with store.reading() as connection:
        return horse_called(connection, "Bramble")


def yards(store: Store) -> list[str]:
    with store.reading() as connection:
        return [v.yard for v in visits(connection, horse=horse_called(connection, "Bramble").uid)]


def say(store: Store, yard: str, since: date, owner: str = "") -> bool:
    return stands(
        store, bramble(store), yard=yard, owner=owner, since=since, today=TODAY, who="Wren Aldous", why="sold"
    )


def test_from_its_day_on_the_new_yard_and_before_the_old_one(store: Store) -> None:
    for day in ("2026-04-18", "2026-05-02"):
        save(store, text(day), by="Wren Aldous")
    assert say(store, "Netherfold", date(2026, 5, 1))
    assert not say(store, "netherfold", date(2026, 5, 1)), "it was so already"
    assert yards(store) == ["Larkhope", "Netherfold"]
    with store.reading() as connection:
        view = yard_view(connection, shipped().book)
        assert (view.too_few["yard"], view.horses) == (2, 1), "one horse, seen at two yards"
        assert yard_view(connection, shipped().book, since=date(2026, 5, 1)).too_few["yard"] == 1
    now = bramble(store)
    assert (now.yard, now.first, now.yards, now.owner) == (
        "Netherfold",
        "Larkhope",
        ("Larkhope", "Netherfold"),
        "Ines Tallow",
    )
    assert say(store, "", date(2026, 5, 10), owner="Ida Fenn")
    assert (bramble(store).yard, bramble(store).owner) == ("Netherfold", "Ida Fenn")
    with store.reading() as connection:
        assert {horse_called(connection, "Bramble", yard=yard).uid for yard in ("Larkhope", "Netherfold")} == {now.uid}
        assert {due.visit.yard for due in diary_of(connection, shipped().book)} <= {"Netherfold"}
        (*_, last) = held_of(connection, now)
        again = as_it_stands(last, bramble(store)).visit
        assert (again.noted_value("yard"), again.noted_value("owner")) == ("Netherfold", "Ida Fenn")
        assert horse_of(connection, text("2026-06-01", "Netherfold").visit) is not None
        assert horse_of(connection, text("2026-06-01").visit) is None, "the old yard after the move is asked about"
        assert horse_of(connection, text("2026-04-20").visit) is not None, "an old visit kept late"
    assert check(store).wrong == ()


def test_a_later_word_about_a_day_holds_and_an_earlier_day_does_not_undo_a_later_one(store: Store) -> None:
    for day in ("2026-03-18", "2026-04-18", "2026-05-18"):
        save(store, text(day), by="Wren Aldous")
    say(store, "Netherfold", date(2026, 5, 1))
    say(store, "Skelbeck", date(2026, 4, 1))
    assert yards(store) == ["Larkhope", "Skelbeck", "Netherfold"]
    say(store, "Larkhope", date(2026, 5, 1))
    assert yards(store) == ["Larkhope", "Skelbeck", "Larkhope"]


def test_the_next_visit_file_says_it(store: Store) -> None:
    save(store, text("2026-04-18"), by="Wren Aldous")
    uid, moved = bramble(store).uid, text("2026-05-02", "Netherfold")
    with store.reading() as connection:
        known = horses(connection)
        asked = much_like(known, moved.visit, horse_meant(connection, said_of(moved.visit)))
    assert asked is not None
    assert "--same-horse" in asked.hint
    save(store, moved, by="Wren Aldous", same_horse=uid)
    save(store, text("2026-05-16", "Netherfold"), by="Wren Aldous")
    assert yards(store) == ["Larkhope", "Netherfold", "Netherfold"]
    assert not save(store, moved, by="Wren Aldous").new
    assert not save(store, text("2026-04-18"), by="Wren Aldous").new
    assert len(known) == 1
    assert check(store).wrong == ()


def test_an_old_visit_kept_late_moves_nothing_that_came_after_it(store: Store) -> None:
    save(store, text("2026-05-02"), by="Wren Aldous")
    save(store, text("2026-01-10", "Skelbeck"), by="Wren Aldous", same_horse=bramble(store).uid)
    assert yards(store) == ["Skelbeck", "Larkhope"]
    assert bramble(store).yard == "Larkhope"


def test_a_file_without_a_yard_says_nothing_of_where_it_stands(store: Store) -> None:
    save(store, text("2026-04-18"), by="Wren Aldous")
    save(store, text("2026-05-02", ""), by="Wren Aldous", same_horse=bramble(store).uid)
    assert yards(store) == ["Larkhope", "Larkhope"]
    assert check(store).wrong == ()


def test_another_horse_of_the_same_name_at_the_yard_it_left(store: Store) -> None:
    save(store, text("2026-04-18"), by="Wren Aldous")
    say(store, "Netherfold", date(2026, 5, 1))
    with pytest.raises(BadInput, match=r"ST11.*has moved"):
        save(store, text("2026-05-02"), by="Wren Aldous")


@pytest.mark.parametrize(
    ("yard", "since", "who"),
    [("", date(2026, 5, 1), "Wren"), ("Netherfold", date(2027, 1, 1), "Wren"), ("X", TODAY, " ")],
)
def test_what_cannot_be_said(store: Store, yard: str, since: date, who: str) -> None:
    save(store, text("2026-04-18"), by="Wren Aldous")
    with pytest.raises(BadInput, match="ST50"):
        stands(store, bramble(store), yard=yard, owner="", since=since, today=TODAY, who=who, why="")
