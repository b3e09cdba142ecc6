"""What each bar bears of rider and tack, on a saddle that leans.

In: kilograms, degrees and millimetres, plain or with their error. Out: `Bearing`.
Not here: how a horse moves (forces in a gait), horse facts, wording.
"""

from __future__ import annotations

from reasoner.frozen import frozen
from reasoner.measures.roll import Amount, above_nothing, impossible
from reasoner.measures.uncertain import nominal
from reasoner.quantities import STANDARD_GRAVITY


@frozen(kw_only=True)
class Bearing:
    """The load on each side and how far its line has moved to the right, in mm, from the middle between the bars.

    INVARIANT: left and right together are the whole load.
    """

    left_kg: Amount
    right_kg: Amount
    moved_mm: Amount

    @property
    def left_n(self) -> Amount:
        """The left side's load in newtons."""
        return self.left_kg * float(STANDARD_GRAVITY)

    @property
    def right_n(self) -> Amount:
        """The right side's load in newtons."""
        return self.right_kg * float(STANDARD_GRAVITY)

    @property
    def shifted_kg(self) -> Amount:
        """What has gone from the left to the right; negative the other way. Level, each side bears half."""
        return (self.right_kg - self.left_kg) / 2


def bearing_of(mass_kg: Amount, roll_deg: Amount, bars_mm: Amount, mass_height_mm: Amount) -> Bearing:
    """The balance of moments about the two lines on which the bars bear.

    right = m (1/2 + h tan(roll) / b), left = m (1/2 - h tan(roll) / b): `mass_kg` m of rider and tack, their middle
    `mass_height_mm` h above the middle between the bars and over it when the saddle is level, `bars_mm` b the bars apart.
    Statics of a rigid body; exact under its assumptions.

    ASSUMPTIONS: level ground, standing still, everything rigid, the rider leaning with the saddle, forces straight down. In a
    gait a rider's weight comes down with more than itself, and a rider sits against a lean, so this is where things begin.

    All but the roll are more than 0. Raises BadInput: MS01, and MS04 where the load's line lies outside both bars.

    >>> held = bearing_of(70.0, 3.0, 240.0, 500.0)
    >>> round(held.left_kg, 1), round(held.right_kg, 1), round(held.left_kg + held.right_kg, 1)
    (27.4, 42.6, 70.0)
    """
    from uncertainties import umath

    above_nothing(mass_kg, "The mass of rider and tack, in kg")
    above_nothing(mass_height_mm, "How high rider and tack have their middle above the bars, in mm")
    above_nothing(bars_mm, "The distance between the bars, in mm")
    lean = umath.radians(roll_deg)
    share = mass_height_mm * umath.tan(lean) / bars_mm
    if not abs(nominal(share)) <= 0.5:
        steepest = nominal(umath.degrees(umath.atan(bars_mm / mass_height_mm / 2)))
        raise impossible(
            "MS04",
            f"With a roll of {abs(nominal(roll_deg)):.1f}° the load would lie outside both bars; with these bars and this height "
            f"it does from {steepest:.1f}° on, and only girth and back then hold the saddle.",
            "Measure the roll and the distance between the bars again.",
        )
    return Bearing(
        left_kg=mass_kg * (0.5 - share), right_kg=mass_kg * (0.5 + share), moved_mm=mass_height_mm * umath.sin(lean)
    )
