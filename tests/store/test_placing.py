"""A visit moved or withdrawn counts where it was said, and nothing kept is changed or lost.

In: small practices on either kind of database. Out: what counts where, what went along, refusals.
Not here: the commands (tests/cli), seals (test_seals.py), ends in the middle (test_crash_placing.py).
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import select

from reasoner.problems import BadInput
from reasoner.records.before import as_it_stands, held_before, held_of
from reasoner.records.cases import settings_of, steps_of
from reasoner.records.diary import diary_of
from reasoner.records.yard import yard_view
from reasoner.store import tables as t
from reasoner.store.afterwards import (
    add_done,
    add_opinion,
    add_signature,
    done_of,
    opinions_of,
    signatures_of,
    visit_meant,
    visit_of_bytes,
)
from reasoner.store.checking import check
from reasoner.store.consents import Agreed, agree, standing
from reasoner.store.enclosing import enclose, enclosed_with
from reasoner.store.exporting import export
from reasoner.store.importing import import_
from reasoner.store.opening import Store
from reasoner.store.place import place_of
from reasoner.store.placing import bring_back, gone_from, move, new_horse_for, placings, withdraw
from reasoner.store.reading import (
    KnownHorse,
    KnownVisit,
    answer_of,
    horse_called,
    horses,
    text_of,
    visits,
    withdrawn_from,
)
from reasoner.store.saving import Saved, correct, save
from tests.asking import shipped
from tests.store.keeping import kept_of, opened
from tests.store.pictures import picture
from tests.store.practice import content, files_in

BOOK = shipped().book
TEXT = (
    "horse: {{name: {name}, born: 2015}}\nvisit: {day}\nyard: Larkhope\nexamined by: Wren Aldous\n"
    "palpation: {{loin: {{left: {loin}}}}}\n"
)
BY, WHY = "Wren Aldous", "kept under the wrong horse"


def keep(store: Store, name: str, day: str, loin: int = 4, part: int = 1) -> Saved:
    return save(store, kept_of(TEXT.format(name=name, day=day, loin=loin)), by="Wren Aldous", part=part)


def horse(store: Store, name: str) -> KnownHorse:
    with store.reading() as connection:
        return horse_called(connection, name)


def of(store: Store, name: str) -> list[KnownVisit]:
    with store.reading() as connection:
        return list(visits(connection, horse=horse_called(connection, name).uid))


@pytest.fixture
def two(store: Store) -> Store:
    """Bramble with three visits, Hazel with one; that of 2 May was Hazel's."""
    for name, day in (
        ("Bramble", "2026-04-18"),
        ("Hazel", "2026-04-20"),
        ("Bramble", "2026-05-02"),
        ("Bramble", "2026-05-16"),
    ):
        keep(store, name, day)
    return store


def test_a_moved_visit_counts_at_its_new_horse_only_and_moved_back_at_the_old_one(two: Store) -> None:
    before = content(two)
    wrong = of(two, "Bramble")[1]
    done = move(two, wrong, horse(two, "Hazel").uid, by=BY, why=WHY)
    assert (done.before.name, done.after.name, done.after.uid) == ("Bramble", "Hazel", wrong.uid)
    assert [v.day.isoformat() for v in of(two, "Bramble")] == ["2026-04-18", "2026-05-16"]
    assert [v.day.isoformat() for v in of(two, "Hazel")] == ["2026-04-20", "2026-05-02"]
    assert (horse(two, "Bramble").visits, horse(two, "Hazel").visits, horse(two, "Hazel").last) == (
        2,
        2,
        date(2026, 5, 2),
    )
    with two.reading() as connection:
        assert [(one.uid, last.who, last.why) for one, last in gone_from(connection, wrong.horse)] == [
            (wrong.uid, BY, WHY)
        ]
        late = kept_of(TEXT.format(name="Bramble", day="2026-05-20", loin=2)).visit
        assert [one.known.day.day for one in held_before(connection, late)] == [18, 16], "what earlier visits say"
        assert {due.visit.name: due.visit.day.day for due in diary_of(connection, shipped().book)}.get("Hazel", 2) == 2
        seen = {run.visit.uid: run.visit.name for run in steps_of(connection, BOOK).cases}
        assert seen.get(wrong.uid, "Hazel") == "Hazel"
        assert yard_view(connection, BOOK).visits == 4
        assert text_of(connection, wrong.version).startswith(b"horse: {name: Bramble"), "its words stay"
    after = content(two)
    assert {name for name, rows in after.items() if rows != before[name]} == {"placed", "seal"}
    assert all(row in after["seal"] for row in before["seal"]), "rows are only added"
    move(two, of(two, "Hazel")[1], wrong.horse, by="Tam Orrin", why="it was Bramble's after all")
    assert [v.day.day for v in of(two, "Bramble")] == [18, 2, 16]
    with two.reading() as connection:
        assert [(one.horse, one.who) for one in placings(connection, wrong.uid)] == [
            ("Hazel", "Wren Aldous"), ("Bramble", "Tam Orrin"),
        ]  # fmt: skip
        assert gone_from(connection, wrong.horse) == ()
    assert check(two).wrong == ()


