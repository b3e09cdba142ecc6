"""Whether a promise came true, against how far a hand wavers.

In: readings made up for the purpose. Out: one of four words. Not here: the store.
"""

from __future__ import annotations

import math
from datetime import date, timedelta

import pytest

from reasoner.records.cases import settings_of
from reasoner.records.course import table_of
from reasoner.records.outcomes import (
    CAME_TRUE,
    NOT,
    NOT_EXAMINED,
    PARTLY,
    Graded,
    Hoped,
    HopedWord,
    Read,
    judged,
    judged_word,
    outcome,
    outcome_in_words,
    together,
    wavering,
)
from reasoner.rulebook.scales import ReadingError
from tests.asking import shipped

DAY = date(2026, 4, 18)
HAND = ReadingError(shared=0.5, noise=0.7, basis="own setting")
SETTINGS = settings_of(shipped().book.scales)
WITHIN = table_of(shipped().book).looked_at.within_days


def hoped(was: float | None = 5.0, to: float = 2.0) -> Hoped:
    return Hoped(day=DAY, by=DAY + timedelta(days=14), was=was, to=to, error=HAND)


def graded(after: int, points: float | None, *, refused: bool = False) -> Graded:
    return Graded(day=DAY + timedelta(days=after), soreness=points, refused=refused, error=HAND)


def test_a_difference_of_two_days_wavers_by_both() -> None:
    """Four independent amounts, by hand: sqrt(2 * (0.5^2 + 0.7^2)) = sqrt(1.48) = 1.2166 points."""
    assert wavering(HAND, HAND) == pytest.approx(math.sqrt(1.48))
    assert wavering(None, None) == 0.0


@pytest.mark.parametrize(
    ("was", "now", "expected"),
    [
        (5.0, 2.0, CAME_TRUE),
        (5.0, 0.0, CAME_TRUE),
        (5.0, 3.5, PARTLY),  # fell by 1.5, more than the hand wavers, and not down to 2
        (5.0, 4.0, NOT),  # a fall of 1 is within what the same hand would write on another day
        (5.0, 6.0, NOT),
        (3.0, 2.0, PARTLY),  # down to what was hoped, by no more than the hand wavers
        (None, 2.0, CAME_TRUE),
        (None, 3.0, NOT),
    ],
)
def test_one_reading(was: float | None, now: float, expected: str) -> None:
    assert judged(hoped(was), graded(14, now), 1.0) == expected


def test_a_horse_that_would_not_allow_touch_is_no_better() -> None:
    assert judged(hoped(), graded(14, None, refused=True), 1.0) == NOT


def test_the_visit_on_or_after_the_day_tells() -> None:
    later = [graded(20, 5.0), graded(14, 1.0), graded(7, 5.0)]
    assert outcome(hoped(), later, SETTINGS.waver, WITHIN) == (CAME_TRUE, DAY + timedelta(days=14))
    # Once the day is there, what was so before it tells nothing more.
    assert outcome(hoped(), [graded(7, 1.0), graded(14, 5.0)], SETTINGS.waver, WITHIN) == (
        NOT,
        DAY + timedelta(days=14),
    )


def test_before_the_day_only_what_came_true_tells() -> None:
    assert outcome(hoped(), [graded(7, 1.0)], SETTINGS.waver, WITHIN) == (CAME_TRUE, DAY + timedelta(days=7))
    assert outcome(hoped(), [graded(7, 4.0)], SETTINGS.waver, WITHIN) == (NOT_EXAMINED, None)


def test_a_visit_without_the_place_or_long_after_tells_nothing() -> None:
    late = 14 + WITHIN
    assert outcome(hoped(), [], SETTINGS.waver, WITHIN) == (NOT_EXAMINED, None)
    assert outcome(hoped(), [graded(14, None)], SETTINGS.waver, WITHIN) == (NOT_EXAMINED, None)
    assert outcome(hoped(), [graded(0, 1.0)], SETTINGS.waver, WITHIN) == (NOT_EXAMINED, None)
    assert outcome(hoped(), [graded(late, 1.0)], SETTINGS.waver, WITHIN)[0] == CAME_TRUE
    assert outcome(hoped(), [graded(late + 1, 1.0)], SETTINGS.waver, WITHIN) == (NOT_EXAMINED, None)


@pytest.mark.parametrize(
    ("every", "expected"),
    [
        ([CAME_TRUE, CAME_TRUE], CAME_TRUE),
        ([CAME_TRUE, NOT], PARTLY),
        ([NOT, NOT_EXAMINED], NOT),
        ([NOT_EXAMINED], NOT_EXAMINED),
        ([], NOT_EXAMINED),
    ],
)
def test_several_promises_count_once(every: list[str], expected: str) -> None:
    assert together(every) == expected


@pytest.mark.parametrize(("word", "rank", "was", "came"), [
    ("even", 0, 2, CAME_TRUE), ("slight", 1, 2, PARTLY), ("marked", 2, 2, NOT), ("worse", 3, 2, NOT), ("slight", 1, None, NOT),
])  # fmt: skip
def test_what_is_seen_is_judged_by_its_word_and_then_by_its_rank(
    word: str, rank: int, was: int | None, came: str
) -> None:
    looked_for = HopedWord(day=DAY, by=DAY + timedelta(days=14), words=("even",), rank=was)
    assert judged_word(looked_for, Read(day=DAY + timedelta(days=20), word=word, rank=rank)) == came


@pytest.mark.parametrize(("days", "came", "seen"), [
    ((14,), NOT, 14), ((14 + WITHIN,), NOT, 14 + WITHIN), ((15 + WITHIN,), NOT_EXAMINED, None), ((13,), NOT_EXAMINED, None),
    ((0,), NOT_EXAMINED, None), ((3, 20), NOT, 20), ((), NOT_EXAMINED, None),
])  # fmt: skip
def test_the_same_visits_tell_of_what_is_seen_as_of_what_is_felt(
    days: tuple[int, ...], came: str, seen: int | None
) -> None:
    looked_for = HopedWord(day=DAY, by=DAY + timedelta(days=14), words=("even",), rank=1)
    later = [Read(day=DAY + timedelta(days=after), word="slight", rank=1) for after in days]
    told = None if seen is None else DAY + timedelta(days=seen)
    assert outcome_in_words(looked_for, later, WITHIN) == (came, told)
    felt = [Graded(day=one.day, soreness=5.0, refused=False, error=HAND) for one in later]
    assert outcome(hoped(), felt, 1.96, WITHIN) == (came, told)
    early = [*later, Read(day=DAY + timedelta(days=13), word="even", rank=0)]
    assert outcome_in_words(looked_for, early, WITHIN)[0] == (came if seen else CAME_TRUE)
