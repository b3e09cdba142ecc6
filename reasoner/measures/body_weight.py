"""A horse's weight from a tape: heart girth and body length.

In: millimetres, what is known of the horse, the table of load. Out: kilograms with their error, and by which formula; or why
there is none. Not here: reading a visit, wording, what the weight is used for (never a medicine).
"""

from __future__ import annotations

from typing import Any

from reasoner.frozen import frozen
from reasoner.measures.uncertain import nominal
from reasoner.problems import BadInput, Problem, register
from reasoner.quantities import unit_size
from reasoner.rulebook.measures.load import HorseClass, Tape, Units, Way

register({"MS10": "a girth and a length that no horse has"})

MM_IN_CM = 10.0
MM_IN_INCH = float(unit_size("in"))
KG_IN_LB = float(unit_size("lb"))


@frozen(kw_only=True)
class Estimate:
    """A weight by tape. `kg` is a number with its standard error, of the horse and of the reading together.

    `otherwise` are the same tape by figures printed elsewhere: what each is called, and kilograms.
    """

    kg: Any
    way: Way
    of: HorseClass
    otherwise: tuple[tuple[str, float], ...]


@frozen(kw_only=True)
class NoEstimate:
    """Why there is no weight, in words."""

    of: HorseClass
    because: str


def formula_kg(girth_mm: Any, length_mm: Any, units: Units, divisor: float, plus_lb: float = 0.0) -> Any:
    """Kilograms = girth x girth x length / divisor, in cm and kg, or in inches and pounds with `plus_lb` pounds more.

    For floats and for numbers with errors alike. Carroll and Huntington 1988: 11 900 in cm and kg, mean of 281 horses, explaining
    0.90 of the differences; 330 in inches and pounds is an extension page's (sources in the table).

    >>> round(formula_kg(1800.0, 1600.0, "cm_kg", 11900), 2), round(formula_kg(75 * 25.4, 65 * 25.4, "in_lb", 330), 2)
    (435.63, 502.56)
    """
    unit = MM_IN_CM if units == "cm_kg" else MM_IN_INCH
    amount = (girth_mm / unit) ** 2 * (length_mm / unit) / divisor
    return amount if units == "cm_kg" else (amount + plus_lb) * KG_IN_LB


def class_of(
    tape: Tape, *, height_mm: float | None = None, age_days: float | None = None, kind: str = ""
) -> HorseClass:  # fmt: skip
    """The first class that a horse fits; what is not known narrows nothing, so that a horse of which nothing is known is grown.

    `height_mm` at the withers, `age_days` from birth, `kind` the reading of the entry `type`.
    """
    for one in tape.classes:
        young = one.age_below_days is None or (age_days is not None and age_days < one.age_below_days)
        low = one.height_below_mm is None or (height_mm is not None and height_mm < one.height_below_mm)
        if young and low and (not one.types or kind in one.types):
            return one
    return tape.classes[-1]


def by_tape(girth_mm: float, length_mm: float, of: HorseClass, points: str, tape: Tape) -> Estimate | NoEstimate:
    """The weight by the formula for this class of horse and these measuring points, with its error.

    The standard error joins three that do not hang together: the tape round the girth, the tape along the body, and how far one
    horse lies off the formula (`error_percent` of the way). Raises BadInput (MS10) for what no horse has.
    """
    from uncertainties import ufloat

    _possible(girth_mm, length_mm, tape)
    way = _way(of, points, tape)
    if way is None:
        if of.way == "":
            return NoEstimate(of=of, because=of.says)
        return NoEstimate(
            of=of, because=f"No formula for {of.called} and a length between these points is in print here"
        )
    girth = ufloat(girth_mm, tape.girth_error_mm.value)
    length = ufloat(length_mm, tape.length_error_mm.value)
    horse = ufloat(1.0, way.error_percent / 100)
    kg = formula_kg(girth, length, way.units, way.divisor, way.plus_lb) * horse
    if not tape.least_kg.value <= nominal(kg) <= tape.most_kg.value:
        raise _no_horse(
            f"a heart girth of {_cm(girth_mm)} and a body length of {_cm(length_mm)} make {nominal(kg):.0f} kg; "
            f"expected {tape.least_kg.value:g} to {tape.most_kg.value:g} kg"
        )
    grown = tape.ways[0]
    others = tape.printed_otherwise if way is grown else ()
    told = tuple((one.called, formula_kg(girth_mm, length_mm, one.units, one.divisor)) for one in others)
    return Estimate(kg=kg, way=way, of=of, otherwise=told)


def _way(of: HorseClass, points: str, tape: Tape) -> Way | None:
    """The way made for these horses and these points; a rule for other points is one for grown horses only."""
    own = next((way for way in tape.ways if way.key == of.way), None)
    if own is None or own.points == points:
        return own
    if own is not tape.ways[0]:
        return None
    return next((way for way in tape.ways if way.points == points), None)


def _possible(girth_mm: float, length_mm: float, tape: Tape) -> None:
    if girth_mm <= 0 or length_mm <= 0:
        raise _no_horse(
            f"a heart girth of {_cm(girth_mm)} and a body length of {_cm(length_mm)} were read; expected more than 0 cm"
        )
    ratio = length_mm / girth_mm
    if not tape.length_for_girth_least.value <= ratio <= tape.length_for_girth_most.value:
        raise _no_horse(
            f"a heart girth of {_cm(girth_mm)} and a body length of {_cm(length_mm)} were read; a horse is "
            f"{tape.length_for_girth_least.value:g} to {tape.length_for_girth_most.value:g} times as long as its girth"
        )


def _no_horse(what: str) -> BadInput:
    hint = "Measure again, and see that both stand in their own units."
    return BadInput([Problem("tape", 0, "MS10", f"{what}.", hint)])


def _cm(length_mm: float) -> str:
    return f"{length_mm / MM_IN_CM:g} cm ({length_mm / MM_IN_INCH:.1f} in)"
