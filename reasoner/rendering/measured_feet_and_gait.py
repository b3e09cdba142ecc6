"""Slopes of the fore feet, and numbers of a gait system, a list or a veterinarian, told.

In: a visit (or numbers given elsewhere) and the table `feet_and_gait`. Out: `Told`, keys `feet` and `gait`.
Not here: the arithmetic (measures/hoof.py, measures/given_numbers.py). Nothing is converted, and no limit is a rule's.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, cast

from reasoner.frozen import frozen
from reasoner.measures.given_numbers import DIFFERENCES, Graded, Lean, change, order_of, repeat_mm
from reasoner.measures.hoof import Slopes, slopes
from reasoner.rendering.amounts import amount, off_by
from reasoner.rendering.measured import Told
from reasoner.rendering.sides_picture import Row, sides_picture
from reasoner.rulebook.grade_scales import grade_scales, grades_of, nearest_scale, scale_called
from reasoner.rulebook.measures.feet_and_gait import FeetAndGait
from reasoner.rulebook.pages import bases
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Side, Visit

OWN = "own setting"
_BOTH: tuple[Side, Side] = ("left", "right")


@frozen(kw_only=True)
class Leg:
    """Grades of one leg as given, the earlier first, each with the day if it is known."""

    name: str
    grades: tuple[tuple[Graded, date | None], ...]


def told(visit: Visit, book: Rulebook) -> Iterator[Told]:
    """The slopes of the feet, and whatever numbers of the gait and the face were given."""
    table = cast(FeetAndGait, book.measures["feet_and_gait"])
    left, right = (_number(visit, "hoof_angle", side) for side in _BOTH)
    if left is not None and right is not None:
        error = _number(visit, "hoof_angle_error", None)
        yield feet_told(slopes(left, right, table, error), table, own_error=error is None)
    leans, missing = _leans(visit, book)
    face, signs = _number(visit, "face_total", None), _number(visit, "ridden_signs", None)
    legs = _legs(visit)
    if leans or missing or legs or face is not None or signs is not None:
        yield gait_told(
            table, grade_scales(book.vocabulary), leans={key: (lean,) for key, lean in leans.items()}, legs=legs,
            face=None if face is None else int(face), ridden_signs=None if signs is None else int(signs), missing=missing,
        )  # fmt: skip


def feet_told(found: Slopes, table: FeetAndGait, *, own_error: bool) -> Told:
    """How far apart the slopes are, which foot is the steeper, and what each is called."""
    apart, error = f"{amount(abs(found.difference))}°", f"{off_by(found.difference_error)}°"
    lines = [
        f"Hoof angles: left {amount(found.left.value)}° ({found.left_called}), right {amount(found.right.value)}° "
        f"({found.right_called}); each may be off by {off_by(found.left.error or 0)}°.",
        _pair_says(found, apart, error, table),
    ]
    if found.steeper != "even":
        lines.append(table.classes.says)
    title = "Slopes of the fore feet"
    row = Row(
        name="front of the hoof against the ground", unit="°", difference=found.difference,
        difference_error=found.difference_error, left=(found.left.value, found.left.error),
        right=(found.right.value, found.right.error), zone=table.classes.uneven_above_deg,
        zone_says=f"up to {amount(table.classes.uneven_above_deg)}° apart: a pair", ends=("left steeper", "right steeper"),
        says=_pair_says(found, apart, error, table),
    )  # fmt: skip
    return Told(
        key="feet",
        title=title,
        lines=tuple(lines),
        rests_on=tuple(dict.fromkeys([*bases(table.classes.basis), *((OWN,) if own_error else ())])),
        cautions=table.angle_cautions,
        not_measured=("How far a slope read by you may be off: our own setting was taken.",) if own_error else (),
        picture=sides_picture(title, " ".join(lines), [row]),
        picture_says=" ".join(lines[:2]),
        numbers={
            "left_deg": found.left.value,
            "right_deg": found.right.value,
            "error_deg": found.left.error,
            "difference_deg": found.difference,
            "difference_error_deg": found.difference_error,
            "steeper": found.steeper,
            "flatter": found.flatter,
            "left_called": found.left_called,
            "right_called": found.right_called,
        },
    )


def gait_told(
    table: FeetAndGait,
    scales: Mapping[str, Any],
    *,
    leans: Mapping[str, Sequence[Lean]],
    legs: Sequence[Leg] = (),
    face: int | None = None,
    ridden_signs: int | None = None,
    missing: Sequence[str] = (),
) -> Told:
    """Numbers as they were given, each set beside nothing but itself. `leans`: one or two of each, the earlier first."""
    lines: list[str] = []
    rests: list[str | tuple[str, ...]] = []
    rows: list[Row] = []
    for key in (key for key in DIFFERENCES if key in leans):
        lines.append(_lean_says(key, leans[key], table))
        rows.append(_lean_row(key, leans[key], table))
    if leans:
        screening = table.screening
        lines += [
            table.repeats.says,
            f"{screening.says} Head {amount(screening.head_mm)} mm, pelvis {amount(screening.pelvis_mm)} mm.",
            table.owners_level.says,
        ]
        rests += [table.repeats.basis, screening.basis, table.owners_level.basis]
        if any(key.startswith("withers") for key in leans):
            lines.append(table.withers.says)
            rests.append(table.withers.basis)
    for leg in legs:
        lines += _leg_says(leg, scales)
    if legs:
        lines.append(table.grades.says)
        rests.append(table.grades.basis)
    if face is not None:
        most = len(table.face.units) * table.face.most_each
        lines += [f"Face: a total of {face} out of {most}.", table.face.says]
        rests.append(table.face.basis)
    if ridden_signs is not None:
        signs = table.ridden_signs
        lines += [f"Ridden signs: {ridden_signs} of {signs.items}.", signs.says]
        rests.append(signs.basis)
    title = "Gait and face in numbers"
    says = " ".join(_lean_says(key, leans[key], table) for key in DIFFERENCES if key in leans)
    return Told(
        key="gait",
        title=title,
        lines=tuple(lines) or ("Too little was given to tell.",),
        rests_on=tuple(dict.fromkeys(one for basis in rests for one in bases(basis))) or (OWN,),
        cautions=table.gait_cautions,
        not_measured=tuple(missing),
        picture=sides_picture("Differences within a stride", says, rows) if rows else "",
        picture_says=says,
        numbers={
            "differences": [_lean_numbers(key, leans[key], table) for key in DIFFERENCES if key in leans],
            "grades": [_grade_numbers(leg, scales) for leg in legs],
            "face_total": face,
            "ridden_signs": ridden_signs,
        },
    )


def _pair_says(found: Slopes, apart: str, error: str, table: FeetAndGait) -> str:
    if found.steeper != "even":
        return f"The {found.steeper} is {apart} steeper and the {found.flatter} flatter; the two may be off by {error} together."
    if found.within_error and abs(found.difference) > table.classes.uneven_above_deg:
        return f"They are {apart} apart, which is within the {error} that the two may be off: even, as far as these slopes tell."
    return f"They are {apart} apart: even; a pair counts as uneven above {amount(table.classes.uneven_above_deg)}°."


def _part(key: str) -> str:
    part, end, _ = key.split("_")
    return f"{part} {end}"


def _mm(lean: Lean) -> str:
    return f"{amount(lean.mm)} mm {lean.side}" if lean.mm else "0 mm"


def _lean_says(key: str, leans: Sequence[Lean], table: FeetAndGait) -> str:
    part = _part(key)
    text, spread = f"{part[:1].upper()}{part[1:]}: {_mm(leans[-1])}", f"{amount(repeat_mm(key, table))} mm"
    if len(leans) < 2:
        return f"{text}, as the system gave it; one measurement after another spreads by {spread}."
    by, changed = change(key, leans[0], leans[-1], table)
    between = f"{amount(abs(by))} mm between them"
    verdict = "a change, as repeats spread by" if changed else "no change, as repeats alone spread by"
    return f"{text}, and {_mm(leans[0])} before: {between}, {verdict} {spread}."


def _lean_row(key: str, leans: Sequence[Lean], table: FeetAndGait) -> Row:
    """The reading with what repeats spread by about it; of two readings the earlier has it, and the later stands in or out."""
    spread, ends, now = repeat_mm(key, table), ("to the left", "to the right"), leans[-1]
    if len(leans) < 2:
        return Row(name=_part(key), unit="mm", difference=now.signed_mm, difference_error=spread, ends=ends,
                   says=f"{_mm(now)}; repeats spread by {amount(spread)} mm")  # fmt: skip
    _, changed = change(key, leans[0], now, table)
    return Row(
        name=_part(key), unit="mm", difference=now.signed_mm, difference_error=None, earlier=leans[0].signed_mm, zone=spread,
        zone_says=f"about the earlier one, repeats spread by {amount(spread)} mm", ends=ends,
        says=f"{_mm(now)} (full), {_mm(leans[0])} before (open): {'a change' if changed else 'no change'}",
    )  # fmt: skip


def _lean_numbers(key: str, leans: Sequence[Lean], table: FeetAndGait) -> dict[str, Any]:
    by, changed = change(key, leans[0], leans[-1], table) if len(leans) > 1 else (None, None)
    return {
        "key": key,
        "side": leans[-1].side if leans[-1].mm else None,
        "mm": leans[-1].mm,
        "repeat_mm": repeat_mm(key, table),
        "earlier_side": leans[0].side if len(leans) > 1 and leans[0].mm else None,
        "earlier_mm": leans[0].mm if len(leans) > 1 else None,
        "changed_by_mm_to_the_right": by,
        "changed": changed,
    }


def _leg_says(leg: Leg, scales: Mapping[str, Any]) -> Iterator[str]:
    """Each grade with its scale and day, and how the last stands to the one before it."""
    for graded, day in leg.grades:
        stands = dict(grades_of(graded.scale, scales)).get(graded.grade.partition("/")[0].split()[0])
        words = f" ({stands})" if stands else ""
        known = scale_called(graded.scale, scales)
        unknown = "" if known else f" It is not in the table of scales. {nearest_scale(graded.scale, scales)}"
        yield f"{leg.name}: {graded.grade} on {graded.scale}{words}{f', given on {day}' if day else ''}.{unknown}"
    if len(leg.grades) > 1:
        order = order_of(leg.grades[-2][0], leg.grades[-1][0], scales)
        yield f"{leg.name}: {'not compared, for ' if order.later == 'not compared' else 'the later grade is '}{order.why}"


def _grade_numbers(leg: Leg, scales: Mapping[str, Any]) -> dict[str, Any]:
    order = order_of(leg.grades[-2][0], leg.grades[-1][0], scales) if len(leg.grades) > 1 else None
    return {
        "leg": leg.name,
        "grades": [{"scale": g.scale, "grade": g.grade, "day": str(day) if day else None} for g, day in leg.grades],
        "later": order.later if order else None,
        "why": order.why if order else None,
    }


def _leans(visit: Visit, book: Rulebook) -> tuple[dict[str, Lean], list[str]]:
    """The differences a system gave, and those of which both sides are written, so that no side is named."""
    leans, missing = {}, []
    for key in DIFFERENCES:
        both = {side: mm for side in _BOTH if (mm := _number(visit, key, side)) is not None}
        leaning = [side for side, mm in both.items() if mm]
        if len(leaning) > 1:
            name = book.vocabulary.observations[key].name
            missing.append(f"{name}: an amount is written for both sides, and a system names one.")
        elif both:
            side = (leaning or list(both))[0]
            leans[key] = Lean(side=side, mm=both[side])
    return leans, missing


def _legs(visit: Visit) -> list[Leg]:
    """Every leg with a grade, its grades in the order of their days."""
    found: dict[str, list[tuple[Graded, date | None]]] = {}
    for word in sorted(visit.vets_words, key=lambda word: word.seen):
        for grade in word.grades:
            name = f"{grade.side} {grade.limb}".capitalize()
            found.setdefault(name, []).append((Graded(scale=grade.scale, grade=grade.grade), word.seen))
    return [Leg(name=name, grades=tuple(grades)) for name, grades in found.items()]


def _number(visit: Visit, key: str, side: Side | None) -> float | None:
    value = visit.noted_value(key, side)
    return float(value) if isinstance(value, Decimal) else None
