"""One conclusion of one visit added up from the degrees of its rules, as the pass adds up all of them at once.

In: the strength, the group and the degree of each rule. Out: the certainty, and which rules counted.
Not here: where the degrees come from. For a question about one rule ("and if it had not fired?") no pass is needed.

The certainty-factor model of Shortliffe and Buchanan in van Melle's mixed-sign form; see evaluate.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from reasoner.frozen import frozen
from reasoner.inference.program import DIGITS, UNIT


@frozen
class Voice:
    """A rule as it is added up: `strength` in [-0.95, 0.95] but 0, `degree` in [0, 1]."""

    strength: float
    group: str
    degree: float


@frozen
class Sum:
    """`certainty` in [-1, 1], and for each rule whether it counted: it speaks, and none of its group is louder."""

    certainty: float
    counted: tuple[bool, ...]


def added_up(voices: Sequence[Voice]) -> Sum:
    """The sum over groups of the loudest voice of each.

    >>> added_up([Voice(0.4, "a", 1.0), Voice(0.5, "b", 1.0), Voice(0.2, "b", 1.0)])
    Sum(certainty=0.7, counted=(True, True, False))
    """
    weights = [round(-math.log1p(-abs(voice.strength) * voice.degree) * UNIT) for voice in voices]
    loudest: dict[tuple[bool, str], int] = {}
    for voice, weight in zip(voices, weights, strict=True):
        key = (voice.strength < 0, voice.group)
        loudest[key] = max(loudest.get(key, 0), weight)
    total = sum(-weight if against else weight for (against, _), weight in loudest.items())
    certainty = math.copysign(round(1.0 - math.exp(-abs(total) / UNIT), DIGITS), total) if total else 0.0
    counted = (
        bool(weight) and weight == loudest[voice.strength < 0, voice.group]
        for voice, weight in zip(voices, weights, strict=True)
    )
    return Sum(certainty, tuple(counted))