def test_a_withdrawn_visit_counts_nowhere_is_listed_and_comes_back(two: Store) -> None:
    last = of(two, "Bramble")[-1]
    assert withdraw(two, last, by="Wren Aldous", why="a trial of the form").withdrawn
    assert [v.day.day for v in of(two, "Bramble")] == [18, 2]
    with two.reading() as connection:
        known = horse_called(connection, "Bramble")
        assert (known.visits, known.last) == (2, date(2026, 5, 2))
        assert [v.uid for v in withdrawn_from(connection, known.uid)] == [last.uid]
        ((one, word),) = gone_from(connection, known.uid)
        assert (one.uid, word.withdrawn, word.who, word.why) == (last.uid, True, "Wren Aldous", "a trial of the form")
        assert [one.known.uid for one in held_of(connection, known)] == [
            v.uid for v in visits(connection, horse=known.uid)
        ]
        assert all(due.visit.uid != last.uid for due in diary_of(connection, shipped().book))
        assert (yard_view(connection, BOOK).visits, steps_of(connection, BOOK).visits) == (3, 3)
        assert visit_of_bytes(connection, text_of(connection, last.version)) is None
        assert answer_of(connection, last.version)["conclusions"] is not None, "and stays readable"
        with pytest.raises(BadInput, match=r"ST22.*withdrawn"):
            visit_meant(connection, "Bramble", on=last.day, shown="here")
        again = visit_meant(connection, "Bramble", on=last.day, shown="here", withdrawn=True)
    bring_back(two, again, by="Tam Orrin", why="a visit after all")
    assert [v.day.day for v in of(two, "Bramble")] == [18, 2, 16]
    assert check(two).wrong == ()


def test_what_hangs_on_a_visit_goes_with_it(two: Store, tmp_path: Path) -> None:
    wrong, hazel = of(two, "Bramble")[1], horse(two, "Hazel")
    (tmp_path / "left.jpg").write_bytes(picture())
    enclose(two, wrong, [tmp_path / "left.jpg"])
    add_done(two, wrong.version, step="rest", side="", answer="done", because="", by="the owner", on=wrong.day)
    add_opinion(two, wrong.version, conclusion="x", side="", agrees=False, because="no", by="Wren Aldous")
    add_signature(two, wrong.version, by="Wren Aldous")
    for name, day in (("Ines Tallow", wrong.day), ("Ida Fenn", date(2026, 4, 18))):
        agree(
            two,
            horse(two, "Bramble"),
            Agreed(what="report may go to", given=True, who=name, on=day, until=None, note=""),
        )
    agree(two, hazel, Agreed(what="report may go to", given=True, who="Dr Mossop", on=wrong.day, until=None, note=""))
    done = move(two, wrong, hazel.uid, by=BY, why=WHY)
    assert [one.who for one in done.went] == ["Ines Tallow"]

    def agreed(uid: str) -> list[str]:
        with two.reading() as connection:
            return [one.who for one in standing(connection, uid).get(uid, ())]

    assert (agreed(wrong.horse), agreed(hazel.uid)) == (["Ida Fenn"], ["Dr Mossop", "Ines Tallow"])
    with two.reading() as connection:
        assert [one.name for one in enclosed_with(connection, two.place, wrong.uid)] == ["left.jpg"]
        assert len(done_of(connection, wrong.uid)) == len(opinions_of(connection, wrong.uid)) == 1
        assert len(signatures_of(connection, wrong.version)) == 1
    move(two, of(two, "Hazel")[1], wrong.horse, by=BY, why=WHY)
    assert (agreed(wrong.horse), agreed(hazel.uid)) == (["Ida Fenn", "Ines Tallow"], ["Dr Mossop"]), (
        "and only that comes back"
    )
    move(two, of(two, "Bramble")[1], hazel.uid, by=BY, why=WHY, consent=False)
    assert agreed(wrong.horse) == ["Ida Fenn", "Ines Tallow"]
    assert check(two).wrong == ()


