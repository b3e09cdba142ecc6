"""One saddle measured at one time, in sentences: where it sits, how far it leans, what each side bears.

In: a `Seat`, when it was measured, and the table of shims. Out: `SeatTold`.
Not here: thicknesses (measured_shims_alone.py and the plan), drawing, arithmetic.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field
from typing import Any

from reasoner.frozen import frozen
from reasoner.measures.bearing import Bearing, bearing_of
from reasoner.measures.roll import Amount, size
from reasoner.measures.seat import Place, Roll, Seat, bars_of, differing, place_of, rolls_of, side_of, with_error
from reasoner.measures.shim import give_or_take
from reasoner.measures.uncertain import nominal
from reasoner.plan.dose_shim import length, measured_roll, no_radius, off_by
from reasoner.problems import BadInput
from reasoner.rendering.amounts import behind
from reasoner.rendering.phrases import listed
from reasoner.rendering.roll_picture import Drawn
from reasoner.rulebook.measures.shims import Shims
from reasoner.rulebook.pages import bases as flat

ARC = (
    "Degrees from millimetres take it that the saddle turns about the line of the back: arc over radius. A saddle that slides "
    "without turning leans less."
)
STATICS = (
    "The load on each side is for level ground, a horse standing still, everything rigid and the rider leaning with the saddle; "
    "in a gait more comes down, and riders sit against a lean. Left and right together are the whole load."
)


@frozen(kw_only=True)
class SeatTold:
    """What there is to say of one saddle at one time. `side` None: nothing was measured. `differ`: two readings name
    opposite sides."""

    lines: tuple[str, ...]
    side: Place | None = None
    differ: bool = False
    rolls: tuple[Roll, ...] = ()
    bearing: Bearing | None = None
    bars: Amount | None = None
    rests_on: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    not_measured: tuple[str, ...] = ()
    numbers: dict[str, Any] = field(default_factory=dict)


def seat_told(seat: Seat, when: str, table: Shims) -> SeatTold:
    """Everything one measurement says. What cannot be is said, and nothing is worked out from it."""
    lines = list(_sides(seat, when, table))
    side, bars = side_of(seat, table), bars_of(seat, table)
    missing: list[str] = []
    try:
        rolls = tuple(rolls_of(seat, table))
    except BadInput as bad:
        rolls = ()
        lines.append(bad.problems[0].sentence)
    lines += [f"Roll {measured_roll(roll.deg, table)} ({roll.how})." for roll in rolls]
    cautions = [ARC] if any(roll.how == "by millimetres and a radius" for roll in rolls) else []
    if not rolls and seat.off_mm is not None:
        missing.append(no_radius().removeprefix("No thickness: ").replace("millimetres", "Millimetres", 1))
    if seat.heights_mm is not None and seat.apart_mm is None:
        missing.append("How far apart, level, the two points are whose heights were taken.")
    bearing = None
    if rolls and bars is not None and (mass := _mass(seat, table)) is not None and seat.mass_height_mm is not None:
        height = with_error(seat.mass_height_mm, table.reading_error.mass_height_mm)
        try:
            bearing = bearing_of(mass, rolls[0].deg, bars, height)
            lines += _bearing_lines(bearing, seat, table)
            cautions.append(STATICS)
        except BadInput as bad:
            lines.append(bad.problems[0].sentence)
    elif rolls:
        missing.append(f"For the load on each side: {listed(_for_the_load(seat))}.")
    if rolls or seat.off_mm is not None:
        lines.append(behind(table.clear_from.times, "how exactly each is read; own settings, none are in print"))
    return SeatTold(
        lines=tuple(lines), side=side, differ=differing(seat, table), rolls=rolls, bearing=bearing, bars=bars,
        rests_on=tuple(dict.fromkeys((*flat(table.reading_error.basis), *flat(table.clear_from.basis)))),
        cautions=tuple(cautions), not_measured=tuple(missing),
        numbers=_numbers(seat, when, side, rolls, bearing, table),
    )  # fmt: skip


def drawn_of(told: SeatTold, table: Shims, shim: str = "") -> Drawn | None:
    """What is drawn of it; None where it has no roll. A shim is drawn only where `shim` says how thick."""
    if not told.rolls:
        return None
    deg = told.rolls[0].deg
    bearing = told.bearing
    return Drawn(
        roll_deg=nominal(deg), roll_error_deg=give_or_take(deg, table), side=place_of(deg, table.clear_from.times),
        bars="" if told.bars is None else length(told.bars),
        load=None if bearing is None else (_load(bearing.left_kg, bearing.left_n), _load(bearing.right_kg, bearing.right_n)),
        shim=shim,
    )  # fmt: skip


def _sides(seat: Seat, when: str, table: Shims) -> Iterator[str]:
    """The result first: the side, then each reading that tells one."""
    side = side_of(seat, table)
    opening = f"{when[0].upper()}{when[1:]}" if when else "As measured"
    if differing(seat, table):
        yield f"{opening}: two readings name opposite sides; measure again. Until then {side}, by the more direct one."
    elif side == "straight":
        yield f"{opening}: straight; what was measured is no more than can be read."
    else:
        yield f"{opening}: the saddle has gone to the {str(side).upper()}, the horse's own {side}."
    if seat.off_mm is not None:
        off = with_error(seat.off_mm, table.reading_error.off_mm)
        where = "" if not seat.off_mm else f" to the {'right' if seat.off_mm > 0 else 'left'}"
        yield f"Its middle stands {length(size(off))}{where} of the spine, {off_by(off, table)}."
    if seat.heights_mm is not None:
        left, right = seat.heights_mm
        yield f"Its left side stands {length(left)} high and its right side {length(right)}."


def _for_the_load(seat: Seat) -> Iterator[str]:
    """What is missing for the load on each side."""
    if seat.bars_mm is None:
        yield "how far the bars are apart"
    if seat.rider_kg is None:
        yield "the mass of the rider"
    if seat.mass_height_mm is None:
        yield "how high above the bars the middle of rider and tack is"


def _mass(seat: Seat, table: Shims) -> Amount | None:
    """Rider and tack, kg; the rider alone where the tack was not weighed, and None without a rider."""
    if seat.rider_kg is None:
        return None
    rider = with_error(seat.rider_kg, table.reading_error.mass_kg)
    return rider if seat.tack_kg is None else rider + with_error(seat.tack_kg, table.reading_error.mass_kg)


def _bearing_lines(bearing: Bearing, seat: Seat, table: Shims) -> Iterator[str]:
    who = "rider (the tack was not weighed)" if seat.tack_kg is None else "rider and tack"
    whole = bearing.left_kg + bearing.right_kg
    side = "right" if nominal(bearing.shifted_kg) > 0 else "left"
    yield (
        f"Of {nominal(whole):.0f} kg of {who} the left side bears {_load(bearing.left_kg, bearing.left_n)} and the right side "
        f"{_load(bearing.right_kg, bearing.right_n)}, each ±{give_or_take(bearing.right_kg, table):.0f} kg."
    )
    if round(abs(nominal(bearing.shifted_kg)), 1):
        yield (
            f"Level, each would bear half: {abs(nominal(bearing.shifted_kg)):.1f} kg have gone to the {side}. The line of the "
            f"load lies {length(size(bearing.moved_mm))} to the {side} of the middle between the bars."
        )


def _load(kg: Amount, newtons: Amount) -> str:
    return f"{nominal(kg):.0f} kg ({nominal(newtons):.0f} N)"


def _numbers(
    seat: Seat, when: str, side: Place | None, rolls: tuple[Roll, ...], bearing: Bearing | None, table: Shims
) -> dict[str, Any]:
    return {
        "when": when or None,
        "side": side,
        "readings_differ": differing(seat, table),
        "off_mm": seat.off_mm,
        "off_give_or_take_mm": None if seat.off_mm is None else table.clear_from.times * table.reading_error.off_mm,
        "rolls": [
            {
                "how": roll.how,
                "roll_deg": round(nominal(roll.deg), 3),
                "give_or_take_deg": round(give_or_take(roll.deg, table), 3),
            }
            for roll in rolls
        ],
        "load": None
        if bearing is None
        else {
            "left_kg": round(nominal(bearing.left_kg), 3),
            "right_kg": round(nominal(bearing.right_kg), 3),
            "left_n": round(nominal(bearing.left_n), 2),
            "right_n": round(nominal(bearing.right_n), 2),
            "moved_mm": round(nominal(bearing.moved_mm), 2),
            "give_or_take_kg": round(give_or_take(bearing.right_kg, table), 3),
        },
    }
