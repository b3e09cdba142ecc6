"""The record of practice: difficulty adapts, cases come again, progress by skill.

In: marks by hand. Out: failures.
Not here: marking.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from random import Random

import pytest

from reasoner.consult import load_rulebook
from reasoner.problems import BadInput
from reasoner.teaching.making import Maker
from reasoner.teaching.marked import Marked, Referred, Sureness
from reasoner.teaching.marking import table_of
from reasoner.teaching.practice_record import (
    Record,
    after,
    by_skill,
    difficulty_of,
    due,
    next_kind,
    rating_of,
    record_from,
    record_text,
)

DAY = datetime(2026, 4, 18, 12, tzinfo=UTC)
NAMES = ("plain", "usual", "hard")


@cache
def _maker() -> Maker:
    return Maker(load_rulebook().book)


TABLE = table_of(load_rulebook().book)


def _marks(points: float = 90.0, share: float = 0.8, cause: str = "girth_presses", low: int = 0) -> Marked:
    return Marked(
        truth=(cause, "left"),
        starting_points=(),
        looks=(),
        looks_missed=(),
        closed=(),
        found=(),
        on_the_way=(),
        supported=(),
        jumped_to=(),
        other_side=(),
        missed=(),
        out_of_reach=(),
        referral=Referred("none", "none", "none", low, 0, 0, ()),
        steps_right=(),
        steps_other=(),
        steps_stopped=(),
        steps_missed=(),
        sureness=Sureness((cause, "left"), share, 0.1, 0.2, 0.9, 3.8),
        lost=(),
        points=points,
        skills=(("causes", share), ("plan", None)),
    )


def _after(*points: float, difficulty: str = "plain") -> Record:
    record = Record()
    for number, one in enumerate(points):
        record = after(record, _marks(one), difficulty, DAY + timedelta(days=number), TABLE)
    return record


def test_difficulty_adapts() -> None:
    well, poorly = TABLE.adapts.well, TABLE.adapts.poorly
    assert difficulty_of(Record(), NAMES, TABLE) == "plain"
    assert difficulty_of(_after(*[well] * (TABLE.adapts.in_a_row - 1)), NAMES, TABLE) == "plain"
    assert difficulty_of(_after(*[well] * TABLE.adapts.in_a_row), NAMES, TABLE) == "usual"
    assert difficulty_of(_after(*[well] * 5, difficulty="hard"), NAMES, TABLE) == "hard"
    assert difficulty_of(_after(poorly - 1, difficulty="hard"), NAMES, TABLE) == "usual"
    assert difficulty_of(_after(poorly - 1), NAMES, TABLE) == "plain"
    assert difficulty_of(_after(*[well] * 4, poorly, difficulty="usual"), NAMES, TABLE) == "usual"


def test_a_case_that_went_poorly_comes_again_sooner() -> None:
    easily, well, hard, again = (
        after(Record(), _marks(share=share), "plain", DAY, TABLE)
        for share in (TABLE.again.easy, TABLE.again.good, TABLE.again.hard, 0.0)
    )
    days = [datetime.fromisoformat(one.cards["girth_presses"]["due"]) for one in (again, hard, well, easily)]
    assert days == sorted(days)
    assert days[0] < days[-1]
    assert days[0] > DAY


def test_calling_too_late_is_learnt_again_however_sure() -> None:
    assert rating_of(_marks(share=0.95, low=1), TABLE.again) == 1
    assert rating_of(_marks(share=0.95), TABLE.again) == 4


def test_the_interval_grows_as_it_goes_well_and_is_the_library_s_own() -> None:
    from fsrs import Card, Rating, Scheduler

    scheduler = Scheduler(desired_retention=0.9, learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    card, record, at = Card(card_id=1, due=DAY), Record(), DAY
    gaps = []
    for _ in range(4):
        card, _log = scheduler.review_card(card, Rating.Good, at)
        record = after(record, _marks(share=TABLE.again.good), "plain", at, TABLE)
        assert datetime.fromisoformat(record.cards["girth_presses"]["due"]) == card.due
        gaps.append(card.due - at)
        at = card.due
    assert gaps == sorted(gaps)
    assert gaps[-1] > gaps[0]


def test_what_is_due_comes_first_then_what_was_never_met() -> None:
    record = after(Record(), _marks(cause="mouth_and_teeth", share=0.0), "plain", DAY, TABLE)
    assert due(record, DAY) == ()
    later = DAY + timedelta(days=400)
    assert due(record, later) == ("mouth_and_teeth",)
    assert next_kind(record, _maker(), later, Random(1)) == ("mouth_and_teeth", "")
    for seed in range(20):
        kind, side = next_kind(record, _maker(), DAY, Random(seed))
        assert kind != "mouth_and_teeth"
        assert side in _maker().sides(kind)


def test_a_record_is_written_and_read_again() -> None:
    record = _after(80.0, 30.0)
    assert record_from(record_text(record).encode(), "r.json") == record
    assert {skill: count for skill, _, _, count in by_skill(record)} == {"causes": 2}


def test_a_visit_is_counted_and_brings_no_case_again() -> None:
    marks = replace(_marks(), truth=None, sureness=Sureness(None, 0.0, 0.0, 0.0, 0.0, 0.0))
    record = after(Record(), marks, "visit", DAY, TABLE)
    assert not record.cards
    assert record.done[0].brier is None
    assert difficulty_of(record, NAMES, TABLE) == "plain"


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"what": "reasoner practice record", "schema_version": "2"}', '{"what": 3}', "\x00"]
)
def test_what_is_no_record_is_refused(text: str) -> None:
    with pytest.raises(BadInput) as bad:
        record_from(text.encode(), "r.json")
    assert [problem.code for problem in bad.value.problems] == ["TE55"]
