"""Intervals by drawing whole visits again: the places of one horse hang together, so the visit is what is drawn.

In: grades of two hands, and which visit each belongs to. Out: the interval of every statistic (Efron's percentile form).
Not here: the statistics on the grades themselves (statistics).

Every statistic is a function of sums over visits, so a draw is a row of how often each visit was drawn, times those sums: the
whole bootstrap is one product of two matrices. Held to the libraries in tests.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np

from reasoner.inference.program import Floats, Ints
from reasoner.teaching.statistics import MOST

Name = Literal["none", "linear", "square", "icc", "mean", "lower", "upper"]


def statistics_of(counts: Floats, one: Sequence[float], two: Sequence[float], of: Sequence[int], step: float,
                  times: float) -> Mapping[Name, Floats]:  # fmt: skip
    """Every statistic for each row of `counts` (draws x visits: how often each visit counts); nan where not defined.

    `of` is the visit of each reading, from 0.
    """
    a, b, visit = np.asarray(one, float), np.asarray(two, float), np.asarray(of, np.int64)
    size = round(MOST / step) + 1
    i, j = np.rint(a / step).astype(int), np.rint(b / step).astype(int)
    visits = counts.shape[1]

    def summed(values: Floats) -> Floats:
        found: Floats = np.matmul(counts, np.bincount(visit, weights=values, minlength=visits).astype(np.float64))
        return found

    n, sa, sb = summed(np.ones_like(a)), summed(a), summed(b)
    saa, sbb, sab = summed(a * a) - sa * sa / n, summed(b * b) - sb * sb / n, summed(a * b) - sa * sb / n
    p, q = (counts @ _histogram(visit, at, visits, size) for at in (i, j))
    apart = np.abs(np.arange(size)[:, None] - np.arange(size)[None, :])
    told: dict[Name, Floats] = {}
    with np.errstate(divide="ignore", invalid="ignore"):
        kinds: tuple[tuple[Name, Floats], ...] = (
            ("none", (apart > 0).astype(float)), ("linear", apart.astype(float)), ("square", apart.astype(float) ** 2),
        )  # fmt: skip
        for name, weight in kinds:
            chance = np.einsum("di,ij,dj->d", p, weight, q) / n
            told[name] = np.where(chance > 0, 1.0 - summed(weight[i, j]) / chance, np.nan)
        told["icc"] = _icc(n, sa / n, sb / n, saa, sbb, sab)
        mean = (sb - sa) / n
        deviation = np.sqrt(np.maximum(0.0, saa + sbb - 2 * sab) / (n - 1))
        told["mean"], told["lower"], told["upper"] = mean, mean - times * deviation, mean + times * deviation
    return told


def _histogram(visit: Ints, at: Ints, visits: int, size: int) -> Floats:
    table = np.zeros((visits, size))
    np.add.at(table, (visit, at), 1.0)
    return table


def _icc(n: Floats, ma: Floats, mb: Floats, saa: Floats, sbb: Floats, sab: Floats) -> Floats:
    """ICC(A,1) of two columns from their sums: (MSR - MSE) / (MSR + MSE + 2 (MSC - MSE) / n), McGraw and Wong 1996."""
    rows, error = (saa + sbb + 2 * sab) / (2 * (n - 1)), (saa + sbb - 2 * sab) / (2 * (n - 1))
    columns = n * (ma - mb) ** 2 / 2
    below = rows + error + 2 * (columns - error) / n
    return np.where(below > 1e-12, (rows - error) / below, np.nan)


def drawn(visits: int, draws: int, seed: int) -> Floats:
    """How often each visit counts in each draw (draws x visits). The bits are those of PCG64, the same with every release."""
    source = np.random.PCG64(seed)
    even = (source.random_raw(draws * visits) >> np.uint64(11)).astype(np.float64) * 2.0**-53
    chosen = np.minimum((even * visits).astype(int), visits - 1).reshape(draws, visits)
    counts = np.zeros((draws, visits))
    np.add.at(counts, (np.repeat(np.arange(draws), visits), chosen.ravel()), 1.0)
    return counts


def ends(values: Floats, share: float) -> tuple[float, float] | None:
    """The middle `share` of the draws in which the statistic is defined; None where that is fewer than half of them."""
    known = values[np.isfinite(values)]
    if len(known) * 2 < len(values):
        return None
    low, high = np.quantile(known, [(1 - share) / 2, (1 + share) / 2])
    return float(low), float(high)
