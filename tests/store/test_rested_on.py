"""Answers that were given with a visit which counts otherwise by now are named, with who said so and what to do.

In: visits kept one after the other, then withdrawn, moved, brought back, corrected. Out: rows, and the page of progress.
Not here: moving and withdrawing as such (test_placing.py).
"""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

from click.testing import CliRunner

from reasoner.cli import cli
from reasoner.store.held_back import Reader, read_by
from reasoner.store.opening import Store
from reasoner.store.placing import bring_back, move, withdraw
from reasoner.store.reading import horse_called, visits, withdrawn_from
from reasoner.store.rested_on import Rested, rested_on
from reasoner.store.saving import correct, save
from tests.records.horses import keep, visit
from tests.store.keeping import fresh, kept_of

FIRST, SECOND, THIRD = (visit(day, "{left: 6, right: 1}") for day in ("2026-04-04", "2026-04-20", "2026-05-04"))
TRIAL = "a trial of the form"


def rested(store: Store, horse: str = "Juniper") -> tuple[Rested, ...]:
    with store.reading() as connection:
        return rested_on(connection, horse_called(connection, horse).uid)


def told(store: Store) -> list[tuple[str, str, str]]:
    return [(one.day.isoformat(), one.of_day.isoformat(), one.what) for one in rested(store)]


def test_a_visit_withdrawn_after_later_answers_rested_on_it(store: Store) -> None:
    for text in (FIRST, SECOND, THIRD):
        keep(store, text)
    assert rested(store) == ()
    with store.reading() as connection:
        one = visits(connection)[0]
    withdraw(store, one, by="Wren Aldous", why=TRIAL)
    assert told(store) == [("2026-04-20", "2026-04-04", "withdrawn"), ("2026-05-04", "2026-04-04", "withdrawn")]
    assert {(one.who, one.why) for one in rested(store)} == {("Wren Aldous", "a trial of the form")}
    keep(store, visit("2026-05-18", "{left: 2, right: 1}"))
    assert ("2026-05-18", "2026-04-04", "withdrawn") not in told(store), "it was judged without it already"
    with store.reading() as connection:
        (gone,) = withdrawn_from(connection, one.horse)
    bring_back(store, gone, by="Wren Aldous", why=TRIAL)
    assert told(store) == [("2026-05-18", "2026-04-04", "came")], "what rested on it rests on it again"


def test_a_visit_moved_away_and_here(store: Store) -> None:
    keep(store, FIRST)
    keep(store, SECOND)
    other = keep(store, THIRD.replace("Juniper", "Teasel"))
    with store.reading() as connection:
        one, teasel = visits(connection)[0], horse_called(connection, "Teasel")
    move(store, one, teasel.uid, by="Wren Aldous", why=TRIAL)
    assert told(store) == [("2026-04-20", "2026-04-04", "moved_away")]
    (came,) = rested(store, "Teasel")
    assert (came.day.isoformat(), came.what) == ("2026-05-04", "came")
    assert other.number == 1


def test_a_visit_corrected_after_a_later_one_was_judged(store: Store) -> None:
    saved = keep(store, FIRST)
    keep(store, SECOND)
    correct(
        store, saved.visit, kept_of(FIRST + "notes: the girth was new\n"), by="Tam Orrin", why="a note was left out"
    )
    (one,) = rested(store)
    assert (one.what, one.who, one.why) == ("corrected", "Tam Orrin", "a note was left out")
    corrected = kept_of(SECOND + "notes: judged anew\n")
    with store.reading() as connection:
        second = visits(connection)[1]
    correct(store, second.uid, corrected, by="Tam Orrin", why="judged anew")
    assert rested(store) == (), "a new version is judged with what counts then"


def test_of_a_visit_that_is_held_back_nothing_is_told(store: Store) -> None:
    """Graded blind on the first day, judged past on the second, corrected on the third: who may not see it yet does not hear why
    it was corrected either."""
    blind = visit("2026-04-04", "{left: 6, right: 1}", more="graded blind beside: Tam Orrin\n")
    saved = keep(store, blind)
    keep(store, SECOND)
    correct(store, saved.visit, kept_of(blind + "notes: the girth was new\n"), by="Wren Aldous", why="it was 6, not 3")
    now, hours = datetime.now(UTC), timedelta(hours=12)
    for name, kinds in (("Ines Tallow", []), ("Wren Aldous", ["corrected"])):
        with read_by(Reader(name=name, now=now, opens_after=hours)):
            assert [one.what for one in rested(store)] == kinds, name


def test_a_visit_kept_later_is_told_as_such_and_not_here(store: Store) -> None:
    keep(store, SECOND)
    save(store, kept_of(FIRST), by="Wren Aldous")
    assert rested(store) == ()


def test_progress_says_which_and_what_to_do_and_that_way_works(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, FIRST)
    keep(store, SECOND)
    with store.reading() as connection:
        withdraw_this = visits(connection)[0]
    withdraw(store, withdraw_this, by="Wren Aldous", why=TRIAL)
    store.close()
    at = str(tmp_path / "practice.db")

    def run(*words: str) -> str:
        done = CliRunner().invoke(cli, [*words, "--store", at])
        assert done.exit_code == 0, done.output
        return done.stdout

    page = " ".join(run("progress", "Juniper").split())
    said = (
        "The answer to the visit of 20 April 2026 was given with the visit of 4 April 2026, which was withdrawn since"
    )
    assert f"{said} (said by Wren Aldous: a trial of the form)." in page
    assert 'reasoner records show "Juniper" --on 2026-04-20 --file' in page
    shown = " ".join(run("records", "show", "Juniper").split())
    assert f"EARLIER VISITS THAT COUNT OTHERWISE SINCE {said}" in shown
    assert json.loads(run("records", "show", "Juniper", "--json"))["rested_on_others"][0]["what"] == "withdrawn"
    (one,) = json.loads(run("progress", "Juniper", "--json"))["rested_on_others"]
    assert (one["visit"], one["other"], one["what"], one["by"]) == (
        "2026-04-20",
        "2026-04-04",
        "withdrawn",
        "Wren Aldous",
    )
    # The way that is told is gone to its end.
    file = tmp_path / "visit.yaml"
    file.write_text(run("records", "show", "Juniper", "--on", "2026-04-20", "--file") + "notes: judged anew\n")
    assert "girth" in run("assess", str(file))
    run("records", "correct", str(file), "--by", "Wren Aldous", "--why", "without the visit that was withdrawn")
    assert json.loads(run("progress", "Juniper", "--json"))["rested_on_others"] == []
