"""Agreement of two columns of grades: weighted kappa, ICC, mean difference and limits, each with its interval.

In: the grades of two hands, place by place. Out: `Estimate`s, None where a statistic is not defined.
Not here: which places, what a number is called (rules/measures/agreement.yaml), drawing again (resampling).

Kappa and its standard error come from statsmodels (Fleiss, Cohen and Everitt 1969), imported where it is used, for it takes a
second to come. The ICC and its interval are McGraw and Wong's formulas (1996) over variances, with F from scipy: the one kept
library that has them is under a licence that ours cannot carry, so it stands in the tests, and this is held to it there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

import numpy as np

from reasoner.frozen import frozen
from reasoner.inference.program import Floats, Ints

Weights = Literal["none", "linear", "square"]
MOST = 10.0  # the top of the soreness scale
_WT = {"none": None, "linear": "linear", "square": "quadratic"}
By = Literal["formula", "visits drawn again"]


@frozen(kw_only=True)
class Estimate:
    """A number and its interval; the ends are None where the formula gives none. `by` says how the interval was made."""

    value: float
    low: float | None = None
    high: float | None = None
    by: By = "formula"


@frozen(kw_only=True)
class Limits:
    """Bland and Altman's figures, in the unit of the readings: the mean difference, its standard deviation, both limits."""

    mean: Estimate
    deviation: float
    lower: Estimate
    upper: Estimate


def table_of(one: Sequence[float], two: Sequence[float], step: float) -> Ints:
    """How often each pair of grades was given: a square table over the whole scale from 0 to 10 in its own steps."""
    size = round(MOST / step) + 1
    table = np.zeros((size, size), dtype=np.int64)
    np.add.at(table, (np.rint(np.asarray(one) / step).astype(int), np.rint(np.asarray(two) / step).astype(int)), 1)
    return table


def kappa(table: Ints, weights: Weights, share: float) -> Estimate | None:
    """Cohen's kappa of a square table of counts; None where chance alone would agree always (both used one grade)."""
    if _chance_agrees(np.asarray(table)):
        return None
    from statsmodels.stats.inter_rater import cohens_kappa

    with np.errstate(invalid="ignore", divide="ignore"):  # identical grades: the variance is 0 but for rounding
        found = cohens_kappa(np.asarray(table), wt=_WT[weights])
    value, error = float(found.kappa), float(found.std_kappa)
    if not (math.isfinite(error) and error > 0.0):
        return Estimate(value=value)
    off = _normal(share) * error
    return Estimate(value=value, low=max(-1.0, value - off), high=min(1.0, value + off))


def _chance_agrees(table: Ints) -> bool:
    """Both hands used one grade, and the same one, for every place."""
    return bool((table.sum(axis=1) > 0).sum() == 1 and np.trace(table) == table.sum())


def icc(one: Sequence[float], two: Sequence[float], share: float) -> Estimate | None:
    """ICC(A,1), equal to ICC(2,1): two-way, absolute agreement, one grade. None where no place differs from another."""
    a, b = np.asarray(one, dtype=float), np.asarray(two, dtype=float)
    if len(a) < 2 or np.ptp(np.concatenate((a, b))) == 0.0:
        return None
    if np.array_equal(a, b):
        return Estimate(value=1.0)
    if np.ptp(a + b) == 0.0 and np.ptp(a - b) == 0.0:
        return None  # nothing but a constant shift: no place differs from another
    return _icc(a, b, share)


def _icc(a: Floats, b: Floats, share: float) -> Estimate:
    """From the mean squares of places, hands and what is left (McGraw and Wong 1996, table 4, case 2), with their interval by F
    (table 7). With two hands the mean squares are variances of sums and differences."""
    n, k = len(a), 2
    places, left = k * float(((a + b) / k).var(ddof=1)), float((a - b).var(ddof=1)) / k
    hands = n * float((a - b).mean()) ** 2 / k
    value = (places - left) / (places + (k - 1) * left + k * (hands - left) / n)
    if left < 1e-12 * (places + hands):
        return Estimate(value=value)  # nothing but a constant shift between the hands: F is without end
    from scipy import special

    shift, free = hands / left, (n - 1) * (k - 1)
    by_place = n * (1 + (k - 1) * value) - k * value
    whole = free * (k * value * shift + by_place) ** 2 / ((n - 1) * k**2 * value**2 * shift**2 + by_place**2)
    upper, lower = (float(special.fdtri(*dfs, 0.5 + share / 2)) for dfs in ((n - 1, whole), (whole, n - 1)))
    rest = k * hands + (k * n - k - n) * left
    low = n * (places - upper * left) / (upper * rest + n * places)
    high = n * (lower * places - left) / (rest + n * lower * places)
    return Estimate(value=value, low=max(-1.0, low), high=min(1.0, high))


def limits(differences: Sequence[float], times: float, share: float) -> Limits | None:
    """Mean difference and limits of agreement of n differences; None below three.

    The standard error of a limit is s * sqrt(1/n + times^2 / (2 (n - 1))) (Bland and Altman 1999, section 2.1), of the mean
    s / sqrt(n); both are spread by Student's t with n - 1 degrees of freedom.
    """
    found = np.asarray(differences, dtype=float)
    if len(found) < 3:
        return None
    return limits_from(float(found.mean()), float(found.std(ddof=1)), len(found), times, share)


def limits_from(mean: float, deviation: float, n: int, times: float, share: float) -> Limits:
    """The same from mean, standard deviation and number."""
    from scipy import special

    spread = float(special.stdtrit(n - 1, 0.5 + share / 2))
    off_mean = spread * deviation / math.sqrt(n)
    off = spread * deviation * math.sqrt(1 / n + times**2 / (2 * (n - 1)))
    low, high = mean - times * deviation, mean + times * deviation
    return Limits(
        mean=Estimate(value=mean, low=mean - off_mean, high=mean + off_mean), deviation=deviation,
        lower=Estimate(value=low, low=low - off, high=low + off), upper=Estimate(value=high, low=high - off, high=high + off),
    )  # fmt: skip


def _normal(share: float) -> float:
    from scipy import special

    return float(special.ndtri(0.5 + share / 2))
