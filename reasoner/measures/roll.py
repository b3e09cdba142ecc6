"""Roll: the angle of a wedge, and how far a saddle leans to one side.

In: millimetres and degrees, plain or with their error (`uncertainties.ufloat`). Out: the same kind of number. Degrees are
positive towards the horse's own RIGHT, which is the right of somebody who stands behind it.
Not here: which reading is used, horse facts, wording.
"""

from __future__ import annotations

from typing import Any

from reasoner.measures.uncertain import nominal
from reasoner.problems import BadInput, Problem, register

register(
    {
        "MS01": "an amount for shims or stirrups that cannot be",
        "MS02": "a saddle that would be off to both sides",
        "MS03": "a roll that no saddle has",
        "MS04": "a load that would lie outside both bars",
        "MS05": "too little was given to work anything out",
        "MS06": "a saddle type that is not known",
    }
)

Amount = Any
"""A float, or a number that carries its error (`uncertainties`)."""

HERE = "measure"
"""The place named in a problem that stands in no file."""


def impossible(code: str, sentence: str, hint: str = "") -> BadInput:
    """A problem with an amount, to be raised."""
    return BadInput([Problem(HERE, 0, code, sentence, hint)])


def size(amount: Amount) -> Amount:
    """The amount without its sign; its error stays."""
    return -amount if nominal(amount) < 0 else amount


def above_nothing(amount: Amount, what: str) -> Amount:
    """The amount, which must be more than nothing. Raises BadInput (MS01)."""
    if not nominal(amount) > 0:
        raise impossible("MS01", f"{what}: {nominal(amount):g} was read, and more than 0 was expected.")
    return amount


def wedge_deg(rise_mm: Amount, base_mm: Amount) -> Amount:
    """The angle of a wedge, in degrees: atan(rise / base). Trigonometry; exact.

    `rise_mm` is what one edge is lifted, `base_mm` (more than 0) how far the edges are apart: under a saddle, the thickness
    of a shim under one bar and the distance between the two lines on which the bars bear, a rigid saddle turning about the
    other line. Raises BadInput (MS01).

    >>> round(wedge_deg(13.0, 100.0), 2), round(wedge_deg(13.0, 400.0), 2)
    (7.41, 1.86)
    """
    from uncertainties import umath

    return umath.degrees(umath.atan(rise_mm / above_nothing(base_mm, "The distance between the bars, in mm")))


def rise_mm(angle_deg: Amount, base_mm: Amount) -> Amount:
    """What one edge of a wedge must be lifted for an angle: base x tan(angle), mm. Trigonometry; exact.

    `angle_deg` lies between -90 and 90, neither included; `base_mm` is more than 0. Raises BadInput (MS01, MS03).

    >>> round(rise_mm(3.0, 100.0), 2), round(rise_mm(5.0, 400.0), 2)
    (5.24, 35.0)
    """
    from uncertainties import umath

    if not abs(nominal(angle_deg)) < 90:
        raise impossible("MS03", f"An angle of {nominal(angle_deg):g}° was read; a wedge is less steep than 90°.")
    return above_nothing(base_mm, "The distance between the bars, in mm") * umath.tan(umath.radians(angle_deg))


def roll_from_heights_deg(left_mm: Amount, right_mm: Amount, apart_mm: Amount) -> Amount:
    """The roll from how high the same point stands on either side: atan((left - right) / apart), degrees.

    The lower side is the one the saddle leans to. `apart_mm` (more than 0) is level, not along the saddle. Trigonometry.
    Raises BadInput (MS01).

    >>> round(roll_from_heights_deg(1120.0, 1100.0, 400.0), 2)
    2.86
    """
    return wedge_deg(left_mm - right_mm, above_nothing(apart_mm, "The distance between the two points, in mm"))


def roll_from_arc_deg(off_mm: Amount, radius_mm: Amount) -> Amount:
    """The roll of a saddle that has come `off_mm` along the back: arc / radius, degrees; positive to the right.

    ASSUMPTION: the saddle turns about the line of the back as on a cylinder, and does not slide without turning. `radius_mm`
    is more than 0. Raises BadInput (MS01).

    >>> round(roll_from_arc_deg(15.0, 300.0), 2)
    2.86
    """
    from uncertainties import umath

    return umath.degrees(off_mm / above_nothing(radius_mm, "The radius of the back, in mm"))


def radius_of_arc_mm(half_width_mm: Amount, drop_mm: Amount) -> Amount:
    """The radius of the circle that falls `drop_mm` at `half_width_mm` from its top: (a^2 + s^2) / 2s, mm. Geometry; exact.

    Both more than 0. Raises BadInput (MS01).

    >>> round(radius_of_arc_mm(120.0, 40.0), 1)
    200.0
    """
    above_nothing(half_width_mm, "Half of the distance between the bars, in mm")
    above_nothing(drop_mm, "How far the back falls away to the bars, in mm")
    return (half_width_mm**2 + drop_mm**2) / (2 * drop_mm)
