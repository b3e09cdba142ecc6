"""What to do about two stirrups, in millimetres and holes.

In: a visit and the rulebook; or a pair by itself. Out: sentences, the number first.
Not here: whether the step stands, the arithmetic (measures/stirrup.py), what a shorter stirrup does (rendering shows both views).
"""

from __future__ import annotations

import math

from reasoner.facts.measured_stirrups import pair_at
from reasoner.measures.roll import size
from reasoner.measures.stirrup import Pair
from reasoner.measures.uncertain import nominal
from reasoner.plan.dose_shim import OPPOSITE, length
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit


def reckoned(visit: Visit, side: str, book: Rulebook) -> tuple[str, ...]:
    """The change in numbers, one for both sides; nothing where the two were not measured."""
    pair = pair_at(visit, book)
    return sentences(pair) if pair is not None else ()


def sentences(pair: Pair) -> tuple[str, ...]:
    """How far the two differ, and what that is in holes."""
    lengths = f"left {length(pair.left_mm)}, right {length(pair.right_mm)}, bar to tread"
    if pair.shorter == "even":
        return (f"By the tape the two are even: {lengths}; a difference shows from {pair.give_or_take_mm:.0f} mm on.",)
    other = OPPOSITE[pair.shorter]
    return (
        f"By the tape the {pair.shorter.upper()} stirrup is the shorter, by {length(size(pair.difference_mm))}, "
        f"±{pair.give_or_take_mm:.0f} mm ({lengths}).",
        f"To level them, let the {pair.shorter} one down or take the {other} one up by {in_holes(pair)}, then measure again.",
    )


def in_holes(pair: Pair) -> str:
    """The difference in millimetres and in holes, and whose distance between holes that is."""
    whose = "measured" if pair.spacing_given else "own setting; measure yours"
    every = f"{length(pair.spacing_mm)} from hole to hole, {whose}"
    holes = (
        math.floor(round(pair.holes * 2, 6) + 0.5) / 2
    )  # to the nearest half; a tie must not hang on a last binary digit
    said = f"{holes:g} hole{'' if holes == 1 else 's'}" if holes else "less than half a hole"
    return f"{length(abs(nominal(pair.difference_mm)))}, about {said} ({every})"
