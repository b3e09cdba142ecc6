"""How often, with an interval that says how little a few cases tell.

In: counts. Out: `Rate`; probabilities of runs; which of many tests stay rare.
Not here: what is counted. The quantile, the gamma function and the tails come from scipy.special; scipy.stats, which has all of
this ready made, takes longer to import than a whole track record to count, and is what the tests hold every number against.

Intervals: Wilson 1927 (J Am Stat Assoc 22:209), the score interval, which stays within 0 and 1 and means something for small
counts too. Runs: the exact binomial. Two groups: Fisher's exact test, in whole numbers. Many at once: Benjamini and Hochberg 1995
(J R Stat Soc B 57:289).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache, lru_cache

from reasoner.frozen import frozen


@frozen(kw_only=True)
class Rate:
    """`count` of `of` cases; `share` and its interval `low` to `high`, all between 0 and 1, None where there is no case."""

    count: int
    of: int
    share: float | None
    low: float | None
    high: float | None


def rate(count: int, of: int, confidence: float) -> Rate:
    """The share with its Wilson interval at `confidence` (0 to 1)."""
    if not of:
        return Rate(count=0, of=0, share=None, low=None, high=None)
    z2 = _quantile(confidence) ** 2
    share = count / of
    middle = (share + z2 / (2 * of)) / (1 + z2 / of)
    half = math.sqrt(z2 * (share * (1 - share) + z2 / (4 * of)) / of) / (1 + z2 / of)
    # At none and at all the bound is 0 and 1 exactly, which rounding would miss.
    low, high = middle - half if count else 0.0, middle + half if count < of else 1.0
    return Rate(count=count, of=of, share=share, low=low, high=high)


@cache
def _quantile(confidence: float) -> float:
    """How many standard deviations hold the share `confidence` of a normal distribution, about its middle."""
    from scipy.special import ndtri

    return float(ndtri((1 + confidence) / 2))


#: Chances that differ by less than this share of themselves are the same, and were rounded.
_ALIKE = 1e-7


def chance_of_run(count: int, of: int, usual: float) -> float:
    """How likely so uneven a split of `of` is by chance alone, where one side usually has the share `usual` (two-sided): the
    chances of all splits no likelier than this one, together."""
    import numpy as np
    from scipy.special import gammaln, xlog1py, xlogy

    every = np.arange(of + 1)
    ways = gammaln(of + 1) - gammaln(every + 1) - gammaln(of - every + 1)
    chances = np.exp(ways + xlogy(every, usual) + xlog1py(of - every, -usual))
    return min(1.0, float(chances[chances <= chances[count] * (1 + _ALIKE)].sum()))


def chance_of_more(count: int, of: int, others: int, of_others: int) -> float:
    """How likely it is by chance alone that a group has at least `count` of `of` where the others have `others` of
    `of_others` (Fisher, one-sided)."""
    ways, least = _ways(of, of_others, count + others)
    return sum(ways[max(0, count - least) :]) / sum(ways)


def chance_of_difference(count: int, of: int, others: int, of_others: int) -> float:
    """How likely so great a difference of two shares is by chance alone (Fisher, two-sided)."""
    ways, least = _ways(of, of_others, count + others)
    return sum(each for each in ways if each <= ways[count - least]) / sum(ways)


@lru_cache(maxsize=1024)
def _ways(of: int, of_others: int, both: int) -> tuple[tuple[int, ...], int]:
    """In how many ways the group has each share of `both` that it can have, and the least it can have."""
    least, most = max(0, both - of_others), min(of, both)
    return tuple(math.comb(of, n) * math.comb(of_others, both - n) for n in range(least, most + 1)), least


def after_many(chances: Sequence[float]) -> tuple[float, ...]:
    """The chances after all that was looked at at once: those up to q hold at most a share q of false ones in the mean."""
    found, least = [0.0] * len(chances), 1.0
    order = sorted(range(len(chances)), key=chances.__getitem__)
    for place in range(len(order), 0, -1):
        least = min(least, chances[order[place - 1]] * len(chances) / place)
        found[order[place - 1]] = least
    return tuple(found)
