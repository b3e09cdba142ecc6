"""A conclusion added up once more with some of its rules at another degree.

In: an answer, a conclusion, degrees by the number of the rule. Out: the band it would have.
Not here: why a degree would be another (trials.py, coverage.py). The sum is that of inference/evaluate.py, of one row.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from reasoner.consult import Answer
from reasoner.inference.program import DIGITS, UNIT


def band_with(answer: Answer, key: str, side: str, degrees: Mapping[int, float]) -> str:
    """The band of a conclusion with the rules of these numbers (their turn on the page) at these degrees in [0, 1]."""
    voices: dict[tuple[bool, str], int] = {}
    for rule in answer.record.rules_of(key, side):
        degree = degrees.get(rule.number, rule.degree)
        weight = round(-math.log1p(-abs(rule.strength) * degree) * UNIT)
        voice = (rule.strength < 0, rule.group)
        voices[voice] = max(voices.get(voice, 0), weight)
    total = sum(-weight if against else weight for (against, _), weight in voices.items())
    certainty = math.copysign(round(1.0 - math.exp(-abs(total) / UNIT), DIGITS), total) if total else 0.0
    return answer.ready.book.scales.band(certainty)
