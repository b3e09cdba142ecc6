"""What is due, the calendar, and a day's horses.

In: a few visits in a fresh store. Out: days, words, JSON by its schema, a calendar that another reader understands.
Not here: what to check next as such (tests/questions).
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import icalendar
import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.records.diary import Due, diary_of
from reasoner.rendering.diary_text import diary_lines
from reasoner.rendering.schema_files import FOLDER
from reasoner.store.opening import open_store
from reasoner.store.place import place_of
from reasoner.store.reading import KnownVisit
from reasoner.store.saving import save
from tests.asking import shipped
from tests.store.keeping import example, fresh, kept_of

SEEN = date(2026, 4, 18)
LATER = (
    "horse: {name: Bramble, born: 2017}\nvisit: 2026-05-01\nyard: Larkhope\npalpation: {loin: {left: 1, right: 1}}\n"
)
HELD = (
    "horse: {name: Fern}\nvisit: 2026-04-18\nyard: Netherfold\npalpation: {loin: {left: 1, right: 1}}\n"
    "veterinarian's word: {who: Dr Mossop, seen: 2026-04-17, about: [uneven steps], allows: [hands-on work], until: 2026-04-30}\n"
)


@pytest.fixture
def place(tmp_path: Path) -> str:
    store = fresh(tmp_path)
    for name in ("bramble", "rook", "otter"):
        save(store, example(name), by="Wren Aldous")
    store.close()
    return str(tmp_path / "practice.db")


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words), catch_exceptions=False)


def test_the_day_is_the_first_that_the_plan_asks_for(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    save(store, example("bramble"), by="Wren Aldous")
    plan = example("bramble").answer["plan"]
    asked = [s["recheck_days"] for s in plan["steps"] if s["recheck_days"] is not None]
    asked += [e["by_days"] for s in plan["steps"] for e in s["expects"]]
    with store.reading() as connection:
        (due,) = diary_of(connection)
    assert due.day == SEEN + timedelta(days=min(asked))
    assert {(a.place, a.side) for a in due.awaited} == {
        (e["place"], e["side"] or "") for s in plan["steps"] for e in s["expects"]
    }
    assert len({(a.place, a.side, a.by) for a in due.awaited}) == len(due.awaited), "the strictest of each stands alone"


def test_coming_back_answers_what_was_asked_before(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    save(store, example("bramble"), by="Wren Aldous")
    with store.reading() as connection:
        before = diary_of(connection)
    save(store, kept_of(LATER), by="Wren Aldous")
    with store.reading() as connection:
        after = diary_of(connection)
    assert len(before) == 1
    assert not after or after[0].visit.day == date(2026, 5, 1)


def test_the_end_of_a_veterinarians_word_is_due(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    save(store, kept_of(HELD), by="Wren Aldous")
    with store.reading() as connection:
        (due,) = diary_of(connection)
    assert due.word_ends == date(2026, 4, 30)
    assert due.day <= date(2026, 4, 30)


def test_until_and_overdue(place: str) -> None:
    assert "0 horses due" in run("diary", "--today", "2026-04-18", "--until", "2026-04-18", "--store", place).output
    told = run("diary", "--today", "2026-06-30", "--store", place).output
    assert "overdue)" in told
    assert told.index("Bramble") < told.index("Rook")
    assert "ask what was said" in told


def _many(folder: Path, horses: int) -> str:
    """As many horses as asked, each with the plan of one example, a visit every other day."""
    store = fresh(folder)
    kept = example("bramble")
    for number in range(horses):
        day = SEEN + timedelta(days=2 * number)
        text = kept.text.replace(b"Bramble", f"Horse {number:02}".encode()).replace(SEEN.isoformat().encode(),
                                                                                   day.isoformat().encode())  # fmt: skip
        save(store, kept_of(text), by="Wren Aldous")
    store.close()
    return str(folder / "practice.db")


def test_of_a_long_list_what_is_long_overdue_takes_a_line_each(tmp_path: Path) -> None:
    at, today = _many(tmp_path, 40), "2026-07-20"
    with open_store(place_of(at)).reading() as connection:
        dues = diary_of(connection, until=date(2026, 7, 20))
    long = [due for due in dues if (date(2026, 7, 20) - due.day).days > 28]
    assert 20 < len(long) < len(dues) == 40
    short, full = (run("diary", "--today", today, "--store", at, *more).output for more in ((), ("--full",)))
    for due in dues:
        whole = f"overdue): {due.visit.name}"
        assert whole in full
        assert (whole in short) == (due not in long)
    listed = [due for due in long if f"- {due.visit.name}" in short]
    assert listed == long[-20:], "the last missed are named"
    assert f"(and {len(long) - 20} more" in short
    told = run("day-sheet", today, "--store", at).output
    data = json.loads(run("day-sheet", today, "--store", at, "--json").output)
    assert [h["horse"] for h in data["without_a_sheet"]] == [due.visit.name for due in long]
    assert len(data["horses"]) == 40 - len(long)
    assert told.count("[ ] The first look, as told above") == sum(1 for h in data["horses"] if h["look_at"])
    everyone = json.loads(run("day-sheet", today, "--overdue", "400", "--most", "1", "--store", at, "--json").output)
    assert (len(everyone["horses"]), everyone["without_a_sheet"]) == (40, [])


def test_a_pressing_call_is_never_among_those_not_named() -> None:
    visit = KnownVisit(
        uid="", version="", horse="", name="Hazel", yard="", day=SEEN, part=1, number=1, level="prompt", examiner="",
        checked_by="", saddle="", rider="", rulebook="",
    )  # fmt: skip
    dues = [
        Due(visit=replace(visit, name=name, level=level), day=SEEN, steps=(), awaited=(), word_ends=None)
        for name, level in (("Hazel", "prompt"), *((f"Quiet {n}", "routine") for n in range(30)))
    ]
    told = [line.text for line in diary_lines(dues, SEEN + timedelta(days=60), shipped().book.vocabulary, "")]
    assert any("Hazel" in line and "a prompt call stood" in line for line in told)
    assert any(line.startswith("(and 10 more") for line in told)


def test_json_follows_the_schema(place: str) -> None:
    for words, name in ((["diary", "--today", "2026-05-02"], "diary"), (["day-sheet", "2026-05-02"], "day_sheet")):
        data = json.loads(run(*words, "--store", place, "--json").output)
        jsonschema.validate(data, json.loads((FOLDER / f"{name}.json").read_text()))
        assert data["due" if name == "diary" else "horses"]


def test_another_reader_understands_the_calendar(place: str, tmp_path: Path) -> None:
    file = tmp_path / "due.ics"
    words = ["diary", "--today", "2026-05-02", "--ics", str(file), "--store", place]
    assert run(*words).exit_code == 0
    first = file.read_bytes()
    events = list(icalendar.Calendar.from_ical(first.decode()).walk("VEVENT"))
    due = json.loads(run(*words, "--json").output)["due"]
    assert [str(e["summary"]) for e in events] == [f"{d['horse']}, {d['yard']}: look again" for d in due]
    assert [e.decoded("dtstart").isoformat() for e in events] == [d["due"] for d in due]
    assert all(len(line) <= 75 for line in first.split(b"\r\n")), "RFC 5545, 3.1: lines of at most 75 octets"
    assert file.read_bytes() == first, "written over by the same, and the same to the letter"
    file.write_text("somebody's own")
    refused = run(*words)
    assert refused.exit_code == 2
    assert file.read_text() == "somebody's own"


def test_a_day_sheet_says_what_to_ask_grade_and_look_at(place: str) -> None:
    told = run("day-sheet", "2026-05-02", "--store", place).output
    bramble = told[told.index("BRAMBLE") : told.index("ROOK")]
    assert "which of these were done" in bramble
    assert "[ ] Put a soft shim under the right bar" in bramble
    assert "Grade again" in bramble
    assert "Not looked at last time" in bramble


def test_nothing_is_planned_for_an_emergency(place: str) -> None:
    told = run("day-sheet", "2026-05-02", "--horse", "Otter", "--store", place)
    data = json.loads(run("day-sheet", "2026-05-02", "--horse", "Otter", "--store", place, "--json").output)
    if data["horses"]:
        assert data["horses"][0]["look_at"] == []
        assert "before the veterinarian has spoken" in told.output
    else:
        assert "0 horses" in told.output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["diary", "--today", "18.4.2026"], "does not match the format"),
        (["diary", "--today", "2026-05-10", "--until", "2026-04-01"], "2026-04-01 is before today"),
        (["day-sheet", "--horse", "Brambel"], 'Near: "Bramble"'),
        (["diary", "--ics", "nowhere/at/all.ics"], "no folder"),
    ],
)
def test_slips_are_told(place: str, words: list[str], said: str) -> None:
    result = run(*words, "--store", place)
    assert result.exit_code == 2
    assert said in result.stderr


def test_no_records_yet(tmp_path: Path) -> None:
    result = run("diary", "--store", str(tmp_path / "none.db"))
    assert result.exit_code == 2
    assert "ST02" in result.stderr
    assert not (tmp_path / "none.db").exists()
