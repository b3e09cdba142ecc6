"""Thirty sessions of a made-up apprentice: difficulty adapts, what went poorly comes again, terminal and page keep one record.

In: an apprentice who knows some causes and learns the others only when they have met them, a clock that is moved by hand.
Out: failures.
Not here: single functions of the record (test_practice_record).
"""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from random import Random

import pytest
from click.testing import CliRunner
from fastapi.testclient import TestClient

from reasoner.cli import cli
from reasoner.cli import practise as terminal
from reasoner.page.app import made
from reasoner.page.practice.kept import folder_of
from reasoner.page.routes import practise as page
from reasoner.teaching.making import Case, Maker
from reasoner.teaching.marked import Marked
from reasoner.teaching.marking import marked, table_of
from reasoner.teaching.next_case import counted, difficulties, made_case, recommended
from reasoner.teaching.offered import look_of, offered
from reasoner.teaching.practice_record import Record, coming, due, rating_of, record_from, record_text
from reasoner.teaching.session import asked, begun, ended, proposed, seen_by, thought
from tests.page.serving import SELF, rules, served_in

SESSIONS = 30
BEGIN = datetime(2026, 11, 2, 18, 0, tzinfo=UTC)
LOOK = "withers"


@dataclass
class Apprentice:
    """Names the cause well once it is known, and a cause nobody spoke of before; learns it the second time it is met."""

    met: dict[str, int] = field(default_factory=dict)

    def says(self, case: Case) -> tuple[tuple[str, str], float]:
        times = self.met.get(case.cause, 0)
        self.met[case.cause] = times + 1
        known = times >= 1 or len(case.cause) % 3 != 0
        return ((case.cause, case.side), 0.85) if known else (("worked_hard_lately", ""), 0.6)


@dataclass
class One:
    """One session: the case, the record before, what was said, the marks, how it went as the library counts it."""

    at: datetime
    case: Case
    before: Record
    said: tuple[tuple[str, str], float]
    level: str
    marks: Marked
    rating: int
    record: Record


@cache
def thirty() -> tuple[One, ...]:
    return tuple(_sessions())


def _sessions() -> Iterator[One]:
    ready, apprentice, record, at = rules(), Apprentice(), Record(), BEGIN
    for number in range(SESSIONS):
        case = made_case(ready, record, "", Random(number), at)
        session = begun(case)
        session = asked(session, look_of(LOOK, session, offered(session, seen_by(session, ready))))
        level = seen_by(session, ready).referral.level
        said = apprentice.says(case)
        session = thought(session, dict([said]), ready.book, 0.01, 0.99)
        session = ended(proposed(session, level, ready.book.scales))
        marks = marked(session, ready)
        after = counted(record, marks, session, ready, at)
        yield One(at, case, record, said, level, marks, rating_of(marks, table_of(ready.book).again), after)
        record, at = after, at + timedelta(days=1, hours=number % 5)


def test_what_is_due_comes_first_and_nothing_else_comes_before_its_day() -> None:
    maker, again = Maker(rules().book), 0
    for one in thirty():
        waiting = [kind for kind in due(one.before, one.at) if kind in maker.causes]
        if waiting:
            again += 1
            assert one.case.cause == waiting[0]
        elif set(maker.causes) - set(one.before.cards):
            assert one.case.cause not in one.before.cards, "as long as nothing is due there is something new"
        if one.case.cause in one.before.cards:
            assert datetime.fromisoformat(one.before.cards[one.case.cause]["due"]) <= one.at
    assert again >= 5, "so that the test shows something"
    assert len({one.case.cause for one in thirty()}) >= 8


