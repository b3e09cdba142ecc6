"""The symmetry index and the difference of two sides: laws that hold for any pair, errors beside other ways to get them.

In: random pairs. Out: failures.
Not here: published values (tests/published/test_measured_sides.py), the commands (tests/cli).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from scipy import stats

from reasoner.measures.symmetry import Amount, compare, larger_side, mean_of, symmetry_index
from reasoner.problems import BadInput

WIDE = 2.0
amounts = some.floats(0.001, 1e6)
shares = some.floats(0.001, 0.3)


@given(amounts, amounts)
def test_swapped_sides_give_exactly_the_negative(left: float, right: float) -> None:
    assert symmetry_index(left, right) == -symmetry_index(right, left)


@given(amounts, amounts, shares, shares)
def test_the_mirror_turns_sides_and_signs_and_nothing_else(left: float, right: float, one: float, two: float) -> None:
    a, b = Amount(value=left, error=left * one), Amount(value=right, error=right * two)
    here, there = compare(a, b, WIDE), compare(b, a, WIDE)
    assert there.difference == -here.difference
    assert there.difference_error == here.difference_error
    assert there.index_percent == -here.index_percent
    assert there.over_sum_percent == -here.over_sum_percent
    assert there.index_error_percent == pytest.approx(here.index_error_percent, rel=1e-9)
    assert {here.larger, there.larger} in ({"even"}, {"left", "right"})


@given(amounts, amounts, some.sampled_from([25.4, 10.0, 0.45359237, 98.0665]))
def test_the_index_has_no_unit(left: float, right: float, size: float) -> None:
    assert symmetry_index(left * size, right * size) == pytest.approx(symmetry_index(left, right), abs=1e-9)


@given(amounts, amounts)
def test_it_lies_within_two_hundred_and_is_nothing_only_where_both_are_alike(left: float, right: float) -> None:
    index = symmetry_index(left, right)
    assert -200 <= index <= 200
    assert (index == 0) == (left == right)
    assert symmetry_index(0, right) == 200
    assert symmetry_index(left, 0) == -200


@given(amounts, amounts, shares, shares)
def test_errors_beside_the_derivatives_written_out(left: float, right: float, one: float, two: float) -> None:
    """First order: the difference has the root of the squares; the index 400 L/(L+R)^2 and 400 R/(L+R)^2 for each error."""
    a, b = left * one, right * two
    found = compare(Amount(value=left, error=a), Amount(value=right, error=b), WIDE)
    assert found.difference_error == pytest.approx(math.hypot(a, b), rel=1e-6, abs=1e-8)
    square = (left + right) ** 2
    by_hand = math.hypot(400 * left / square * b, 400 * right / square * a)
    assert found.index_error_percent == pytest.approx(by_hand, rel=1e-6)


def test_errors_beside_drawn_readings() -> None:
    """100,000 drawn pairs of 398 and 420 mm, each with an error of 5 mm at two standard deviations."""
    draws = np.random.default_rng(7)
    left, right = draws.normal(398, 2.5, 100_000), draws.normal(420, 2.5, 100_000)
    found = compare(Amount(value=398, error=5), Amount(value=420, error=5), WIDE)
    assert found.difference_error == pytest.approx(WIDE * float(np.std(right - left)), rel=0.02)
    index = (right - left) / ((right + left) / 2) * 100
    assert found.index_error_percent == pytest.approx(WIDE * float(np.std(index)), rel=0.02)


@given(some.lists(some.floats(1, 1e4), min_size=2, max_size=12))
def test_the_error_of_a_mean_beside_scipy(readings: list[float]) -> None:
    found = mean_of(readings, None, WIDE)
    assert found.value == pytest.approx(float(np.mean(readings)))
    assert (found.error or 0.0) == pytest.approx(WIDE * float(stats.sem(readings)), rel=1e-6, abs=1e-6)


def test_repeats_never_make_a_reading_surer_than_its_own_error() -> None:
    assert mean_of([50.0, 50.0, 50.0], 1.0, WIDE).error == 1.0
    assert mean_of([40.0, 60.0], 1.0, WIDE).error == pytest.approx(20.0)
    assert mean_of([50.0, 50.0], None, WIDE).error is None
    assert mean_of([50.0], 1.0, WIDE) == Amount(value=50.0, error=1.0)


@given(amounts, some.floats(0, 2), shares)
def test_within_the_error_is_even_and_beyond_it_a_side(left: float, times: float, share: float) -> None:
    error = left * share
    right = left + times * math.hypot(error, error)
    found = compare(Amount(value=left, error=error), Amount(value=right, error=error), WIDE)
    if times < 0.999:
        assert found.larger == "even"
    if times > 1.001:
        assert found.larger == "right"


def test_exactly_at_the_error_or_the_limit_is_still_even() -> None:
    assert larger_side(1.5, None, beyond=1.5) == "even"
    assert larger_side(1.4, 1.4) == "even"
    assert larger_side(-1.51, 1.4, beyond=1.5) == "left"


@pytest.mark.parametrize(("left", "right", "code"), [
    (0, 0, "MS42"), (-1, 2, "MS43"), (2, -1, "MS43"), (math.nan, 1, "MS43"), (1, math.inf, "MS43"),
])  # fmt: skip
def test_pairs_without_an_index(left: float, right: float, code: str) -> None:
    with pytest.raises(BadInput, match=code):
        symmetry_index(left, right)


@pytest.mark.parametrize("error", [0.0, -1.0, math.inf])
def test_an_error_is_more_than_nothing(error: float) -> None:
    with pytest.raises(BadInput, match="MS43"):
        compare(Amount(value=1, error=error), Amount(value=1, error=1), WIDE)


def test_no_reading_is_no_amount() -> None:
    with pytest.raises(BadInput, match="MS40"):
        mean_of([], None, WIDE)


def test_near_nothing_the_index_runs_away_and_that_is_told() -> None:
    found = compare(Amount(value=1, error=2), Amount(value=3, error=2), WIDE)
    assert found.near_zero
    assert not compare(Amount(value=100, error=2), Amount(value=103, error=2), WIDE).near_zero
