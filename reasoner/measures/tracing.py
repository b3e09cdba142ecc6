"""Widths, differences and slopes from a line traced over the back.

In: the points of each side, (out, down) in mm from the midline outwards, an instrument's errors. Out: widths in mm, a ratio,
degrees, each with its error. Not here: sites, depths and errors (they stand in the table), files, wording.

Between two points the line is taken as straight (piecewise linear): it can neither overshoot a point nor put a bulge between two
points where nobody measured, and a point added on the line changes nothing. A smooth curve through the same points can do both.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from reasoner.frozen import frozen
from reasoner.rulebook.measures.tracing import Between, Instrument

if TYPE_CHECKING:
    from uncertainties import UFloat

Side = Literal["left", "right"]
Point = tuple[float, float]

#: Less than this is how a sum comes out when its parts are added in another order, as they are for the mirror image.
HAIR_MM = 1e-9


class NotReached(ValueError):
    """A depth that the line does not come down to. `side`, `ends_mm` (its lowest point below the midline) and `asked_mm`."""

    def __init__(self, side: Side, ends_mm: float, asked_mm: float) -> None:
        self.side, self.ends_mm, self.asked_mm = side, ends_mm, asked_mm
        super().__init__(f"the {side} side ends {ends_mm:.0f} mm down; {asked_mm:.0f} mm was asked")


@frozen(kw_only=True)
class Widths:
    """How far out each side of the back lies at one depth below its midline, all in mm with their errors.

    `narrower` is the side that lies further in by more than the error, "even" where neither does. `crossings` is how often the
    line passes this depth, at most, on either side: more than once where it dips; the outermost is read.
    """

    depth_mm: float
    left: UFloat
    right: UFloat
    full: UFloat
    difference: UFloat
    narrower: Literal["left", "right", "even"]
    crossings: int


def below_midline(points: Sequence[tuple[Decimal, Decimal]]) -> tuple[Point, ...]:
    """Points of a side as (out, down below the midline) in mm; the first point must lie on the midline (out 0).

    >>> below_midline([(Decimal(0), Decimal(4)), (Decimal(30), Decimal(0))])
    ((0.0, 0.0), (30.0, -4.0))
    """
    top = points[0][1]
    return tuple((float(out), float(down - top)) for out, down in points)


def half_width_mm(side: Side, points: Sequence[Point], depth_mm: float) -> tuple[float, int]:
    """How far out the line lies where it passes `depth_mm` below the midline for the last time, and how often it passes it.

    Raises NotReached where its lowest point is not that far down. Source: the intersection of a level line with a polyline.

    >>> half_width_mm("left", [(0, 0), (40, 20), (60, 60)], 30)
    (45.0, 1)
    """
    lowest = max(down for _, down in points)
    if lowest < depth_mm:
        raise NotReached(side, lowest, depth_mm)
    found = [point[0] for point in points[:1] if point[1] == depth_mm]
    for (out, down), (next_out, next_down) in pairwise(points):
        if next_down == depth_mm:
            found.append(next_out)
        elif (down < depth_mm) != (next_down < depth_mm) and down != depth_mm:
            found.append(out + (next_out - out) * (depth_mm - down) / (next_down - down))
    return found[-1], len(found)


def _give(side: Side, points: Sequence[Point], depth_mm: float, error_mm: float) -> float:
    """How much further out the line lies for each mm deeper: between one error above and one below, as far as it reaches.

    Over that whole stretch and not at a point, so that a corner or a flat part of the line does not make it jump.
    """
    if error_mm <= 0:
        return 0.0
    lowest = max(down for _, down in points)
    upper, lower = max(depth_mm - error_mm, 0.0), min(depth_mm + error_mm, lowest)
    if lower <= upper:
        return 0.0
    out_upper, out_lower = (half_width_mm(side, points, depth)[0] for depth in (upper, lower))
    return (out_lower - out_upper) / (lower - upper)


def _off(error_mm: float) -> UFloat:
    """Nothing, with an error; an error of 0 is taken as a hair, for the library asks for some."""
    from uncertainties import ufloat

    return ufloat(0, max(error_mm, HAIR_MM))


class Tracer:
    """One line over the back at one station, read by one hand: its widths and slopes share the same errors.

    Both sides share the mark of the midline (what it gives one side it takes from the other) and the depth; each side has the
    error of its own line at each depth. A side that was not traced is left out of `sides`.
    """

    def __init__(self, sides: dict[Side, tuple[Point, ...]], instrument: Instrument) -> None:
        self.sides, self.instrument = sides, instrument
        self._midline = _off(instrument.midline_mm)
        self._read: dict[tuple[Side, float], UFloat] = {}
        self._depth: dict[float, UFloat] = {}

    def side_mm(self, side: Side, depth_mm: float) -> UFloat:
        """How far out one side lies at a depth. Raises NotReached, and KeyError where the side was not traced."""
        if (side, depth_mm) not in self._read:
            points = self.sides[side]
            out, _ = half_width_mm(side, points, depth_mm)
            deeper = self._depth.setdefault(depth_mm, _off(self.instrument.depth_mm))
            give = _give(side, points, depth_mm, self.instrument.depth_mm)
            off = self._midline if side == "left" else -self._midline
            self._read[side, depth_mm] = out + _off(self.instrument.line_mm) + give * deeper + off
        return self._read[side, depth_mm]

    def widths(self, depth_mm: float, errors_shown: float) -> Widths:
        """Both half-widths at a depth, their sum and their difference (left less right). Raises NotReached."""
        left, right = self.side_mm("left", depth_mm), self.side_mm("right", depth_mm)
        difference = left - right
        narrower: Literal["left", "right", "even"] = "even"
        if abs(difference.n) - errors_shown * difference.s > HAIR_MM:
            narrower = "left" if difference.n < 0 else "right"
        crossings = max(half_width_mm(side, self.sides[side], depth_mm)[1] for side in ("left", "right"))
        return Widths(
            depth_mm=depth_mm, left=left, right=right, full=left + right, difference=difference, narrower=narrower,
            crossings=crossings,
        )  # fmt: skip

    def ratio(self, between: Between) -> UFloat:
        """The full width at the upper depth for one mm of full width at the lower one. Raises NotReached."""
        upper, lower = (
            self.side_mm("left", at) + self.side_mm("right", at) for at in (between.upper_mm, between.lower_mm)
        )
        return upper / lower

    def slope_deg(self, side: Side, between: Between) -> UFloat:
        """How steep one side falls between two depths: the straight line between its two points, in degrees from the horizontal.

        0 is level, 90 upright. angle = atan(depth between / out between). Raises NotReached.
        """
        from uncertainties import umath

        out = self.side_mm(side, between.lower_mm) - self.side_mm(side, between.upper_mm)
        angle: UFloat = umath.degrees(umath.atan2(between.lower_mm - between.upper_mm, out))
        return angle
