"""Left and right, told: pairs of one measurement, the pressure gauge, the hand on a scale.

In: a visit (or amounts compared elsewhere) and the table `sides`. Out: `Told`, keys `sides` and `hand`.
Not here: the arithmetic (measures/symmetry.py, measures/hand_force.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any, cast

from reasoner.frozen import frozen
from reasoner.measures.hand_force import (
    KPA_IN_KG_PER_CM2,
    Judged,
    Press,
    Reading,
    group_at,
    kg_per_cm2,
    pressure_kpa,
    sides_of_gauge,
)
from reasoner.measures.symmetry import Amount, Compared, compare
from reasoner.rendering.amounts import amount, off_by, percent
from reasoner.rendering.measured import Told
from reasoner.rendering.sides_picture import Row, sides_picture
from reasoner.rulebook.measures.sides import Sides
from reasoner.rulebook.pages import bases
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Side, Visit

OWN = "own setting"
TAPED = ("forearm_girth", "gaskin_girth")
SPOTS = ("at_the_withers", "on_the_back", "on_the_loin", "on_the_croup")
_BOTH: tuple[Side, Side] = ("left", "right")
HOW_FAR = {
    "both ways": "Scores of the two days may be compared.",
    "one way": "Scores of the two days may be compared one way only.",
    "not": "Scores of the two days are not compared.",
}


@frozen(kw_only=True)
class Spot:
    """One spot pressed on both sides: `unit` "kPa", or "N" where the tip is not known."""

    place: str
    name: str
    unit: str
    compared: Compared
    tip_cm2: float | None = None


def told(visit: Visit, book: Rulebook) -> Iterator[Told]:
    """Every pair measured with a tape, and what the gauge and the hand showed."""
    table = cast(Sides, book.measures["sides"])
    names = {key: seen.name for key, seen in book.vocabulary.observations.items()}
    for key in TAPED:
        left, right = (_number(visit, key, side) for side in _BOTH)
        if left is not None and right is not None:
            error = table.errors.tape_mm
            found = compare(Amount(value=left, error=error), Amount(value=right, error=error), table.errors.wide)
            yield pair_told(names[key], "mm", found, table, own_error=True)
    spots, missing = _spots(visit, table, names)
    push = _number(visit, "hand_on_a_scale", None)
    if spots or missing or push is not None:
        presses, said = _number(visit, "gauge_presses", None), _number(visit, "gauge_error", None)
        word = visit.noted_value("hand_pressure")
        press = Press(word=word if isinstance(word, str) else "", push_kg=push)
        yield hand_told(
            spots, table, press=press, presses=None if presses is None else int(presses), own_error=said is None,
            missing=missing,
        )  # fmt: skip


def pair_told(what: str, unit: str, found: Compared, table: Sides, *, own_error: bool = False) -> Told:
    """One pair: the difference, the symmetry index with its formula, and what other formulas make of the same pair."""
    spaced = f" {unit}" if unit else ""
    index = f"Symmetry index {percent(found.index_percent, signed=True)}"
    if found.index_error_percent is not None:
        index += f", may be off by {off_by(found.index_error_percent)}"
    others = f"{percent(found.over_sum_percent, signed=True)} of the sum"
    if found.over_right_percent is not None:
        others += f", {percent(found.over_right_percent, signed=True)} of the right"
    lines = [
        f"{_said(what, found, spaced)} {_result(found, spaced)}",
        f"{index}: {table.index.formula}; {table.index.sign}.",
        f"The same pair by other formulas: {others}. A percentage without the name of its formula says nothing.",
    ]
    if own_error:
        lines.append(f"How far each may be off is {_read_as(table)}.")
    cautions = [table.cut.says, f"The index is kept for {table.index.kept_for}."]
    if found.near_zero:
        cautions.insert(0, "Both readings are hardly more than they may be off, and there the index runs away.")
    missing = () if found.difference_error is not None else ("How far each reading may be off.",)
    title = f"{what[:1].upper()}{what[1:]}: left and right"
    row = Row(
        name=what, unit=unit, left=_pair(found.left), right=_pair(found.right), difference=found.difference,
        difference_error=found.difference_error, says=_result(found, spaced),
    )  # fmt: skip
    return Told(
        key="sides",
        title=title,
        lines=tuple(lines),
        rests_on=_rest(table.index.basis, table.cut.basis, OWN if own_error else ()),
        cautions=tuple(cautions),
        not_measured=missing,
        picture=sides_picture(title, lines[0], [row]),
        picture_says=lines[0],
        numbers=pair_numbers(what, unit, found),
    )


def _read_as(table: Sides) -> str:
    return f"{table.errors.wide:g} standard deviations (own setting)"


def hand_told(
    spots: Sequence[Spot],
    table: Sides,
    *,
    press: Press | None = None,
    presses: int | None = None,
    judged: Judged | None = None,
    own_error: bool = True,
    missing: Sequence[str] = (),
) -> Told:
    """What the gauge showed on each spot, how firmly the hand pressed, and how far two days may be compared."""
    lines: list[str] = []
    rests: list[str | tuple[str, ...]] = []
    cautions: list[str] = []
    for spot in spots:
        lines.append(_spot_says(spot))
    if spots:
        if own_error:
            lines.append(f"A reading is taken to be off by {table.errors.gauge_percent:g} % of it, {_read_as(table)}.")
        lines += [table.gauge.lower_means, table.no_difference_usual.says, table.no_cut_off.says]
        rests += [table.no_difference_usual.basis, table.no_cut_off.basis, table.gauge.basis, table.repeats.basis]
        rests += [OWN] if own_error else []
        for group in (g for spot in spots if (g := group_at(spot.place, table)) and spot.unit == "kPa"):
            lines.append(f"To set beside it: a mean of {group.mean_kg_cm2:.2f} kg/cm² with a spread of "
                         f"{group.sd_kg_cm2:.2f} in {group.who}.")  # fmt: skip
            rests.append(group.basis)
            cautions.append(table.groups_say)
        if presses is not None and presses > table.repeats.most:
            lines.append(f"Each spot was pressed {presses} times, which is more than {table.repeats.most}.")
        cautions += [table.repeats.says, table.gauge.tips_say]
    if press is not None and press.push_kg is not None:
        error = press.push_kg * table.errors.hand_percent / 100
        word = f" {press.word}" if press.word else ""
        lines.append(
            f"The{word} hand showed {amount(press.push_kg)} kg on a scale, which may be off by {off_by(error)} kg."
        )
        lines += [table.two_hands.says, table.people.says]
        rests += [table.two_hands.basis, table.people.basis, table.errors.basis]
    if judged is not None:
        lines += [HOW_FAR[judged.how_far], *judged.reasons]
        rests.append(table.errors.basis)
    if judged is not None or (press is not None and press.push_kg is not None):
        cautions += table.hand_cautions
    rows = [_spot_row(spot) for spot in spots]
    says = " ".join(_spot_says(spot) for spot in spots)
    return Told(
        key="hand",
        title="Pressure: left and right, and the hand",
        lines=tuple(lines) or ("Too little was measured to tell.",),
        rests_on=_rest(*rests) or (OWN,),
        cautions=tuple(dict.fromkeys(cautions)),
        not_measured=tuple(missing),
        picture=sides_picture("The pressure at which it answered", says, rows) if rows else "",
        picture_says=says,
        numbers={
            "spots": [_spot_numbers(spot) for spot in spots],
            "presses_on_each_spot": presses,
            "hand_word": press.word or None if press else None,
            "hand_kg": press.push_kg if press else None,
            "two_days": None if judged is None else {"how_far": judged.how_far, "reasons": list(judged.reasons)},
        },
    )


def pair_numbers(what: str, unit: str, found: Compared) -> dict[str, Any]:
    """One pair for programs; amounts are in `unit`."""
    return {
        "what": what,
        "unit": unit,
        "left": found.left.value,
        "right": found.right.value,
        "left_error": found.left.error,
        "right_error": found.right.error,
        "difference": found.difference,
        "difference_error": found.difference_error,
        "symmetry_index_percent": found.index_percent,
        "symmetry_index_error_percent": found.index_error_percent,
        "over_sum_percent": found.over_sum_percent,
        "over_right_percent": found.over_right_percent,
        "larger": found.larger,
    }


def gauge_spot(place: str, name: str, readings: tuple[Reading, Reading], table: Sides, error: float | None) -> Spot:
    """A spot from two pressures; `error` in percent of a reading, else the table's own. Raises BadInput (MS41, MS42)."""
    return Spot(place=place, name=name, unit="kPa", compared=sides_of_gauge(*readings, table, error),
                tip_cm2=readings[0].tip_cm2 or readings[1].tip_cm2)  # fmt: skip