def test_the_right_visit_of_the_day_can_be_kept_where_the_wrong_one_was(two: Store) -> None:
    wrong = of(two, "Bramble")[1]
    move(two, wrong, horse(two, "Hazel").uid, by=BY, why=WHY)
    again = keep(two, "Bramble", "2026-05-02")
    assert (again.new, again.since) == (False, "and moved to Hazel since"), "the same words are not kept once more"
    right = keep(two, "Bramble", "2026-05-02", loin=1)
    assert right.new
    assert [(v.day.day, v.part, v.uid == right.visit) for v in of(two, "Bramble")] == [
        (18, 1, False),
        (2, 1, True),
        (16, 1, False),
    ]
    back = move(two, of(two, "Hazel")[1], wrong.horse, by=BY, why=WHY)
    assert back.after.part == 2, "the place of the day was taken meanwhile"
    withdraw(two, back.after, by="Wren Aldous", why="kept twice")
    assert keep(two, "Bramble", "2026-05-02").since == "and withdrawn since"
    assert check(two).wrong == ()


def test_a_visit_is_moved_to_a_horse_kept_for_the_first_time_and_corrected_there(two: Store) -> None:
    wrong = of(two, "Bramble")[1]
    with two.reading() as connection:
        known = horses(connection)
    with pytest.raises(BadInput, match="ST52"):
        new_horse_for(known, "hazel", "Larkhope", "", "here")
    make = new_horse_for(known, "Otter", "Skelbeck", "2012", "here")
    after = move(two, wrong, "", make=make, by=BY, why=WHY).after
    assert (after.name, after.yard) == ("Otter", "Skelbeck")
    words = TEXT.format(name="Otter", day="2026-05-02", loin=4).replace("2015", "2012").replace("Larkhope", "Skelbeck")
    assert correct(two, wrong.uid, kept_of(words), by="Wren Aldous", why="the right name").number == 2
    with two.reading() as connection:
        (held,) = held_of(connection, horse_called(connection, "Otter"))
    assert as_it_stands(held, horse(two, "Otter")).visit == held.visit
    assert check(two).wrong == ()


def test_the_next_visit_begins_under_the_name_the_last_one_counts_at(two: Store) -> None:
    move(two, of(two, "Bramble")[1], horse(two, "Hazel").uid, by=BY, why=WHY)
    with two.reading() as connection:
        known = horse_called(connection, "Hazel")
        *_, last = held_of(connection, known)
    assert last.visit.horse_name == "Bramble"
    assert as_it_stands(last, known).visit.horse_name == "Hazel"


def test_what_cannot_be_is_refused_and_nothing_is_added(two: Store) -> None:
    wrong, before = of(two, "Bramble")[1], content(two)
    for by, why in (("", "x"), ("Wren Aldous", "  ")):
        with pytest.raises(BadInput, match="ST47"):
            withdraw(two, wrong, by=by, why=why)
    with pytest.raises(BadInput, match="ST48"):
        move(two, wrong, wrong.horse, by=BY, why=WHY)
    assert content(two) == before
    withdraw(two, wrong, by=BY, why=WHY)
    with pytest.raises(BadInput, match="ST49"):
        move(two, wrong, horse(two, "Hazel").uid, by=BY, why=WHY)
    with pytest.raises(BadInput, match="ST49"):
        withdraw(two, wrong, by=BY, why=WHY)


def test_moves_and_withdrawals_go_out_and_come_in(two: Store, tmp_path: Path) -> None:
    wrong, last = of(two, "Bramble")[1:]
    move(two, wrong, horse(two, "Hazel").uid, by=BY, why=WHY)
    withdraw(two, last, by="Wren Aldous", why="a trial")
    export(two, tmp_path / "out")
    folders = {name.split("/visit.yaml")[0] for name in files_in(tmp_path / "out") if name.endswith("visit.yaml")}
    assert "visits/Larkhope/Hazel/2026-05-02/1" in folders
    assert f"visits/Larkhope/Bramble/withdrawn/2026-05-16-{last.uid}/1" in folders
    import_(tmp_path / "out", place_of(str(tmp_path / "other.db")))
    with opened(place_of(str(tmp_path / "other.db"))) as other:
        assert content(other) == content(two)
        assert [v.uid for v in of(other, "Hazel")] == [v.uid for v in of(two, "Hazel")]
        assert check(other).wrong == ()


def test_the_track_record_follows_a_moved_visit(two: Store) -> None:
    with two.reading() as connection:
        steps = steps_of(connection, BOOK)
        assert steps.horses == 2
    for visit in of(two, "Bramble"):
        move(two, visit, horse(two, "Hazel").uid, by=BY, why=WHY)
    with two.reading() as connection:
        steps = steps_of(connection, BOOK)
        assert (steps.horses, steps.visits) == (1, 4)
        assert settings_of(BOOK.scales) is not None
        known = {one.name: one.visits for one in horses(connection)}
        assert known == {"Bramble": 0, "Hazel": 4}
        rows = connection.execute(select(t.visit)).all()
    assert len(rows) == 4
