"""How well a certainty matched what came: two proper scoring rules over a fixed list of outcomes.

In: shares given to some of the outcomes, how many outcomes there are, which one came. Out: the Brier score and the
logarithmic score; for both less is better. Not here: what the outcomes are.

What is left of the whole is spread evenly over the outcomes that were not named, so that naming nothing is a forecast too (all
alike) and nobody does better by keeping silent. Both rules are proper: nobody expects to do better than by saying what they
think."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TypeVar

Outcome = TypeVar("Outcome")


def spread(named: Mapping[Outcome, float], outcomes: int) -> float:
    """The share of each outcome that was not named, of `outcomes` in all. 0.0 where every one is named."""
    left = outcomes - len(named)
    return (1.0 - math.fsum(named.values())) / left if left else 0.0


def brier(named: Mapping[Outcome, float], outcomes: int, came: Outcome) -> float:
    """The sum over all outcomes of (share - came)^2, from 0 (all on what came) to 2 (all on something else). Brier 1950.

    >>> brier({"rain": 0.7, "dry": 0.3}, 2, "rain")
    0.18
    """
    rest = spread(named, outcomes)
    unnamed = outcomes - len(named)
    parts = [(share - (outcome == came)) ** 2 for outcome, share in named.items()]
    if came in named:
        parts.append(unnamed * rest**2)
    else:
        parts += [(unnamed - 1) * rest**2, (rest - 1.0) ** 2]
    return round(math.fsum(parts), 12)


def logarithmic(named: Mapping[Outcome, float], outcomes: int, came: Outcome) -> float:
    """Minus the natural logarithm of the share given to what came: 0 for certainty, without end for what was ruled out. Good
    1952.

    >>> round(logarithmic({"rain": 0.5}, 3, "rain"), 6)
    0.693147
    """
    share = named.get(came, spread(named, outcomes)) if came in named else spread(named, outcomes)
    return -math.log(share) if share > 0.0 else math.inf
