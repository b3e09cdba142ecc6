"""Where a saddle sits: what was measured of it once, and the side and the roll that come of it.

In: `Seat`, plain millimetres, degrees and kilograms, and the table of shims. Out: rolls with their error, and a side.
Not here: reading a visit or a command line, wording. What is nearer to the middle than it can be read is the middle.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from reasoner.frozen import frozen
from reasoner.measures.roll import Amount, impossible, radius_of_arc_mm, roll_from_arc_deg, roll_from_heights_deg
from reasoner.measures.uncertain import error_of, nominal
from reasoner.rulebook.measures.shims import Shims

Place = Literal["left", "right", "straight"]
How = Literal["by degrees", "by heights", "by millimetres and a radius"]


@frozen(kw_only=True)
class Seat:
    """One saddle measured at one time; None was not measured. `off_mm` and `roll_deg` are positive to the horse's right.

    `heights_mm` are left and right, `drop_mm` is how far a traced back falls away from its midline at half of `bars_mm`.
    `on_both_sides`: one reading was written on both sides at once, which cannot be; the greater of the two then stands here.
    """

    off_mm: float | None = None
    roll_deg: float | None = None
    heights_mm: tuple[float, float] | None = None
    apart_mm: float | None = None
    bars_mm: float | None = None
    radius_mm: float | None = None
    drop_mm: float | None = None
    rider_kg: float | None = None
    tack_kg: float | None = None
    mass_height_mm: float | None = None
    saddle_type: str = ""
    on_both_sides: bool = False

    @property
    def measured(self) -> bool:
        """Whether anything was measured that tells a side."""
        return not (self.off_mm is None and self.roll_deg is None and self.heights_mm is None)


@frozen(kw_only=True)
class Roll:
    """One roll with its error, and the reading it comes from."""

    deg: Amount
    how: How


def to_one_side(left: float | None, right: float | None, what: str = "The saddle") -> float | None:
    """Two amounts, one for each side it may have gone to, as one that is positive to the right; None where none was written.

    Raises BadInput: MS02 where both sides have one, MS01 where one is less than nothing.

    >>> to_one_side(None, 12.0), to_one_side(8.0, 0.0), to_one_side(None, None)
    (12.0, -8.0, None)
    """
    if left is None and right is None:
        return None
    left, right = left or 0.0, right or 0.0
    if min(left, right) < 0:
        raise impossible("MS01", f"{what}: {min(left, right):g} was read; write 0 or more on the side it has gone to.")
    if left and right:
        raise impossible("MS02", f"{what}: {left:g} to the left and {right:g} to the right were read; it can only be off to "
                         "one side.", "Leave out one of the two.")  # fmt: skip
    return right - left


def with_error(value: float, error: float) -> Amount:
    """A number that carries its error."""
    from uncertainties import ufloat

    return ufloat(value, error)


def bars_of(seat: Seat, table: Shims) -> Amount | None:
    """The distance between the bearing lines of the bars, mm, with its error."""
    return None if seat.bars_mm is None else with_error(seat.bars_mm, table.reading_error.bars_mm)


def radius_of(seat: Seat, table: Shims) -> Amount | None:
    """The radius about which the saddle turns, mm: as given, else from a tracing; None where there is neither."""
    if seat.radius_mm is not None:
        return with_error(seat.radius_mm, table.reading_error.radius_mm)
    bars = bars_of(seat, table)
    if bars is None or seat.drop_mm is None or seat.drop_mm <= 0:
        return None
    return radius_of_arc_mm(bars / 2, with_error(seat.drop_mm, table.reading_error.tracing_mm))


def rolls_of(seat: Seat, table: Shims) -> Iterator[Roll]:
    """Every roll that can be had of what was measured, the most direct reading first.

    Raises BadInput (MS03) where one is more than any saddle has.
    """
    error = table.reading_error
    if seat.roll_deg is not None:
        yield _possible(Roll(deg=with_error(seat.roll_deg, error.roll_deg), how="by degrees"), table)
    if seat.heights_mm is not None and seat.apart_mm is not None:
        left, right = (with_error(height, error.height_mm) for height in seat.heights_mm)
        deg = roll_from_heights_deg(left, right, with_error(seat.apart_mm, error.apart_mm))
        yield _possible(Roll(deg=deg, how="by heights"), table)
    radius = radius_of(seat, table)
    if seat.off_mm is not None and radius is not None:
        deg = roll_from_arc_deg(with_error(seat.off_mm, error.off_mm), radius)
        yield _possible(Roll(deg=deg, how="by millimetres and a radius"), table)


def _possible(roll: Roll, table: Shims) -> Roll:
    if abs(nominal(roll.deg)) > table.possible.roll_deg:
        raise impossible(
            "MS03",
            f"A roll of {abs(nominal(roll.deg)):.1f}° was worked out {roll.how}; nothing is worked out above "
            f"{table.possible.roll_deg:g}° (own setting).",
            "Measure again, and look at the units.",
        )
    return roll


def place_of(amount: Amount, times: float) -> Place:
    """The side of an amount that is positive to the right; straight where it is no more than `times` its deviation.

    >>> place_of(with_error(12.0, 2.5), 2), place_of(with_error(-4.0, 2.5), 2)
    ('right', 'straight')
    """
    if abs(nominal(amount)) <= times * error_of(amount):
        return "straight"
    return "right" if nominal(amount) > 0 else "left"


def sides_seen(seat: Seat, table: Shims) -> tuple[Place, ...]:
    """What each reading says by itself, the most direct one first: degrees, heights, millimetres off the middle."""
    error, times = table.reading_error, table.clear_from.times
    found: list[Place] = []
    if seat.roll_deg is not None:
        found.append(place_of(with_error(seat.roll_deg, error.roll_deg), times))
    if seat.heights_mm is not None:
        left, right = (with_error(height, error.height_mm) for height in seat.heights_mm)
        found.append(place_of(left - right, times))
    if seat.off_mm is not None:
        found.append(place_of(with_error(seat.off_mm, error.off_mm), times))
    return tuple(found)


def side_of(seat: Seat, table: Shims) -> Place | None:
    """The side the saddle has come to; None where nothing was measured.

    One reading that is clear is enough: a saddle may have slid without leaning, or lean without having slid. Where two name
    opposite sides (`differing`) the more direct one is taken, never neither: what was measured first may ask for a look at
    the legs, and a second reading must not take that away.
    """
    found = sides_seen(seat, table)
    return next((side for side in found if side != "straight"), found[0] if found else None)


def differing(seat: Seat, table: Shims) -> bool:
    """Whether two readings of one seat name opposite sides, so that nothing may be dosed from it."""
    return seat.on_both_sides or {"left", "right"} <= set(sides_seen(seat, table))
