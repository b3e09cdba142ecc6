"""Slopes of the two fore feet: how far apart, which is the steeper, and what each is called.

In: the slope of the front of each fore hoof against the ground in degrees, how far one may be off, the table `feet_and_gait`.
Out: `Slopes`.
Not here: what an uneven pair means, reading of text.
"""

from __future__ import annotations

from typing import Literal

from reasoner.frozen import frozen
from reasoner.measures.symmetry import Amount, Larger, larger_side, uncertain
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.measures.feet_and_gait import FeetAndGait

register({"MS45": "a number that cannot be"})

Called = Literal["flat", "medium", "upright"]


@frozen(kw_only=True)
class Slopes:
    """Both fore feet, in degrees. `difference` is right less left.

    `steeper` is "even" where the pair is not uneven by the published difference, or the difference is no more than what the
    two readings together may be off (`within_error`). `left_called` and `right_called` are the published classes.
    """

    left: Amount
    right: Amount
    difference: float
    difference_error: float
    steeper: Larger
    within_error: bool
    left_called: Called
    right_called: Called

    @property
    def flatter(self) -> Larger:
        """The side with the flatter foot, or "even"."""
        return {"left": "right", "right": "left", "even": "even"}[self.steeper]  # type: ignore[return-value]


def called(angle_deg: float, table: FeetAndGait) -> Called:
    """What published work calls a foot of this slope: flat below 50, medium from 50 to 55, upright above 55 degrees.

    Source of the limits, which stand in the table: Wiggers and others 2015.
    """
    if angle_deg < table.classes.flat_below_deg:
        return "flat"
    return "upright" if angle_deg > table.classes.upright_above_deg else "medium"


def slopes(left_deg: float, right_deg: float, table: FeetAndGait, error_deg: float | None = None) -> Slopes:
    """Both fore feet against each other; `error_deg` is how far one slope may be off, else the table's own setting.

    A pair is uneven above 1.5 degrees of difference (Wiggers and others 2015; the limit stands in the table).
    Raises BadInput (MS45) for a slope that is not between 0 and 90 degrees, or an error that is not above 0.
    """
    error = table.angle_error.deg if error_deg is None else error_deg
    if not 0 < error < 90:
        raise _bad(f"an error of {error:g} degrees was read; how far a slope may be off is more than 0.")
    for side, angle in (("left", left_deg), ("right", right_deg)):
        if not 0 < angle < 90:
            raise _bad(f"{side}: {angle:g} degrees was read; the slope of a hoof lies between 0 and 90.")
    wide = table.angle_error.wide
    left, right = Amount(value=left_deg, error=error), Amount(value=right_deg, error=error)
    difference = round(right_deg - left_deg, 9)
    together = round(float((uncertain(right, wide) - uncertain(left, wide)).std_dev) * wide, 9)
    return Slopes(
        left=left,
        right=right,
        difference=difference,
        difference_error=together,
        steeper=larger_side(difference, together, table.classes.uneven_above_deg),
        within_error=abs(difference) <= together,
        left_called=called(left_deg, table),
        right_called=called(right_deg, table),
    )


def _bad(sentence: str) -> BadInput:
    return BadInput([Problem("measure", 0, "MS45", sentence)])