def test_what_went_poorly_comes_sooner_and_what_goes_well_ever_later() -> None:
    gaps: dict[int, list[float]] = {}
    for one in thirty():
        if one.case.cause not in one.before.cards:  # the first time it was met
            when = datetime.fromisoformat(one.record.cards[one.case.cause]["due"]) - one.at
            gaps.setdefault(one.rating, []).append(when / timedelta(days=1))
    assert {1, 4} <= set(gaps), gaps
    assert max(gaps[1]) < min(gaps[4]), gaps
    second = [one for one in thirty() if one.case.cause in one.before.cards and one.rating >= 3]
    assert second
    for one in second:
        was, now = (record.cards[one.case.cause]["stability"] for record in (one.before, one.record))
        assert now > was, "what was known again lasts longer"


def test_difficulty_follows_how_it_went() -> None:
    table, names = table_of(rules().book).adapts, difficulties(rules())
    met, ups, downs = [one.case.difficulty for one in thirty()], 0, 0
    assert met[0] == names[0]
    for number in range(1, SESSIONS):
        before, now = names.index(met[number - 1]), names.index(met[number])
        last = thirty()[number - 1].marks.points
        row = [o.marks.points >= table.well for o in thirty()[max(number - table.in_a_row, 0) : number]]
        same = len(set(met[max(number - table.in_a_row, 0) : number])) == 1
        if last < table.poorly:
            expected = max(before - 1, 0)
        elif all(row) and len(row) == table.in_a_row and same:
            expected = min(before + 1, len(names) - 1)
        else:
            expected = before
        assert now == expected, number
        ups, downs = ups + (now > before), downs + (now < before)
    assert ups >= 1
    assert downs >= 1


def test_the_record_keeps_count() -> None:
    record = thirty()[-1].record
    assert len(record.done) == SESSIONS
    assert record_from(record_text(record).encode(), "r.json") == record
    for one in thirty():
        number = sum(kinds for _, kinds in coming(one.record, one.at))
        assert number == len(one.record.cards)
        assert dict(coming(one.record, one.at))[0] == len(due(one.record, one.at))
    assert recommended(rules(), record) in difficulties(rules())


def test_terminal_and_page_begin_the_same_cases_and_keep_the_same_record(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first sessions once more through the command and once through the page's forms: records equal byte for byte."""
    moment = [BEGIN]
    monkeypatch.setattr(terminal, "now", lambda: moment[0])
    app = made(replace(served_in(tmp_path), now=lambda: moment[0]))
    mine = TestClient(app, base_url=SELF, headers={"X-From-Page": "1"}, follow_redirects=False)
    mine_file = tmp_path / "me.json"
    for number, one in enumerate(thirty()[:7]):
        moment[0] = one.at
        (cause, side), share = one.said
        named = f"{cause.replace('_', ' ')}, {side}" if side else cause.replace("_", " ")
        lines = tmp_path / "lines.txt"
        lines.write_text(f"look {LOOK}\nthink {named} = {100 * share:g} %\nrefer {one.level}\nend\n")
        words = ["practise", "--seed", str(number), "--record", str(mine_file), "--answers", str(lines), "--json"]
        told = CliRunner().invoke(cli, words, catch_exceptions=False)
        assert told.exit_code == 0, told.output
        assert json.loads(told.stdout)["marks"]["made_from"]["key"] == one.case.cause
        monkeypatch.setattr(page, "CHANCE", Random(number))
        tap = re.search(r'name="tap" value="(\w+)"', mine.get("/practise").text)
        assert tap
        at = mine.post("/practise", data={"tap": tap[1]}).headers["location"]
        said = {"new_cause": cause, "new_side": side, "new_sure": f"{100 * share:g}"}
        for what, fields in (("look", {"look": LOOK}), ("think", said), ("refer", {"degree": one.level}), ("end", {})):
            assert mine.post(f"{at}/{what}", data=fields).status_code == 303
        with closing(sqlite3.connect(folder_of(served_in(tmp_path).store.place) / "sessions.db")) as db:
            [(kept,)] = db.execute("SELECT file FROM record").fetchall()
        assert kept == mine_file.read_text() == record_text(one.record)
