"""Intervals and chances held against published figures, formulas and figures worked out by hand.

In: counts. Out: the interval. Not here: what is counted.
"""

from __future__ import annotations

import math
from fractions import Fraction
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest, false_discovery_control, fisher_exact

from reasoner.records.rates import after_many, chance_of_difference, chance_of_more, chance_of_run, rate


@pytest.mark.parametrize(
    ("count", "of", "low", "high"),
    [
        # Newcombe 1998, Stat Med 17:857-872, Table I, the score method without continuity correction. From memory; the
        # formula below gives the same four digits.
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_newcombes_examples(count: int, of: int, low: float, high: float) -> None:
    found = rate(count, of, 0.95)
    assert found.low == pytest.approx(low, abs=5e-5)
    assert found.high == pytest.approx(high, abs=5e-5)


@given(st.integers(1, 500).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))), st.floats(0.5, 0.999))
def test_wilsons_formula(counts: tuple[int, int], confidence: float) -> None:
    """Wilson 1927: (p + z^2/2n -+ z sqrt(p q / n + z^2 / 4n^2)) / (1 + z^2 / n), with z from Python's own normal."""
    count, of = counts
    z, p = NormalDist().inv_cdf(0.5 + confidence / 2), count / of
    middle = (p + z * z / (2 * of)) / (1 + z * z / of)
    half = z * math.sqrt(p * (1 - p) / of + z * z / (4 * of * of)) / (1 + z * z / of)
    found = rate(count, of, confidence)
    assert found.low is not None
    assert found.high is not None
    assert found.low == pytest.approx(max(middle - half, 0.0), abs=1e-9)
    assert found.high == pytest.approx(min(middle + half, 1.0), abs=1e-9)
    assert 0.0 <= found.low <= p + 1e-12
    assert p - 1e-12 <= found.high <= 1.0


def test_no_case_has_no_share() -> None:
    assert (rate(0, 0, 0.95).share, rate(0, 0, 0.95).low) == (None, None)


def test_a_run_by_hand() -> None:
    """Three of three at one half, two-sided: 2/8. Five of five: 2/32. Four of five: (1 + 5) * 2 / 32."""
    assert chance_of_run(3, 3, 0.5) == pytest.approx(0.25)
    assert chance_of_run(5, 5, 0.5) == pytest.approx(0.0625)
    assert chance_of_run(4, 5, 0.5) == pytest.approx(0.375)


def _exactly(count: int, of: int, usual: Fraction) -> Fraction:
    """The exact binomial, two-sided: everything no likelier than what was seen, in exact fractions."""
    each = [math.comb(of, k) * usual**k * (1 - usual) ** (of - k) for k in range(of + 1)]
    return sum((one for one in each if one <= each[count]), Fraction(0))


@given(st.integers(1, 30).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))), st.integers(1, 19))
def test_a_run_in_exact_fractions(counts: tuple[int, int], twentieths: int) -> None:
    count, of = counts
    usual = Fraction(twentieths, 20)
    assert chance_of_run(count, of, float(usual)) == pytest.approx(float(_exactly(count, of, usual)), rel=1e-6)
    # Seen in a mirror, it is as likely.
    assert chance_of_run(of - count, of, float(1 - usual)) == pytest.approx(
        chance_of_run(count, of, float(usual)), rel=1e-6
    )


def test_the_tea_tasting() -> None:
    """Fisher 1935, The Design of Experiments: 3 of 4 cups right is 17/70 one-sided, 34/70 two-sided; 4 of 4 is 1/70."""
    assert chance_of_more(3, 4, 1, 4) == pytest.approx(17 / 70)
    assert chance_of_more(4, 4, 0, 4) == pytest.approx(1 / 70)
    assert chance_of_difference(3, 4, 1, 4) == pytest.approx(34 / 70)


@given(st.integers(1, 400).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))), st.floats(0.01, 0.99))
def test_as_scipys_own_tests_say(counts: tuple[int, int], usual: float) -> None:
    found = rate(*counts, 0.95)
    told = binomtest(*counts, usual)
    interval = told.proportion_ci(0.95, "wilson")
    assert (found.low, found.high) == pytest.approx((interval.low, interval.high), rel=1e-10, abs=1e-15)
    assert chance_of_run(*counts, usual) == pytest.approx(told.pvalue, rel=1e-9, abs=1e-300)


@given(
    st.integers(1, 60).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))),
    st.integers(1, 300).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))),
)
def test_two_groups_as_scipys_own_tests_say(one: tuple[int, int], other: tuple[int, int]) -> None:
    table = [[one[0], one[1] - one[0]], [other[0], other[1] - other[0]]]
    assert chance_of_more(*one, *other) == pytest.approx(fisher_exact(table, alternative="greater").pvalue, rel=1e-9)
    assert chance_of_difference(*one, *other) == pytest.approx(fisher_exact(table).pvalue, rel=1e-9)


@given(st.lists(st.floats(0, 1), min_size=1, max_size=80))
def test_many_at_once_as_scipys_own_says(chances: list[float]) -> None:
    assert after_many(chances) == pytest.approx(tuple(false_discovery_control(chances)), rel=1e-12)


def test_many_at_once_by_hand() -> None:
    """Benjamini and Hochberg 1995: the k-th smallest of n times n/k, never less than a smaller one's."""
    assert after_many([0.01, 0.04, 0.03, 0.5]) == pytest.approx((0.04, 0.04 * 4 / 3, 0.04 * 4 / 3, 0.5))
    assert after_many([]) == ()
