"""Time along the foot of a picture: visits keep their order and do not stand on each other, and no word lies on another.

In: days as a horse is really seen. Out: passes or fails.
Not here: how it looks; that is looked at by eye.
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from reasoner.rendering.time_axis import APART, LETTER_WIDE, SHARE, across, ticks

X0, X1 = 38.0, 170.0
DAYS = st.builds(
    lambda first, gaps: [first + timedelta(days=sum(gaps[:at])) for at in range(len(gaps) + 1)],
    st.dates(date(2018, 1, 1), date(2026, 1, 1)), st.lists(st.integers(0, 400), max_size=29),
)  # fmt: skip


@given(DAYS)
def test_visits_stand_in_their_order_between_the_ends_and_apart(days: list[date]) -> None:
    xs = across(days, X0, X1)
    assert len(xs) == len(days)
    assert xs[0] >= X0 - 1e-6
    assert xs[-1] <= X1 + 1e-6
    least = min(APART, SHARE * (X1 - X0) / max(1, len(days) - 1))
    assert all(later - earlier >= least - 1e-6 for earlier, later in pairwise(xs))


def test_visits_far_enough_apart_stand_by_their_days() -> None:
    days = [date(2026, 4, 1), date(2026, 4, 11), date(2026, 5, 1)]
    assert across(days, 0.0, 30.0) == [0.0, 10.0, 30.0]


@given(DAYS)
def test_no_word_lies_on_another(days: list[date]) -> None:
    xs = across(days, X0, X1)
    words = [one for one in ticks(days, xs, X1 + 8) if one.words and not one.at_end]
    for one, other in pairwise(words):
        assert one.x + one.pushed + len(one.words) * LETTER_WIDE <= other.x + other.pushed + 1e-6
    for one in words:
        assert one.x + one.pushed + len(one.words) * LETTER_WIDE <= X1 + 24


def test_days_months_or_years_by_the_span() -> None:
    def said(*days: date) -> list[str]:
        return [one.words for one in ticks(days, across(days, X0, X1), X1 + 8) if one.words]

    assert said(date(2026, 4, 4), date(2026, 4, 18)) == ["4 Apr 26", "18 Apr"]
    assert said(date(2025, 11, 20), date(2026, 5, 3)) == ["Nov", "Jan 26", "Apr"]
    assert said(date(2026, 1, 5), date(2026, 11, 20)) == ["Jan 26", "Jun", "Sep"]
    assert said(date(2025, 1, 5), date(2026, 4, 20)) == ["Jan", "May", "Sep", "Jan 26"]
    assert said(date(2024, 3, 2), date(2026, 2, 10)) == ["2024", "2025"]
    assert said(date(2021, 7, 2), date(2026, 2, 10)) == ["2022", "2024"]
