"""Whether a promise came true, against how far a hand wavers.

In: readings made up for the purpose. Out: one of four words. Not here: the store.
"""

from __future__ import annotations

import math
from datetime import date, timedelta

import pytest

from reasoner.records.cases import settings_of
from reasoner.records.outcomes import (
    CAME_TRUE,
    NOT,
    NOT_EXAMINED,
    PARTLY,
    Graded,
    Hoped,
    judged,
    outcome,
    together,
    wavering,
)
from reasoner.rulebook.scales import ReadingError
from tests.asking import shipped

DAY = date(2026, 4, 18)
HAND = ReadingError(shared=0.5, noise=0.7, basis="own setting")
SETTINGS = settings_of(shipped().book.scales)


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
    assert outcome(hoped(), later, SETTINGS) == (CAME_TRUE, DAY + timedelta(days=14))
    # Once the day is there, what was so before it tells nothing more.
    assert outcome(hoped(), [graded(7, 1.0), graded(14, 5.0)], SETTINGS) == (NOT, DAY + timedelta(days=14))


def test_before_the_day_only_what_came_true_tells() -> None:
    assert outcome(hoped(), [graded(7, 1.0)], SETTINGS) == (CAME_TRUE, DAY + timedelta(days=7))
    assert outcome(hoped(), [graded(7, 4.0)], SETTINGS) == (NOT_EXAMINED, None)


def test_a_visit_without_the_place_or_long_after_tells_nothing() -> None:
    late = 14 + SETTINGS.looked_at_within_days
    assert outcome(hoped(), [], SETTINGS) == (NOT_EXAMINED, None)
    assert outcome(hoped(), [graded(14, None)], SETTINGS) == (NOT_EXAMINED, None)
    assert outcome(hoped(), [graded(0, 1.0)], SETTINGS) == (NOT_EXAMINED, None)
    assert outcome(hoped(), [graded(late, 1.0)], SETTINGS)[0] == CAME_TRUE
    assert outcome(hoped(), [graded(late + 1, 1.0)], SETTINGS) == (NOT_EXAMINED, None)


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