def force_spot(place: str, name: str, left_n: float, right_n: float, table: Sides, error: float | None) -> Spot:
    """A spot from two forces of one gauge whose tip is not written: the sides may be compared, and nothing else."""
    share = (table.errors.gauge_percent if error is None else error) / 100
    one, two = (Amount(value=n, error=n * share or None) for n in (left_n, right_n))
    return Spot(place=place, name=name, unit="N", compared=compare(one, two, table.errors.wide))


def _spots(visit: Visit, table: Sides, names: dict[str, str]) -> tuple[list[Spot], list[str]]:
    """Every spot with both sides, and what is missing of the others."""
    spots, missing = [], []
    tip, error = _number(visit, "gauge_tip", None), _number(visit, "gauge_error", None)
    for where in SPOTS:
        for kind in ("gauge", "force"):
            key = f"{kind}_{where}"
            left, right = (_number(visit, key, side) for side in _BOTH)
            if left is None and right is None:
                continue
            if left is None or right is None:
                missing.append(f"{names[key]}, {'left' if left is None else 'right'}.")
            elif not left and not right:
                missing.append(f"{names[key]}: both readings are 0, and two zeros cannot be compared.")
            elif kind == "gauge":
                pair = (Reading(kpa=left, tip_cm2=tip), Reading(kpa=right, tip_cm2=tip))
                spots.append(gauge_spot(key, names[key], pair, table, error))
            elif tip is None:
                spots.append(force_spot(key, names[key], left, right, table, error))
                missing.append(
                    f"{names[key]}: without the gauge tip a force is no pressure, and is set beside nothing else."
                )
            else:
                pair = (
                    Reading(kpa=pressure_kpa(left, tip), tip_cm2=tip),
                    Reading(kpa=pressure_kpa(right, tip), tip_cm2=tip),
                )
                spots.append(gauge_spot(f"gauge_{where}", names[key], pair, table, error))
    if spots and tip is None:
        missing.append("Gauge tip: readings with different tips are not compared, so write it.")
    return spots, list(dict.fromkeys(missing))


