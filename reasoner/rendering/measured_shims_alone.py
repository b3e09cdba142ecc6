"""`reasoner measure shims` by itself: the seat, the shim that would lift it, and everything that has to be right before.

In: a `Seat` and what is asked, and the rulebook. Out: `Told`.
Not here: reading options, arithmetic. What must be out of the way comes from the sentences of the action's own page.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reasoner.facts.measured_shims import table_of
from reasoner.frozen import frozen
from reasoner.measures.roll import Amount, impossible, size
from reasoner.measures.seat import Seat, bars_of, place_of, rolls_of
from reasoner.measures.shim import Shim, beyond, give_or_take, pressed, roll_of_thickness_deg, shim_for
from reasoner.measures.uncertain import nominal
from reasoner.plan.dose_shim import for_roll, length, no_radius, off_by, why_this_side
from reasoner.plan.doses import before_it
from reasoner.rendering.measured import Told
from reasoner.rendering.measured_shims import KEY
from reasoner.rendering.roll_picture import in_words, picture
from reasoner.rendering.seat_lines import SeatTold, drawn_of, seat_told
from reasoner.rulebook.measures.shims import Shims
from reasoner.rulebook.pages import bases as flat
from reasoner.rulebook.rulebook import Rulebook

TITLE = "Saddle roll and shims"
CALCULATION = "shim"
GATE = "Look before anything is laid in. The plan holds this step back as long as any one of these is so:"
NO_STEP = "No thickness: this rulebook has no step that lays a shim in."
NO_TYPE = "No thickness: the saddle type decides whether there is one at all, and it was not given."
NOT_A_VISIT = (
    "This is arithmetic on a few numbers. Legs, back, saddle and rider were not looked at here; a visit file is where the step "
    "is weighed."
)


@frozen(kw_only=True)
class Asked:
    """What is asked beside the seat: the roll to take away, a thickness to judge (as it lies under the rider), the share of the
    shim that the rider presses away. None where not asked or not known."""

    wanted_deg: float | None = None
    thickness_mm: float | None = None
    share: float | None = None


def told_alone(seat: Seat, asked: Asked, book: Rulebook) -> Told:
    """The seat, the thickness or why there is none, the roll of a thickness, and what stands before it.

    Raises BadInput (MS01, MS03): numbers by themselves are asked for again where they give a roll that no saddle has, while
    a visit tells it and goes on.
    """
    table = table_of(book)
    for _ in rolls_of(seat, table):
        pass
    told = seat_told(seat, "", table) if seat.measured else SeatTold(lines=(), bars=bars_of(seat, table))
    answer, shim = _thickness(told, seat, asked, book)
    judged, lifted = _judged(told.bars, seat.saddle_type, asked, table)
    side = _side(told, table)
    gate = before_it(CALCULATION, side, book) if shim is not None or judged else ()
    drawn = drawn_of(told, table, length(shim.laid_in_mm) if shim is not None and side else "")
    warned = table.warnings if shim is not None or judged else ()
    return Told(
        key=KEY, title=TITLE,
        lines=(*told.lines, *answer, *judged, *((GATE, *(f"- {one}" for one in gate)) if gate else ())),
        rests_on=tuple(dict.fromkeys((*_bases(told, table, shim, lifted), *(b for w in warned for b in flat(w.basis))))),
        cautions=(*told.cautions, *(w.says for w in warned), *((_front(table),) if warned else ()), NOT_A_VISIT),
        not_measured=told.not_measured,
        picture=picture(drawn) if drawn else "", picture_says=in_words(drawn) if drawn else "",
        numbers={
            "seats": [told.numbers] if told.numbers else [],
            "shim": _shim_numbers(shim, side, table),
            "thickness": None if lifted is None else {
                "under_load_mm": asked.thickness_mm,
                "roll_deg": round(nominal(lifted), 3),
                "give_or_take_deg": round(give_or_take(lifted, table), 3),
            },
        },
    )  # fmt: skip


def _side(told: SeatTold, table: Shims) -> str:
    """The side the saddle leans to, or an empty string."""
    if not told.rolls or told.differ:
        return ""
    place = place_of(told.rolls[0].deg, table.clear_from.times)
    return "" if place == "straight" else place


def _thickness(told: SeatTold, seat: Seat, asked: Asked, book: Rulebook) -> tuple[tuple[str, ...], Shim | None]:
    """The sentences of a thickness, and the shim; only for a saddle that gets one, in a rulebook that has the step."""
    table = table_of(book)
    if not seat.measured and asked.wanted_deg is None:
        return (), None
    if seat.saddle_type not in table.thickness_for.types:
        return ((table.thickness_for.otherwise if seat.saddle_type else NO_TYPE),), None
    if not before_it(CALCULATION, "", book):
        return (NO_STEP,), None
    if not seat.measured and asked.wanted_deg is not None:
        return _for_wanted(told.bars, asked.wanted_deg, asked.share, table)
    if told.differ:
        return ("No thickness: two readings name opposite sides.",), None
    if not told.rolls:
        return ((no_radius(),) if seat.off_mm is not None else ()), None
    side = _side(told, table)
    if asked.wanted_deg is not None and asked.wanted_deg > abs(nominal(told.rolls[0].deg)):
        raise impossible(
            "MS03",
            f"{asked.wanted_deg:g}° are to be taken away, and {abs(nominal(told.rolls[0].deg)):.1f}° were measured; a shim that "
            "lifts more than the saddle leans puts it over the other way.",
        )
    found = for_roll(told.rolls[0], seat, table, side, "", asked.wanted_deg, asked.share)
    if not side or told.bars is None:
        return found, None
    wanted = size(told.rolls[0].deg) if asked.wanted_deg is None else asked.wanted_deg
    shim = shim_for(wanted, told.bars, table, asked.share)
    return (found, None) if shim.beyond else ((*found, why_this_side(side)), shim)


def _for_wanted(
    bars: Amount | None, wanted_deg: float, share: float | None, table: Shims
) -> tuple[tuple[str, ...], Shim | None]:
    """A wedge for a roll that nobody measured: its thickness, and no side."""
    if bars is None:
        return ("No thickness: how far the bars are apart was not given.",), None
    shim = shim_for(wanted_deg, bars, table, share)
    if shim.beyond:
        return (f"No thickness: it would be {shim.beyond} (own setting), and that is more than a shim is for.",), None
    whose = "as given" if shim.share_given else "own setting; measure your stuff"
    return (
        f"A wedge of {wanted_deg:g}° over bars {length(bars)} apart is {length(shim.under_load_mm)} thick under the rider, "
        f"{off_by(shim.under_load_mm, table)}; soft stuff is laid in {length(shim.laid_in_mm)} thick for it "
        f"({shim.pressed_share * 100:g} % pressed away, {whose}).",
        f"Beside it the common figure is {length(shim.common_mm)}, soft and uncompressed.",
    ), shim


def _judged(bars: Amount | None, saddle_type: str, asked: Asked, table: Shims) -> tuple[tuple[str, ...], Amount | None]:
    """The roll that a thickness gives."""
    if asked.thickness_mm is None:
        return (), None
    if saddle_type and saddle_type not in table.thickness_for.types:
        return (table.thickness_for.otherwise,), None
    if bars is None:
        return ("For the roll a thickness gives: how far the bars are apart was not given.",), None
    lifted = roll_of_thickness_deg(asked.thickness_mm, bars, table)
    share = table.pressed_away.percent / 100 if asked.share is None else asked.share
    left = pressed(asked.thickness_mm, share)
    whose = "as given" if asked.share is not None else "own setting; measure your stuff"
    soft = roll_of_thickness_deg(left, bars, table)
    passed = beyond(lifted, asked.thickness_mm, table)
    limit = (
        (f"That is {passed} (own setting), and that is more than a shim is for. Nothing so thick is laid in.",)
        if passed
        else ()
    )
    return (
        f"A shim that is {length(asked.thickness_mm)} thick under the rider lifts its side by {nominal(lifted):.2f}°, "
        f"±{give_or_take(lifted, table):.1f}°, over bars {length(bars)} apart. If that is its thickness before anybody sits on "
        f"it, {length(left)} remains of it ({share * 100:g} % pressed away, {whose}) and it lifts {nominal(soft):.2f}°.",
        *limit,
    ), lifted


def _front(table: Shims) -> str:
    """The published rise in front under a shimmed wide saddle, pace by pace."""
    paces = "; ".join(
        f"{name} {pace.shimmed_kpa:.1f} against {pace.right_width_kpa:.1f}"
        for name, pace in table.front_pressure.paces.items()
    )
    return (
        "Mean pressure in front, in kPa, under a saddle one width too wide with pad and 13 mm shims against one of the right "
        f"width: {paces} (eight horses, one rider)."
    )


def _bases(told: SeatTold, table: Shims, shim: Shim | None, lifted: Amount | None) -> Iterator[str]:
    yield from told.rests_on
    if shim is not None:
        for basis in (table.common_figure.basis, table.pressed_away.basis, table.most.basis, table.thickness_for.basis):
            yield from flat(basis)
    if shim is not None or lifted is not None:
        yield from flat(table.front_pressure.basis)
    yield from flat(table.reading_error.basis)


def _shim_numbers(shim: Shim | None, side: str, table: Shims) -> dict[str, Any] | None:
    if shim is None:
        return None
    return {
        "side": side or None,
        "roll_deg": round(nominal(shim.roll_deg), 3),
        "under_load_mm": round(nominal(shim.under_load_mm), 3),
        "laid_in_mm": round(nominal(shim.laid_in_mm), 3),
        "give_or_take_mm": round(give_or_take(shim.laid_in_mm, table), 3),
        "pressed_away_percent": round(shim.pressed_share * 100, 3),
        "pressed_away_given": shim.share_given,
        "common_mm": shim.common_mm,
        "from_common_mm": round(nominal(shim.from_common_mm), 3),
        "common_left_mm": round(shim.common_left_mm, 3),
        "common_roll_deg": round(nominal(shim.common_roll_deg), 3),
    }
