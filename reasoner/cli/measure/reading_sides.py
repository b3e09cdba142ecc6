"""Options that hold an amount, a share or a side, read in the user's words.

In: the text behind an option. Out: amounts in base units, or BadInput with what was read and what was expected.
Not here: any one command, the arithmetic (measures/).
"""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from reasoner.problems import BadInput, Problem, near_hint, nearest, register
from reasoner.quantities import BASE_UNIT, UNITS_READ, Dimension, NotAQuantity, dimension_of, read_quantity
from reasoner.rulebook.vocabulary import Observation

register(
    {
        "MS44": "an option that does not hold the amount it should",
        "MS49": "an option that lacks a side, or another option",
    }
)

#: What a symmetry index may be made of: amounts that begin at nothing. Degrees of warmth have a zero of their own.
PAIRED: tuple[Dimension, ...] = (
    "length", "mass", "area", "force", "pressure", "angle", "share", "rate", "time", "count",
)  # fmt: skip
_LONGEST = 120
_SIDES: dict[str, Literal["left", "right"]] = {"left": "left", "near": "left", "right": "right", "off": "right"}


def refused(option: str, code: str, sentence: str, hint: str = "") -> BadInput:
    """A problem that names the option."""
    return BadInput([Problem(option, 0, code, sentence, hint)])


def amount_of(option: str, text: str, dimension: Dimension) -> float:
    """An amount in the base unit of a dimension. Raises BadInput (MS44)."""
    try:
        return float(read_quantity(text, dimension))
    except NotAQuantity as no:
        raise refused(option, "MS44", no.sentence, no.hint) from None


def within(option: str, text: str, amount: float, entry: Observation) -> None:
    """That an amount (in the base unit) is one the same entry of a visit would take. Raises BadInput (MS45)."""
    low, high = entry.range or (float("-inf"), float("inf"))
    if not low <= amount <= high:
        unit = BASE_UNIT[dimension_of(entry.unit)]
        raise refused(option, "MS45", f'"{text[:40]}" is not possible; expected {low:g} to {high:g} {unit}.')


def words_of(option: str, text: str) -> str:
    """Free words on one line. Raises BadInput (MS44) for nothing, control characters, or more than `_LONGEST` letters."""
    tidy = " ".join(text.split())
    if not tidy or not tidy.isprintable() or len(tidy) > _LONGEST:
        raise refused(
            option,
            "MS44",
            f"words on one line were expected here, at most {_LONGEST} letters and no control characters.",
        )
    return tidy


def dimension_read(option: str, text: str, among: tuple[Dimension, ...] = PAIRED) -> Dimension:
    """The first dimension in which a text reads as an amount. Raises BadInput (MS44) with the units that are read."""
    for dimension in among:
        try:
            read_quantity(text, dimension)
        except NotAQuantity:
            continue
        return dimension
    units = {dimension: UNITS_READ[dimension].split(", ") for dimension in among}
    known = [unit for several in units.values() for unit in several]
    written = text.strip().lstrip("-+0123456789./ ")
    near = nearest(written, known, at_least=101)  # like the whole word or not at all: "min" stands inside many words
    hint = f'Near: "{near}".' if near else ""
    if not written:
        hint = "A bare number has to be whole; else write its unit behind it."
    raise refused(option, "MS44", f'"{text[:40]}" does not read as an amount; expected a number with a unit such as '
                  f"{', '.join(several[0] for several in units.values() if several[0] != 'a bare whole number')}.",
                  hint)  # fmt: skip


def pair_of(
    left: tuple[str, ...], right: tuple[str, ...], among: tuple[Dimension, ...] = PAIRED
) -> tuple[Dimension, list[float], list[float]]:
    """The readings of both sides in one dimension. Raises BadInput (MS44)."""
    dimension = dimension_read("--left", left[0], among)
    sides = [
        [amount_of(option, text, dimension) for text in several]
        for option, several in (("--left", left), ("--right", right))
    ]
    return dimension, sides[0], sides[1]


def base_unit(dimension: Dimension) -> str:
    """The unit in which amounts of a dimension are told; empty for a count."""
    return BASE_UNIT[dimension]


def lean_of(option: str, text: str) -> tuple[Literal["left", "right"], float]:
    """`left 9 mm` into (side, millimetres); `0 mm` needs no side. Raises BadInput (MS44, MS49)."""
    first, _, rest = text.strip().partition(" ")
    side = _SIDES.get(first.casefold())
    if side is None:
        mm = amount_of(option, text, "length") if first[:1] in "-.0123456789" else None
        if mm == 0:
            return "left", 0.0
        what = f'"{text[:40]}" lacks the side; a sign means another side in another system.'
        hint = near_hint(first, list(_SIDES)) if mm is None else ""
        raise refused(option, "MS49", what, hint or 'Write the side that the system names: "left 9 mm".')
    mm = amount_of(option, rest, "length")
    if mm < 0:
        raise refused(option, "MS49", f'"{text[:40]}" has a side and a sign.', "Write the amount without a sign.")
    return side, mm


def whole(option: str, text: str) -> int:
    """A whole number. Raises BadInput (MS44)."""
    return int(Decimal(amount_of(option, text, "count")))
