"""How often, with an interval that says how little a few cases tell.

In: counts. Out: `Rate`; probabilities of runs; which of many tests stay rare. All from scipy.
Not here: what is counted. scipy.stats is imported late: only the two commands that count need it.

Intervals: Wilson 1927 (J Am Stat Assoc 22:209), the score interval, which stays within 0 and 1 and means something for small
counts too. Runs: the exact binomial. Two groups: Fisher's exact test. Many at once: Benjamini and Hochberg 1995.
"""

from __future__ import annotations

from collections.abc import Sequence

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
    from scipy.stats import binomtest

    interval = binomtest(count, of).proportion_ci(confidence_level=confidence, method="wilson")
    return Rate(count=count, of=of, share=count / of, low=float(interval.low), high=float(interval.high))


def chance_of_run(count: int, of: int, usual: float) -> float:
    """How likely so uneven a split of `of` is by chance alone, where one side usually has the share `usual` (two-sided)."""
    from scipy.stats import binomtest

    return float(binomtest(count, of, usual).pvalue)


def chance_of_more(count: int, of: int, others: int, of_others: int) -> float:
    """How likely it is by chance alone that a group has at least `count` of `of` where the others have `others` of
    `of_others` (Fisher, one-sided)."""
    from scipy.stats import fisher_exact

    table = [[count, of - count], [others, of_others - others]]
    return float(fisher_exact(table, alternative="greater").pvalue)


def chance_of_difference(count: int, of: int, others: int, of_others: int) -> float:
    """How likely so great a difference of two shares is by chance alone (Fisher, two-sided)."""
    from scipy.stats import fisher_exact

    return float(fisher_exact([[count, of - count], [others, of_others - others]]).pvalue)


def after_many(chances: Sequence[float]) -> tuple[float, ...]:
    """The chances after all that was looked at at once: those up to q hold at most a share q of false ones in the mean."""
    if not chances:
        return ()
    from scipy.stats import false_discovery_control

    return tuple(float(one) for one in false_discovery_control(list(chances)))
