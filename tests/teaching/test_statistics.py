"""Statistics of agreement: published worked examples, a second library, and laws that hold for any grades.

In: tables as printed, random grades. Out: failures.
Not here: visits (test_agreement.py). The source stands beside each check.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Sequence
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from scipy import stats

from reasoner.teaching.resampling import drawn, ends, statistics_of
from reasoner.teaching.statistics import icc, kappa, limits, limits_from, table_of
from tests.teaching.hands import columns, many

SHARE, STEP, TIMES = 0.95, 0.5, 1.96
grades = some.lists(some.tuples(some.integers(0, 20), some.integers(0, 20)), min_size=4, max_size=40)
#: Shrout and Fleiss 1979, table 2: six targets, four judges. Pairs of its columns are used where two graders are needed.
SHROUT_FLEISS = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]


def test_two_radiologists() -> None:
    """KP07: Boyd and others 1982 in Altman 1991, p. 403: 85 films, agreement .6353, kappa .4728 (printed); linear .5684 and
    square .6714 are arithmetic from the same counts."""
    counts = np.array([[21, 12, 0, 0], [4, 17, 1, 0], [3, 9, 15, 2], [0, 0, 0, 1]])
    assert np.trace(counts) / counts.sum() == pytest.approx(0.6353, abs=5e-5)
    for weights, value in (("none", 0.4728), ("linear", 0.5684), ("square", 0.6714)):
        found = kappa(counts, weights, SHARE)  # type: ignore[arg-type]
        assert found is not None
        assert found.value == pytest.approx(value, abs=5e-5)


@pytest.mark.parametrize(
    ("counts", "value"),
    [([[12, 2], [4, 2]], 0.2105), ([[20, 5], [10, 15]], 0.40)],
)
def test_small_tables(counts: list[list[int]], value: float) -> None:
    """KP03 (a calculator's help page, printed 0.21) and KP02 (an encyclopaedia, from memory, exact)."""
    found = kappa(np.array(counts), "none", SHARE)
    assert found is not None
    assert found.value == pytest.approx(value, abs=5e-5)


def test_the_example_of_the_standard_error() -> None:
    """KP06: Fleiss, Cohen and Everitt 1969, 200 subjects, three categories: kappa .4286, standard error .054 (printed there as a
    variance of .0029)."""
    counts = np.array([[106, 10, 4], [22, 28, 10], [2, 12, 6]])
    found = kappa(counts, "none", SHARE)
    assert found is not None
    assert found.low is not None
    assert found.value == pytest.approx(0.4286, abs=5e-5)
    assert ((found.value - found.low) / 1.959964) ** 2 == pytest.approx(0.0029, abs=1e-4)


def test_cohen_1968_without_weights() -> None:
    """KP04: Cohen 1968, proportions of 200 subjects: kappa .492."""
    counts = np.array([[88, 14, 18], [10, 40, 10], [2, 6, 12]])
    found = kappa(counts, "none", SHARE)
    assert found is not None
    assert found.value == pytest.approx(0.492, abs=5e-4)


def pingouins(scores: Sequence[Sequence[float]], form: str) -> tuple[float, float, float]:
    """(value, low, high) of one form of the ICC by pingouin, which shares no code with ours; a row a target, a column a judge."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what its own libraries warn each other of
        import pandas
        import pingouin

        rows = [(n, k, x) for n, row in enumerate(scores) for k, x in enumerate(row)]
        frame = pandas.DataFrame(rows, columns=["target", "judge", "score"])
        pingouin.options["round.column.CI95"] = None
        found = pingouin.intraclass_corr(frame, targets="target", raters="judge", ratings="score").set_index("Type")
    low, high = found.loc[form, "CI95"]
    return float(found.loc[form, "ICC"]), float(low), float(high)


def test_shrout_and_fleiss() -> None:
    """Shrout and Fleiss 1979, table 4: ICC(1,1) = .17, ICC(2,1) = .29, ICC(3,1) = .71 for four judges, by the second library.

    For two of the judges our own road equals that library's and the formula of that article worked in whole fractions.
    """
    for form, printed in (("ICC(1,1)", 0.17), ("ICC(A,1)", 0.29), ("ICC(C,1)", 0.71)):
        assert round(pingouins(SHROUT_FLEISS, form)[0], 2) == printed
    for other in (1, 2, 3):
        one, two = [row[0] for row in SHROUT_FLEISS], [row[other] for row in SHROUT_FLEISS]
        found = icc(one, two, SHARE)
        assert found is not None
        assert found.value == pytest.approx(float(_icc_of_two(one, two)), abs=1e-12)
        theirs = pingouins([[a, b] for a, b in zip(one, two, strict=True)], "ICC(A,1)")
        assert (found.value, found.low, found.high) == pytest.approx(theirs, abs=1e-9)


@given(grades)
@settings(max_examples=40, deadline=None)
def test_the_icc_and_its_ends_are_the_second_librarys(pairs: list[tuple[int, int]]) -> None:
    one, two = ([p[k] / 2 for p in pairs] for k in (0, 1))
    found = icc(one, two, SHARE)
    if found is None or found.low is None or found.high is None:
        return
    value, low, high = pingouins([[a, b] for a, b in zip(one, two, strict=True)], "ICC(A,1)")
    assert found.value == pytest.approx(value, abs=1e-8)
    assert found.low == pytest.approx(max(-1.0, low), abs=1e-6)
    assert found.high == pytest.approx(min(1.0, high), abs=1e-6)


def _icc_of_two(one: list[int], two: list[int]) -> Fraction:
    """ICC(2,1) from mean squares (Shrout and Fleiss 1979, p. 423), exactly."""
    n, k = len(one), 2
    grand = Fraction(sum(one) + sum(two), 2 * n)
    rows = [Fraction(a + b, 2) for a, b in zip(one, two, strict=True)]
    columns_ = [Fraction(sum(one), n), Fraction(sum(two), n)]
    between = k * sum((r - grand) ** 2 for r in rows) / (n - 1)
    judges = n * sum((c - grand) ** 2 for c in columns_)
    every = sum((x - grand) ** 2 for x in (*map(Fraction, one), *map(Fraction, two)))
    error = (every - (n - 1) * between - judges) / (n - 1)
    return Fraction((between - error) / (between + (k - 1) * error + k * (judges - error) / n))


def test_peak_flow_of_bland_and_altman() -> None:
    """Bland and Altman 1986, table 1, the first of two measurements with two meters: mean difference -2.1 and SD 38.8 l/min.

    Printed: limits at two standard deviations -79.7 and 75.5, the mean -22.0 to 17.8, the lower limit -114.3 to -45.1 by their
    shorter standard error sqrt(3 s^2 / n), which is within a hundredth of ours at 1.96.
    """
    large = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
    mini = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]
    apart = [float(a - b) for a, b in zip(large, mini, strict=True)]
    found = limits(apart, 2.0, SHARE)
    assert found is not None
    assert round(found.mean.value, 1) == -2.1
    assert round(found.deviation, 1) == 38.8
    assert found.mean.low == pytest.approx(-22.0, abs=0.15)
    assert found.mean.high == pytest.approx(17.8, abs=0.1)
    assert found.lower.value == pytest.approx(-79.7, abs=0.1)
    assert found.upper.value == pytest.approx(75.5, abs=0.1)
    # At 1.96 the term 1 + 1.96^2 / 2 is 2.92 and not 3, but n - 1 stands for n: that nearly makes up for it.
    short = limits(apart, 1.96, SHARE)
    assert short is not None
    assert short.lower.high is not None
    half = short.lower.high - short.lower.value
    assert half == pytest.approx((114.3 - 45.1) / 2, rel=0.01)


def test_systolic_pressure_of_bland_and_altman() -> None:
    """Bland and Altman 1999, section 2 (figures from memory): 85 subjects, mean -16.29, SD 19.61 mmHg.

    Printed: limits -54.7 and 22.1 with standard error 3.64, the lower -61.9 to -47.5, the upper 14.9 to 29.3 at 1.96 standard
    errors. Ours are a little wider, by Student's t.
    """
    found = limits_from(-16.29, 19.61, 85, 1.96, SHARE)
    t = float(stats.t.ppf(0.975, 84))
    printed = {"lower": (-54.7, -61.9, -47.5), "upper": (22.1, 14.9, 29.3)}
    for name, (value, low, high) in printed.items():
        limit = getattr(found, name)
        error = (limit.high - limit.value) / t
        assert limit.value == pytest.approx(value, abs=0.06)
        assert error == pytest.approx(3.64, abs=0.01)
        assert limit.value - limit.low == pytest.approx(limit.high - limit.value)
        assert limit.value - 1.96 * error == pytest.approx(low, abs=0.1)
        assert limit.value + 1.96 * error == pytest.approx(high, abs=0.1)


@given(grades)
@settings(max_examples=60, deadline=None)
def test_kappa_is_the_second_librarys(pairs: list[tuple[int, int]]) -> None:
    """scikit-learn 1.9, which shares no code with statsmodels, on the grades themselves and not on a table."""
    from sklearn.metrics import cohen_kappa_score

    one, two = ([p[k] / 2 for p in pairs] for k in (0, 1))
    labels = list(range(21))
    for weights, theirs in (("none", None), ("linear", "linear"), ("square", "quadratic")):
        found = kappa(table_of(one, two, STEP), weights, SHARE)  # type: ignore[arg-type]
        if found is None:
            assert len({*one, *two}) == 1
            continue
        other = cohen_kappa_score([p[0] for p in pairs], [p[1] for p in pairs], weights=theirs, labels=labels)
        assert found.value == pytest.approx(float(other), abs=1e-9)


@given(grades)
@settings(max_examples=40, deadline=None)
def test_drawn_once_each_the_sums_are_the_libraries(pairs: list[tuple[int, int]]) -> None:
    """With every visit counted once, the matrix road of the draws equals statsmodels, pingouin and the limits."""
    one, two = ([p[k] / 2 for p in pairs] for k in (0, 1))
    of = [n % 3 for n in range(len(pairs))]
    sums = statistics_of(np.ones((1, 3)), one, two, of, STEP, TIMES)
    for weights in ("none", "linear", "square"):
        found = kappa(table_of(one, two, STEP), weights, SHARE)
        value = float(sums[weights][0])
        assert math.isnan(value) if found is None else value == pytest.approx(found.value, abs=1e-9)
    whole = icc(one, two, SHARE)
    if whole is not None and math.isfinite(whole.value):
        assert float(sums["icc"][0]) == pytest.approx(whole.value, abs=1e-7)
    lim = limits([b - a for a, b in zip(one, two, strict=True)], TIMES, SHARE)
    assert lim is not None
    assert float(sums["lower"][0]) == pytest.approx(lim.lower.value, abs=1e-9)
    assert float(sums["upper"][0]) == pytest.approx(lim.upper.value, abs=1e-9)


@given(grades)
@settings(max_examples=40, deadline=None)
def test_exchanging_the_hands_turns_signs_and_nothing_else(pairs: list[tuple[int, int]]) -> None:
    one, two = ([p[k] / 2 for p in pairs] for k in (0, 1))
    for weights in ("none", "linear", "square"):
        here, there = (kappa(table_of(a, b, STEP), weights, SHARE) for a, b in ((one, two), (two, one)))
        assert (here is None) == (there is None)
        if here is not None and there is not None:
            assert here.value == pytest.approx(there.value, abs=1e-12)
    here, there = icc(one, two, SHARE), icc(two, one, SHARE)
    assert (here is None) == (there is None)
    if here is not None and there is not None and math.isfinite(here.value):
        assert here.value == pytest.approx(there.value, abs=1e-9)
    forth, back = (
        limits([y - x for x, y in zip(a, b, strict=True)], TIMES, SHARE) for a, b in ((one, two), (two, one))
    )
    assert forth is not None
    assert back is not None
    assert forth.mean.value == pytest.approx(-back.mean.value, abs=1e-12)
    assert forth.lower.value == pytest.approx(-back.upper.value, abs=1e-12)


@given(some.lists(some.integers(0, 20), min_size=3, max_size=30))
@settings(max_examples=40, deadline=None)
def test_identical_grades_agree_wholly_or_are_not_defined(found: list[int]) -> None:
    """KP11: where both used one grade only, chance agrees always, and no kappa is defined."""
    one = [x / 2 for x in found]
    for weights in ("none", "linear", "square"):
        told = kappa(table_of(one, one, STEP), weights, SHARE)
        if len(set(one)) == 1:
            assert told is None
            assert icc(one, one, SHARE) is None
        else:
            assert told is not None
            assert told.value == pytest.approx(1.0, abs=1e-12)
    if len(set(one)) > 1:
        whole = icc(one, one, SHARE)
        assert whole is not None
        assert whole.value == 1.0


@given(grades, some.randoms(use_true_random=False))
@settings(max_examples=30, deadline=None)
def test_the_order_of_places_bears_on_nothing(pairs: list[tuple[int, int]], rnd: object) -> None:
    shuffled = list(pairs)
    rnd.shuffle(shuffled)  # type: ignore[attr-defined]
    for some_pairs in (pairs, shuffled):
        assert (
            table_of([p[0] / 2 for p in some_pairs], [p[1] / 2 for p in some_pairs], STEP).tolist()
            == table_of([p[0] / 2 for p in pairs], [p[1] / 2 for p in pairs], STEP).tolist()
        )
    here, there = (icc([p[0] / 2 for p in x], [p[1] / 2 for p in x], SHARE) for x in (pairs, shuffled))
    assert (here is None) == (there is None)
    if here is not None and there is not None and math.isfinite(here.value):
        assert here.value == pytest.approx(there.value, abs=1e-9)


def test_drawing_again_is_the_same_with_a_seed_and_counts_every_visit() -> None:
    one, same, other = drawn(7, 50, 1), drawn(7, 50, 1), drawn(7, 50, 2)
    assert one.tolist() == same.tolist() != other.tolist()
    assert one.sum(axis=1).tolist() == [7.0] * 50
    assert drawn(7, 4000, 3).mean() == pytest.approx(1.0)
    assert drawn(7, 4000, 3).mean(axis=0) == pytest.approx(np.ones(7), abs=0.06)


def test_the_interval_of_draws_is_near_scipys_bootstrap() -> None:
    """scipy.stats.bootstrap, percentile form, over the same visits: a second road to the interval of a mean difference."""
    pairs = many(12, 5)
    one, two = columns(pairs)
    of = [n for n, pair in enumerate(pairs) for _ in pair.readings]
    sums = statistics_of(drawn(12, 4000, 1), one, two, of, STEP, TIMES)
    found = ends(sums["mean"], SHARE)
    assert found is not None
    means = np.array([np.mean([r.difference for r in pair.readings]) for pair in pairs])
    theirs = stats.bootstrap((means,), np.mean, n_resamples=4000, method="percentile", rng=np.random.default_rng(1))
    width = theirs.confidence_interval.high - theirs.confidence_interval.low
    assert found[0] == pytest.approx(theirs.confidence_interval.low, abs=0.08 * width)
    assert found[1] == pytest.approx(theirs.confidence_interval.high, abs=0.08 * width)
