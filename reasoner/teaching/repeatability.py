"""How far one hand wavers, from its own gradings of the same horses twice over.

In: pairs of visits by one examiner, the table of agreement. Out: a `Wavering`: an own error of reading, in the form of
rules/scales/reading_error.yaml, with what is missing where there is too little.
Not here: writing the layer (rendering), using it (questions.firm).

A grade is the horse, an amount shared by the visit, and one of its own place and side. So the differences of one pair of visits
scatter about their own mean with variance 2 noise^2, and these means scatter with variance 2 shared^2 + 2 noise^2 / n: one-way
random effects, estimated by mean squares (Searle, Casella and McCulloch, Variance Components, 1992, chapter 3). A place that is
at an end of the scale either time is left out, because there the scale hides how far the hand went. On visits drawn by the
reasoner's own wavering hand (tests/teaching/test_repeatability.py) this comes out up to a seventh too small where most places
are near 0, and a tenth too large where the hand wavers by less than the scale's own step; counting the ends it
would be a fifth too small.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from reasoner.frozen import frozen
from reasoner.inference.program import Floats
from reasoner.rulebook.measures.agreement import AgreementTable
from reasoner.teaching.paired import Pair
from reasoner.teaching.resampling import drawn, ends
from reasoner.teaching.statistics import MOST, Estimate


@frozen(kw_only=True)
class Wavering:
    """Standard deviations in points. `readings` are places graded twice away from the ends of the scale, `left_out` those
    at an end either time; `shift` is the mean of second less first. `noise` or `shared` is None where there is too
    little for it."""

    examiner: str
    readings: int
    left_out: int
    pairs: int
    shift: float
    noise: Estimate | None
    shared: Estimate | None


def wavering_of(pairs: Sequence[Pair], table: AgreementTable, seed: int) -> Wavering:
    """The error of reading of the one hand behind these pairs."""
    groups, left_out = [], 0
    for pair in pairs:
        told = [one.difference for one in pair.readings if not _at_an_end(one.one, one.two)]
        left_out += len(pair.readings) - len(told)
        if told:
            groups.append(np.asarray(told))
    every = np.concatenate(groups) if groups else np.zeros(0)
    enough = table.enough
    noise = shared = None
    if len(every) >= enough.own_noise.readings and len(every) > len(groups):
        noise = _noise(groups, table.interval.share)
        if len(groups) >= enough.own_shared.pairs:
            shared = _shared(groups, table, seed)
    return Wavering(
        examiner=pairs[0].hands[0], readings=len(every), left_out=left_out, pairs=len(groups),
        shift=float(every.mean()) if len(every) else 0.0, noise=noise, shared=shared,
    )  # fmt: skip


def components(groups: Sequence[Floats]) -> tuple[float, float]:
    """(variance within a group, variance between groups) by mean squares; the second may come out below 0."""
    sizes = np.array([len(group) for group in groups], dtype=float)
    total, k = sizes.sum(), len(groups)
    within = sum(float(((group - group.mean()) ** 2).sum()) for group in groups) / (total - k)
    if k < 2:
        return within, 0.0
    mean = sum(float(group.sum()) for group in groups) / total
    between = sum(len(group) * (float(group.mean()) - mean) ** 2 for group in groups) / (k - 1)
    size = (total - float((sizes**2).sum()) / total) / (k - 1)
    return within, (between - within) / size


def _at_an_end(one: float, two: float) -> bool:
    return one in (0.0, MOST) or two in (0.0, MOST)


def _noise(groups: Sequence[Floats], share: float) -> Estimate:
    """Half the variance within pairs, with the interval of a variance (chi-squared)."""
    from scipy import special

    within, _ = components(groups)
    free = sum(map(len, groups)) - len(groups)
    low, high = (free / float(special.chdtri(free, tail)) for tail in ((1 - share) / 2, (1 + share) / 2))
    found = math.sqrt(within / 2)
    return Estimate(value=found, low=found * math.sqrt(low), high=found * math.sqrt(high))


def _shared(groups: Sequence[Floats], table: AgreementTable, seed: int) -> Estimate:
    """Half the variance between pairs, never below 0; its interval by drawing whole pairs again."""
    _, between = components(groups)
    counts = drawn(len(groups), table.interval.draws, seed).astype(int)
    again = np.array([
        math.sqrt(max(0.0, components([group for group, n in zip(groups, row, strict=True) for _ in range(n)])[1]) / 2)
        for row in counts.tolist()
    ])  # fmt: skip
    found = ends(again, table.interval.share)
    low, high = found if found is not None else (None, None)
    return Estimate(value=math.sqrt(max(0.0, between) / 2), low=low, high=high, by="visits drawn again")