def _spot_says(spot: Spot) -> str:
    found, (unit, size) = spot.compared, _shown_in(spot)
    scaled = f" {unit}"
    left, right = found.left.value / size, found.right.value / size
    text = f"{spot.name[:1].upper()}{spot.name[1:]}: left {amount(left)}{scaled}, right {amount(right)}{scaled}"
    if spot.unit == "kPa":
        text += f" ({amount(found.left.value)} and {amount(found.right.value)} kPa)"
    apart = f"{amount(abs(found.difference) / size, 3)}{scaled}"
    error = found.difference_error
    if found.larger == "even":
        more = "alike" if not found.difference else f"{apart} apart, within what two such readings may be off"
        return f"{text}; {more}{'' if error is None else f' ({off_by(error / size)})'}."
    sooner = "left" if found.larger == "right" else "right"
    more = f"; the {sooner} answered sooner, by {apart}"
    return f"{text}{more}" + (f", and two such readings may be off by {off_by(error / size)}." if error else ".")


def _spot_row(spot: Spot) -> Row:
    found, (unit, size) = spot.compared, _shown_in(spot)
    sooner = {
        "left": "the right answered sooner",
        "right": "the left answered sooner",
        "even": "alike, as far as the gauge tells",
    }
    return Row(
        name=spot.name, unit=unit, left=_pair(found.left, size), right=_pair(found.right, size),
        difference=found.difference / size,
        difference_error=None if found.difference_error is None else found.difference_error / size,
        ends=("left reads more", "right reads more"), says=sooner[found.larger],
    )  # fmt: skip


def _spot_numbers(spot: Spot) -> dict[str, Any]:
    found = spot.compared
    pressed = spot.unit == "kPa"
    return pair_numbers(spot.name, spot.unit, found) | {
        "place": spot.place,
        "tip_cm2": spot.tip_cm2,
        "left_kg_per_cm2": kg_per_cm2(found.left.value) if pressed else None,
        "right_kg_per_cm2": kg_per_cm2(found.right.value) if pressed else None,
        "answered_sooner": {"left": "right", "right": "left", "even": "even"}[found.larger],
    }


def _shown_in(spot: Spot) -> tuple[str, float]:
    """The unit a reader sees, and how many of the spot's own units it is."""
    return ("kg/cm²", KPA_IN_KG_PER_CM2) if spot.unit == "kPa" else ("N", 1.0)


def _said(what: str, found: Compared, spaced: str) -> str:
    errors = [a.error for a in (found.left, found.right)]
    text = f"{what[:1].upper()}{what[1:]}: left {amount(found.left.value)}{spaced}, right {amount(found.right.value)}{spaced}"
    if errors[0] is None or errors[1] is None:
        return f"{text}."
    if errors[0] == errors[1]:
        return f"{text}; each may be off by {off_by(errors[0])}{spaced}."
    return f"{text}; they may be off by {off_by(errors[0])} and {off_by(errors[1])}{spaced}."


def _result(found: Compared, spaced: str) -> str:
    apart, error = f"{amount(abs(found.difference))}{spaced}", found.difference_error
    if not found.difference:
        return "Both read the same."
    if found.larger == "even":
        may_be = f"{off_by(error or 0)}{spaced}"
        return f"They are {apart} apart, within the {may_be} that the two may be off: alike, by these readings."
    if error is None:
        return (
            f"The {found.larger} reads {apart} larger; whether that is more than the readings may be off is not known."
        )
    return f"The {found.larger} is {apart} larger, and the two may be off by {off_by(error)}{spaced} together."


def _pair(held: Amount, size: float = 1.0) -> tuple[float, float | None]:
    return held.value / size, None if held.error is None else held.error / size


def _rest(*found: str | tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one for basis in found for one in bases(basis)))


def _number(visit: Visit, key: str, side: Side | None) -> float | None:
    value = visit.noted_value(key, side)
    return float(value) if isinstance(value, Decimal) else None
