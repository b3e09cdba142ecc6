"""A hand on a floor scale: how steady, how near to what was aimed at, does it drift, left hand and right hand.

In: pushes in kg in the order they were made, what was aimed at, the table of pressing. Out: a `Practice`.
Not here: reading a log (press_log), wording, pictures. Nothing here speaks of a horse.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np

from reasoner.frozen import frozen
from reasoner.rulebook.measures.press import PressTable

Hand = Literal["left", "right", "both"]
HANDS: tuple[Hand, ...] = ("left", "right", "both")


@frozen(kw_only=True)
class Push:
    """One push: what the scale read, in kg; `hand` which pushed ("both": the two together); `session` its day or a name."""

    kg: float
    hand: Hand
    session: str = ""


@frozen(kw_only=True)
class Within:
    """A number with its interval; None where there is too little for one."""

    value: float
    low: float | None = None
    high: float | None = None


@frozen(kw_only=True)
class Series:
    """The pushes of one hand. `mean_kg`; `off_kg` mean less the aim; `deviation_kg` and `variation_percent` (of the mean) are the
    spread; `drift_kg` a push, by least squares over the order of the pushes; `steps_kg` is the root mean square of the
    change from one push to the next, over the square root of two: the spread that is left when a slow drift is taken out."""

    pushes: tuple[float, ...]
    mean_kg: Within
    off_kg: Within
    deviation_kg: Within | None
    variation_percent: float | None
    steps_kg: float | None
    drift_kg: Within | None


@frozen(kw_only=True)
class Session:
    """One hand on one day or under one name."""

    session: str
    hand: Hand
    pushes: int
    mean_kg: float
    deviation_kg: float | None


@frozen(kw_only=True)
class Practice:
    """What a log of pushes comes to. `apart_kg` is right less left, with its interval (Welch), where both have enough."""

    aim_kg: float
    hands: Mapping[Hand, Series]
    apart_kg: Within | None
    sessions: tuple[Session, ...]


def practice_of(pushes: Sequence[Push], aim_kg: float, table: PressTable) -> Practice:
    """Work out a log of pushes made with one aim (kg, above 0)."""
    by_hand = {hand: tuple(p.kg for p in pushes if p.hand == hand) for hand in HANDS}
    hands = {hand: series_of(found, aim_kg, table) for hand, found in by_hand.items() if found}
    left, right = by_hand["left"], by_hand["right"]
    least = table.enough.spread.pushes
    apart = _apart(left, right, table.interval.share) if min(len(left), len(right)) >= least else None
    names = dict.fromkeys((p.session, p.hand) for p in pushes)
    sessions = [
        _session(name, hand, [p.kg for p in pushes if (p.session, p.hand) == (name, hand)], least)
        for name, hand in names
    ]
    several = len({name for name, _ in names}) > 1
    return Practice(aim_kg=aim_kg, hands=hands, apart_kg=apart, sessions=tuple(sessions) if several else ())


def series_of(kg: Sequence[float], aim_kg: float, table: PressTable) -> Series:
    """The figures of one hand; spread and drift only where the table says there are enough pushes."""
    found, share = np.asarray(kg, dtype=float), table.interval.share
    n, mean = len(found), float(found.mean())
    if n < table.enough.spread.pushes:
        return Series(pushes=tuple(kg), mean_kg=Within(value=mean), off_kg=Within(value=mean - aim_kg), deviation_kg=None,
                      variation_percent=None, steps_kg=None, drift_kg=None)  # fmt: skip
    from scipy import special

    deviation = float(found.std(ddof=1))
    off = float(special.stdtrit(n - 1, 0.5 + share / 2)) * deviation / math.sqrt(n)
    ends = [(n - 1) / float(special.chdtri(n - 1, tail)) for tail in ((1 - share) / 2, (1 + share) / 2)]
    return Series(
        pushes=tuple(kg), mean_kg=Within(value=mean, low=mean - off, high=mean + off),
        off_kg=Within(value=mean - aim_kg, low=mean - aim_kg - off, high=mean - aim_kg + off),
        deviation_kg=Within(value=deviation, low=deviation * math.sqrt(ends[0]), high=deviation * math.sqrt(ends[1])),
        variation_percent=100 * deviation / mean if mean > 0 else None,
        steps_kg=float(np.sqrt((np.diff(found) ** 2).mean() / 2)),
        drift_kg=_drift(found.tolist(), share) if n >= table.enough.drift.pushes else None,
    )  # fmt: skip


def _drift(kg: Sequence[float], share: float) -> Within:
    """The least-squares slope over the number of the push, with its interval by Student's t."""
    if np.ptp(kg) == 0.0:
        return Within(value=0.0, low=0.0, high=0.0)  # the library divides by the spread
    from scipy import special, stats

    fit = stats.linregress(np.arange(len(kg), dtype=float), np.asarray(kg))
    off = float(special.stdtrit(len(kg) - 2, 0.5 + share / 2)) * float(fit.stderr)
    return Within(value=float(fit.slope), low=float(fit.slope) - off, high=float(fit.slope) + off)


def _apart(left: Sequence[float], right: Sequence[float], share: float) -> Within:
    """Right less left, with the interval of two means whose spreads differ (Welch 1947)."""
    value = float(np.mean(right) - np.mean(left))
    if np.ptp(left) == 0.0 and np.ptp(right) == 0.0:
        return Within(value=value)
    from scipy import stats

    found = stats.ttest_ind(np.asarray(right), np.asarray(left), equal_var=False).confidence_interval(share)
    return Within(value=value, low=float(found.low), high=float(found.high))


def _session(name: str, hand: Hand, kg: Sequence[float], least: int) -> Session:
    spread = float(np.std(kg, ddof=1)) if len(kg) >= least else None
    return Session(session=name, hand=hand, pushes=len(kg), mean_kg=float(np.mean(kg)), deviation_kg=spread)
