"""What is due, the calendar, and a day's horses.

In: a few visits in a fresh store. Out: days, words, JSON by its schema, a calendar that another reader understands.
Not here: what to check next as such (tests/questions).
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import icalendar
import jsonschema
import pytest
from click.testing import CliRunner, Result
from icalendar.alarms import Alarms

from reasoner.cli import cli
from reasoner.records.diary import Due, diary_of
from reasoner.rendering import phrases
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

DOWN = "horse: {name: Nettle}\nvisit: 2026-04-18\nyard: Larkhope\nat first sight: {standing: down}\n"


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
        (due,) = diary_of(connection, shipped().book)
    assert due.day == SEEN + timedelta(days=min(asked))
    assert {(a.place, a.side) for a in due.awaited} == {
        (e.get("place") or e["entry"], e["side"] or "") for s in plan["steps"] for e in (*s["expects"], *s["looks_for"])
    }
    assert len({(a.place, a.side, a.by) for a in due.awaited}) == len(due.awaited), "the strictest of each stands alone"


def test_coming_back_answers_what_was_asked_before(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    save(store, example("bramble"), by="Wren Aldous")
    with store.reading() as connection:
        before = diary_of(connection, shipped().book)
    save(store, kept_of(LATER), by="Wren Aldous")
    with store.reading() as connection:
        after = diary_of(connection, shipped().book)
    assert len(before) == 1
    assert not after or after[0].visit.day == date(2026, 5, 1)


def test_the_end_of_a_veterinarians_word_is_due(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    save(store, kept_of(HELD), by="Wren Aldous")
    with store.reading() as connection:
        (due,) = diary_of(connection, shipped().book)
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
        dues = diary_of(connection, shipped().book, until=date(2026, 7, 20))
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
    assert told.count("First look, before any hand:") == sum(1 for h in data["horses"] if h["look_at"])
    assert [one["key"] for one in data["how_to"]] == list(dict.fromkeys(one["key"] for one in data["how_to"]))
    assert {one["key"] for one in data["how_to"]} == {look["key"] for h in data["horses"] for look in h["look_at"]}
    for one in data["how_to"]:
        assert " ".join(told.split()).count(one["how"]) == 1, "how a check is made is told once for all horses"
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
    words = ["diary", "--today", "2026-04-19", "--ics", str(file), "--store", place]
    assert run(*words).exit_code == 0
    first = file.read_bytes()
    events = events_of(file)
    due = [d for d in json.loads(run(*words, "--json").output)["due"] if d["due"] >= "2026-04-19"]
    ahead = [e for e in events if "overdue" not in e["summary"]]
    assert due
    asked = {"Otter": "ask what the veterinarian said"}  # an emergency plans nothing: only its answer is due
    assert [str(e["summary"]) for e in ahead] == [
        f"{d['horse']}, {d['yard']}: {asked.get(d['horse'], 'look again')}" for d in due
    ]
    assert [e.decoded("dtstart").isoformat() for e in ahead] == [d["due"] for d in due]
    for event in ahead:
        ((at, trigger),) = reminded(event)
        assert trigger < timedelta(0)
        assert at == datetime.combine(event.start - timedelta(days=1), time(18))
    assert all(len(line) <= 75 for line in first.split(b"\r\n")), "RFC 5545, 3.1: lines of at most 75 octets"
    assert file.read_bytes() == first, "written over by the same, and the same to the letter"
    file.write_text("somebody's own")
    refused = run(*words)
    assert refused.exit_code == 2
    assert file.read_text() == "somebody's own"


def test_a_day_sheet_says_what_to_ask_grade_and_look_at(place: str) -> None:
    told = run("day-sheet", "2026-05-02", "--store", place).output
    bramble = told[told.index("BRAMBLE") : told.index("ROOK")]
    assert "Ask of each: done, partly, not done" in bramble
    assert "Put a soft shim under the right bar" in bramble
    assert "grade again" in bramble
    assert "Not looked at last time" in bramble


def test_nothing_is_planned_for_an_emergency(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    save(store, kept_of(DOWN), by="Wren Aldous")
    words = ("day-sheet", "2026-05-02", "--horse", "Nettle", "--store", str(tmp_path / "practice.db"))
    (horse,) = json.loads(run(*words, "--json").output)["horses"]
    assert (horse["emergency"], horse["look_at"], horse["due"]) == (True, [], "2026-04-18")
    assert "before the veterinarian has spoken" in " ".join(run(*words).output.split())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["diary", "--today", "18.4.2026"], "a day such as 2026-04-18 was expected; 18.4.2026 was read"),
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


def events_of(file: Path) -> list[Any]:
    """The events of a calendar file, as the library reads them."""
    return list(icalendar.Calendar.from_ical(file.read_bytes().decode()).walk("VEVENT"))


def reminded(event: Any) -> list[tuple[datetime, timedelta]]:
    """When a calendar reminds of an event, and how the file says so, worked out by the library."""
    alarms = list(event.walk("VALARM"))
    assert all(str(one["action"]) == "DISPLAY" and str(one["description"]) == str(event["summary"]) for one in alarms)
    times = [alarm.trigger for alarm in Alarms(event).times]
    return [
        (datetime.combine(at, time()) if not isinstance(at, datetime) else at, one.TRIGGER)
        for at, one in zip(times, alarms, strict=True)
    ]


def test_what_is_overdue_stands_on_the_day_the_calendar_is_written_and_reminds_that_day(
    place: str, tmp_path: Path
) -> None:
    """Calendars show no day that is gone as something to be done, and few show to-dos."""
    before, after = tmp_path / "before.ics", tmp_path / "after.ics"
    for day, file in (("2026-04-19", before), ("2026-07-01", after)):
        assert run("diary", "--today", day, "--ics", str(file), "--store", place).exit_code == 0
    events = events_of(after)
    assert len(events) == 3
    for event in events:
        assert event.start == date(2026, 7, 1)
        assert " (overdue since " in event["summary"]
        ((at, _),) = reminded(event)
        assert at == datetime(2026, 7, 1, 8)
        assert event.decoded("dtstamp").date() == date(2026, 7, 1)
    seen = phrases.day(example("otter").visit.day)
    assert f"Otter, Larkhope: ask what the veterinarian said (overdue since {seen})" in {
        str(e["summary"]) for e in events
    }
    earlier = {str(e["uid"]): int(e["sequence"]) for e in events_of(before)}
    assert earlier
    for event in events:
        assert int(event["sequence"]) > earlier.get(str(event["uid"]), -1), "it takes the place of its earlier self"


def test_the_hours_of_reminders_are_data(place: str, tmp_path: Path) -> None:
    own = tmp_path / "own" / "scales"
    own.mkdir(parents=True)
    (own / "reminders.yaml").write_text('reminders: {day_before: "07:30", overdue: "12:15", basis: own setting}\n')
    words = [
        "diary",
        "--ics",
        str(tmp_path / "due.ics"),
        "--store",
        place,
        "--rules",
        "shipped",
        "--rules",
        str(own.parent),
    ]
    for day, hour in (("2026-04-19", time(7, 30)), ("2026-07-01", time(12, 15))):
        assert run(*words, "--today", day).exit_code == 0
        events = events_of(tmp_path / "due.ics")
        hours = {
            reminded(event)[0][0].time() for event in events if ("overdue" in event["summary"]) == (day > "2026-06")
        }
        assert hours == {hour}
    (own / "reminders.yaml").write_text('reminders: {day_before: "25:00", overdue: "12:15", basis: own setting}\n')
    refused = run(*words)
    assert refused.exit_code == 2
    assert "RB32" in refused.stderr
    assert "25:00" in refused.stderr


def test_a_visit_that_looked_at_nothing_hides_neither_call_nor_plan(tmp_path: Path) -> None:
    """Kept by itself, as before calls were carried on, it would have said that nothing is due."""
    store = fresh(tmp_path)
    save(store, kept_of(DOWN), by="Wren Aldous")
    save(store, example("bramble"), by="Wren Aldous")
    with store.reading() as connection:
        before = diary_of(connection, shipped().book)
    save(
        store,
        kept_of("horse: {name: Nettle}\nvisit: 2026-04-20\nyard: Larkhope\nexamined by: Tam Orrin\n"),
        by="Tam Orrin",
    )
    save(store, kept_of("horse: {name: Bramble, born: 2017}\nvisit: 2026-04-20\nyard: Larkhope\n"), by="Tam Orrin")
    with store.reading() as connection:
        after = diary_of(connection, shipped().book)
    assert after == before
    assert {(due.visit.name, due.visit.level, due.why) for due in after} >= {("Nettle", "emergency", "call")}
    sheet = run("day-sheet", "2026-05-10", "--horse", "Bramble", "--store", str(tmp_path / "practice.db")).output
    assert "ASK" in sheet.upper()
    store.close()
