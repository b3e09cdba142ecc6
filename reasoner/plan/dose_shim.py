"""The thickness of a shim in sentences, worked out from where the saddle sat.

In: a visit, the side the step is for, the rulebook; or a roll and the bars by themselves. Out: sentences, the number first.
Not here: whether the step stands (selection and the page decide, before this is asked), geometry (measures/).
"""

from __future__ import annotations

from decimal import Decimal

from reasoner.facts.measured_shims import after_work, standing, table_of
from reasoner.measures.roll import Amount, size
from reasoner.measures.seat import Roll, Seat, bars_of, differing, place_of, rolls_of
from reasoner.measures.shim import Shim, give_or_take, shim_for
from reasoner.measures.uncertain import nominal
from reasoner.problems import BadInput
from reasoner.quantities import shown
from reasoner.rulebook.measures.shims import Shims
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

OPPOSITE = {"left": "right", "right": "left"}
AGAIN = "measure again before anything is laid in."


def reckoned(visit: Visit, side: str, book: Rulebook) -> tuple[str, ...]:
    """The thickness for this side in numbers; a sentence why there is none where something was measured; else nothing."""
    table = table_of(book)
    for seat, when in ((after_work(visit, book), "after work"), (standing(visit, book), "on the standing horse")):
        if seat.measured:
            found = _of_seat(seat, when, side, table)
            if found:
                return found
    return ()


def _of_seat(seat: Seat, when: str, side: str, table: Shims) -> tuple[str, ...]:
    """What one measurement gives, a thickness with its warnings; nothing where it gives no roll and an earlier one may."""
    if seat.saddle_type not in table.thickness_for.types:
        return (table.thickness_for.otherwise,) if seat.saddle_type else ()
    try:
        rolls = tuple(rolls_of(seat, table))
    except BadInput as bad:
        return (f"No thickness: {bad.problems[0].sentence[0].lower()}{bad.problems[0].sentence[1:]}",)
    if differing(seat, table):
        return (f"No thickness: two readings taken {when} name opposite sides; {AGAIN}",)
    if not rolls:
        return (no_radius(),) if when == "on the standing horse" or seat.off_mm is not None else ()
    found = for_roll(rolls[0], seat, table, side, when)
    return (*found, " ".join(warned.says for warned in table.warnings)) if len(found) > 1 else found


def for_roll(
    roll: Roll, seat: Seat, table: Shims, side: str, when: str = "", wanted_deg: float | None = None,
    share: float | None = None,
) -> tuple[str, ...]:  # fmt: skip
    """The thickness for a measured roll, or why there is none.

    `side` is the side the step is for, `when` when it was measured. `wanted_deg` asks for less than the whole roll, `share`
    is what the stuff loses under the rider (None: the table's own setting).
    """
    place = place_of(roll.deg, table.clear_from.times)
    leans = f"{measured_roll(roll.deg, table)}{f', measured {when}' if when else ''}"
    if place == "straight":
        return (f"No thickness: the saddle leans no more than can be read ({leans}).",)
    if place != side:
        return (f"No thickness: by measurement it leans to the {place} ({leans}), and this is for the {side}; {AGAIN}",)
    bars = bars_of(seat, table)
    if bars is None:
        return (f"No thickness: it leans {leans}, and how far the bars are apart was not measured (bar spacing).",)
    shim = shim_for(size(roll.deg) if wanted_deg is None else wanted_deg, bars, table, share)
    return sentences(shim, roll, bars, table, side, when)


def no_radius() -> str:
    """What is missing where only millimetres were measured."""
    return (
        "No thickness: millimetres off the middle are no angle by themselves; write the roll in degrees, the heights of the two "
        "sides, or how round the back is there (its radius, or a tracing and the bar spacing)."
    )


def sentences(shim: Shim, roll: Roll, bars: Amount, table: Shims, side: str, when: str = "") -> tuple[str, ...]:
    """The thickness, the measurement behind it, the common figure beside it."""
    leans = f"{measured_roll(roll.deg, table)}{f', measured {when}' if when else ''}, {roll.how}"
    if shim.beyond:
        return (
            f"No thickness: it would be {shim.beyond} (own setting), and that is more than a shim is for ({leans}; bars "
            f"{length(bars)} apart). Nothing is laid in on this measurement; a qualified saddle fitter looks at it on the horse.",
        )
    away = f"{shim.pressed_share * 100:g} % pressed away"
    whose = "as given" if shim.share_given else "own setting; measure your stuff"
    nearer = _beside_common(shim, table)
    return (
        f"By measurement, under the {side.upper()} bar: {length(shim.laid_in_mm)} of soft shim before anybody sits on it, "
        f"{off_by(shim.laid_in_mm, table)}; under the rider {length(shim.under_load_mm)} remains of it ({away}, {whose}).",
        f"That is the wedge for {nominal(shim.roll_deg):.1f}° over bars {length(bars)} apart; the saddle leans {leans}.",
        f"Beside it the common figure, {length(shim.common_mm)} soft and uncompressed: {nearer} Over these bars "
        f"{length(shim.common_left_mm)} of it would remain and lift {nominal(shim.common_roll_deg):.1f}°.",
        f"Never thicker than {length(table.most.thickness_mm)}, and never for more than {table.most.roll_deg:g}° (own setting). "
        "The thickness is geometry; what the saddle then does on both reins decides.",
    )


def _beside_common(shim: Shim, table: Shims) -> str:
    away = nominal(shim.from_common_mm)
    if abs(away) <= give_or_take(shim.from_common_mm, table):
        return f"the two are {abs(away):.0f} mm apart, which is within the error of measuring."
    return f"what is worked out is {abs(away):.0f} mm {'thicker' if away > 0 else 'thinner'}."


def why_this_side(side: str) -> str:
    """Which side, and why, for the rider."""
    other = OPPOSITE[side]
    return (
        f"The saddle comes to the {side}, so a soft shim would lie under the {side.upper()} bar and lift that side; nothing goes "
        f"under the {other} bar. Left and right are the horse's own, as you see them from behind."
    )


def measured_roll(deg: Amount, table: Shims) -> str:
    """A roll with its side and error: "3.4° to the right, ±1.2°"."""
    side = f" to the {'right' if nominal(deg) > 0 else 'left'}" if nominal(deg) else ""
    return f"{abs(nominal(deg)):.1f}°{side}, ±{give_or_take(deg, table):.1f}°"


def length(amount: Amount) -> str:
    """Millimetres, and inches to the nearest eighth."""
    return shown(Decimal(str(nominal(amount))), "length")


def off_by(amount: Amount, table: Shims) -> str:
    """The ± of a length, never shown as nothing."""
    return f"±{max(give_or_take(amount, table), 1):.0f} mm"
