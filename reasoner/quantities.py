"""Numbers with their units, read exactly and shown again.

In: text such as `15.2 hh` or `3/4 in`, and the dimension expected. Out: a Decimal in the base unit of that dimension.
Not here: possible ranges (they stand in the vocabulary), dates, anything about horses.
"""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Literal

Dimension = Literal[
    "length", "mass", "temperature", "rate", "time", "days", "count", "angle", "area", "force", "pressure", "share"
]

#: What every amount is held in.
BASE_UNIT: dict[Dimension, str] = {
    "length": "mm", "mass": "kg", "temperature": "°C", "rate": "/min", "time": "s", "days": "days", "count": "",
    "angle": "°", "area": "cm²", "force": "N", "pressure": "kPa", "share": "%",
}  # fmt: skip

#: As a message names them: the units a practitioner may write.
UNITS_READ: dict[Dimension, str] = {
    "length": "mm, cm, m, in, ft, hh",
    "mass": "kg, lb, st",
    "temperature": "°C, °F",
    "rate": "/min, bpm",
    "time": "s, min",
    "days": "days, weeks, years",
    "count": "a bare whole number",
    "angle": "°, deg",
    "area": "cm², in²",
    "force": "N, kg, lb",
    "pressure": "kPa, N/cm², kg/cm², psi, mmHg",
    "share": "%, percent",
}

_IN, _LB = Decimal("25.4"), Decimal("0.45359237")  # both exact by definition
_FOOT, _HAND, _STONE = _IN * 12, _IN * 4, _LB * 14
#: Newtons in the weight of a kilogram: the standard acceleration of free fall, exact by definition (ISO 80000-3).
STANDARD_GRAVITY = Decimal("9.80665")
_KGF, _SQUARE_INCH = STANDARD_GRAVITY, (_IN / 10) ** 2
_FAHRENHEIT = ("°f", "f", "degf", "degreesf", "fahrenheit", "degreesfahrenheit")

_FACTORS: dict[Dimension, dict[str, Decimal]] = {
    "length": {
        **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), Decimal(1)),
        **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), Decimal(10)),
        **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), Decimal(1000)),
        **dict.fromkeys(("in", "inch", "inches", '"', "″", "”"), _IN),
        **dict.fromkeys(("ft", "foot", "feet", "'", "′"), _FOOT),
        **dict.fromkeys(("hh", "hand", "hands", "h"), _HAND),
    },
    "mass": {
        **dict.fromkeys(("kg", "kilo", "kilos", "kilogram", "kilograms"), Decimal(1)),
        **dict.fromkeys(("lb", "lbs", "pound", "pounds"), _LB),
        **dict.fromkeys(("st", "stone", "stones"), _STONE),
    },
    "temperature": {
        **dict.fromkeys(("°c", "c", "degc", "degreesc", "celsius", "degreescelsius"), Decimal(1)),
        **dict.fromkeys(_FAHRENHEIT, Decimal(1)),  # shifted where it is read
    },
    "rate": dict.fromkeys(
        ("/min", "/minute", "perminute", "permin", "aminute", "bpm", "beats/min", "beatsperminute",
         "breaths/min", "breathsperminute"), Decimal(1)),
    "time": {
        **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), Decimal(1)),
        **dict.fromkeys(("min", "mins", "minute", "minutes"), Decimal(60)),
    },
    "days": {
        **dict.fromkeys(("day", "days", "d"), Decimal(1)),
        **dict.fromkeys(("week", "weeks", "wk", "wks"), Decimal(7)),
        **dict.fromkeys(("year", "years", "yr", "yrs"), Decimal("365.25")),  # four years are 1461 days
    },
    "count": {"": Decimal(1)},
    "angle": dict.fromkeys(("°", "deg", "degree", "degrees"), Decimal(1)),
    "area": {
        **dict.fromkeys(("cm²", "squarecentimetres", "squarecentimeters"), Decimal(1)),
        **dict.fromkeys(("in²", "squareinches"), _SQUARE_INCH),
    },
    "force": {
        **dict.fromkeys(("n", "newton", "newtons"), Decimal(1)),
        **dict.fromkeys(("kg", "kgf", "kp", "kilo", "kilos"), _KGF),
        **dict.fromkeys(("lb", "lbs", "lbf", "pounds"), _LB * STANDARD_GRAVITY),
    },
    "pressure": {
        **dict.fromkeys(("kpa", "kilopascal", "kilopascals"), Decimal(1)),
        **dict.fromkeys(("n/cm²",), Decimal(10)),
        **dict.fromkeys(("kg/cm²", "kgf/cm²"), _KGF * 10),
        **dict.fromkeys(("psi", "lb/in²"), _LB * STANDARD_GRAVITY / _SQUARE_INCH * 10),
        **dict.fromkeys(("mmhg",), Decimal("0.133322387415")),
    },
    "share": dict.fromkeys(("%", "percent", "percentofbodyweight"), Decimal(1)),
}  # fmt: skip

#: Larger unit, smaller unit that may follow it, and where the smaller one ends.
_PAIRS: dict[tuple[Dimension, Decimal, Decimal], int] = {
    ("length", _FOOT, _IN): 12, ("length", _HAND, _IN): 4, ("mass", _STONE, _LB): 14,
    ("time", Decimal(60), Decimal(1)): 60,
}  # fmt: skip

_UNICODE_FRACTIONS = {"¼": " 1/4", "½": " 1/2", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
_AMOUNT = r"(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[ -][0-9]+/[0-9]+|/[0-9]+)?"
_SHAPE = rf"(-?)({_AMOUNT})\s*([^0-9.,+-]*)(?:({_AMOUNT})\s*([^0-9.,+-]+))?"
_HANDS = r"([0-9]{1,2})(?:\.([0-9]+))?(?: ([0-9]+/[0-9]+))?"
_EXPONENT = r"[0-9.]\s*[eE][+-]?[0-9]"
_LONGEST, _MOST_DIGITS = 40, 12


class NotAQuantity(ValueError):
    """Text that is not an amount of the dimension wanted. `sentence` says why, `hint` how to write it."""

    def __init__(self, sentence: str, hint: str = "") -> None:
        self.sentence, self.hint = sentence, hint
        super().__init__(f"{sentence} {hint}".strip())


def dimension_of(unit: str) -> Dimension:
    """The dimension a unit belongs to; the name of a dimension, and an empty unit (a count), read too.

    >>> dimension_of("cm"), dimension_of("per minute"), dimension_of("mass"), dimension_of("")
    ('length', 'rate', 'mass', 'count')
    """
    word = _unit_key(unit)
    if word in BASE_UNIT:
        return word
    for dimension, factors in _FACTORS.items():
        if word in factors:
            return dimension
    raise NotAQuantity(f'the unit "{unit[:_LONGEST]}" is not read here.')


def is_unit(unit: str) -> bool:
    """Whether `dimension_of` reads it.

    >>> is_unit("cm"), is_unit("stone"), is_unit("furlong")
    (True, True, False)
    """
    try:
        dimension_of(unit)
    except NotAQuantity:
        return False
    return True


def units() -> list[str]:
    """Every unit, and every name of a dimension, that `dimension_of` reads."""
    return [*BASE_UNIT, *(word for factors in _FACTORS.values() for word in factors)]


def unit_size(unit: str) -> Decimal:
    """How many base units one `unit` is; 1 for the name of a dimension. Not for degrees Fahrenheit.

    >>> unit_size("cm"), unit_size("length"), unit_size("weeks")
    (Decimal('10'), Decimal('1'), Decimal('7'))
    """
    dimension, word = dimension_of(unit), _unit_key(unit)
    if word in _FAHRENHEIT:
        raise NotAQuantity("a scale with its own zero has no size; write °C.")
    return _FACTORS[dimension].get(word, Decimal(1))


def finest_step(unit: str) -> float:
    """The smallest difference that is written down, in base units: a tenth of a degree, else one.

    >>> finest_step("°C"), finest_step("per minute"), finest_step("")
    (0.1, 1.0, 1.0)
    """
    return 0.1 if dimension_of(unit) == "temperature" else 1.0


def read_quantity(text: str, dimension: Dimension) -> Decimal:
    """The amount in the base unit of `dimension`, exact. Raises NotAQuantity.

    >>> read_quantity("158 cm", "length"), read_quantity("1 1/2 in", "length"), read_quantity('3/4"', "length")
    (Decimal('1580'), Decimal('38.10'), Decimal('19.050'))
    >>> read_quantity("15.2 hh", "length") == 62 * Decimal("25.4")
    True
    >>> read_quantity("11 st 4 lb", "mass") == 158 * Decimal("0.45359237")
    True
    >>> read_quantity("101.3 °F", "temperature"), read_quantity("36 /min", "rate"), read_quantity("8 weeks", "days")
    (Decimal('38.5'), Decimal('36'), Decimal('56'))
    >>> try: read_quantity("15.4 hh", "length")
    ... except NotAQuantity as no: print(no)
    "15.4 hh" is not a height in hands: after the dot stand inches, 0 to 3. Four inches are the next hand: 16 hh.
    """
    tidy, quoted = _tidy(text, dimension)
    found = re.fullmatch(_SHAPE, tidy)
    if found is None:
        raise NotAQuantity(f'"{quoted}" does not read as a number; {_wanted(dimension)}.', _repair(tidy))
    sign, amount, unit_text, more, more_text = found.groups()
    unit = _FACTORS[dimension].get(_unit_key(unit_text))
    if unit is None:
        raise _wrong_unit(quoted, unit_text, dimension)
    in_hands = unit == _HAND and dimension == "length"
    total = _hands(amount, quoted) if in_hands else _decimal(amount, quoted) * unit
    if more is not None:
        total += _smaller_part(amount, unit, more, more_text, dimension, quoted)
    if sign:
        total = -total
    if unit_text and dimension == "temperature" and _unit_key(unit_text) in _FAHRENHEIT:
        # INVARIANT: exact wherever the answer has an end, else 28 digits: rounding never crosses a limit in °C.
        return (total - 32) * 5 / 9
    if dimension == "count" and total != total.to_integral_value():
        raise NotAQuantity(f'"{quoted}" is not a whole number; {_wanted(dimension)}.')
    return total


def plain(amount: Decimal) -> str:
    """An amount without trailing zeros and without an exponent.

    >>> plain(Decimal("37.80")), plain(Decimal("1580")), plain(Decimal("1E+3"))
    ('37.8', '1580', '1000')
    """
    text = format(amount, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def in_inches(millimetres: Decimal) -> str:
    """Inches to the nearest eighth, as on a tape.

    >>> in_inches(Decimal("19")), in_inches(Decimal("38.1")), in_inches(Decimal("300"))
    ('3/4 in', '1 1/2 in', '11 3/4 in')
    """
    eighths = int((millimetres / _IN * 8).to_integral_value(ROUND_HALF_EVEN))
    sign, eighths = ("-" if eighths < 0 else ""), abs(eighths)
    whole, part = divmod(eighths, 8)
    size = 8
    while part and part % 2 == 0:
        part, size = part // 2, size // 2
    words = [str(whole)] if whole or not part else []
    return sign + " ".join(words + ([f"{part}/{size}"] if part else [])) + " in"


def shown(amount: Decimal, dimension: Dimension) -> str:
    """An amount in its base unit for a reader, rounded to a tenth; lengths in millimetres and inches.

    >>> shown(Decimal("19.05"), "length"), shown(Decimal("37.777777777"), "temperature"), shown(Decimal(1), "days")
    ('19 mm (3/4 in)', '37.8 °C', '1 day')
    """
    if dimension == "length":
        return f"{plain(round(amount, 0))} mm ({in_inches(amount)})"
    number = plain(round(amount, 1))
    if dimension == "days":
        return f"{number} day" if number == "1" else f"{number} days"
    return f"{number} {BASE_UNIT[dimension]}".strip()


def _wanted(dimension: Dimension) -> str:
    if dimension == "count":
        return "expected a bare whole number"
    return f"expected a number with a unit ({UNITS_READ[dimension]})"


def _tidy(text: str, dimension: Dimension) -> tuple[str, str]:
    """The text with its signs made plain, and a short form of it to quote."""
    text = text.strip()
    quoted = text[:_LONGEST]
    if len(text) > _LONGEST:
        raise NotAQuantity(f'"{quoted}..." is too long for a number; {_wanted(dimension)}.')
    text = text.replace("\N{MINUS SIGN}", "-").replace("''", '"')
    for squared in ("cm2", "in2", "cm^2", "in^2"):
        text = text.replace(squared, squared[:2] + "²")
    for sign, written in _UNICODE_FRACTIONS.items():
        text = text.replace(sign, written)
    return text.strip(), quoted


def _unit_key(text: str) -> str:
    return "".join(text.split()).rstrip(".").casefold()


def _decimal(amount: str, quoted: str) -> Decimal:
    """A decimal or a fraction of the tape (halves to sixty-fourths, so that nothing is rounded)."""
    if sum(map(str.isdigit, amount)) > _MOST_DIGITS:
        raise NotAQuantity(f'"{quoted}" has more than {_MOST_DIGITS} digits.')
    if "/" not in amount:
        return Decimal(amount)
    whole, _, fraction = amount.replace("-", " ").rpartition(" ")
    top, bottom = fraction.split("/")
    if "." in amount or int(bottom) not in (2, 4, 8, 16, 32, 64):
        raise NotAQuantity(f'the fraction in "{quoted}" is not read; halves, quarters, eighths and so on are.')
    if whole and int(top) >= int(bottom):
        raise NotAQuantity(f'the fraction in "{quoted}" is not less than one.')
    return Decimal(whole or 0) + Decimal(top) / Decimal(bottom)


def _hands(amount: str, quoted: str) -> Decimal:
    """Hands and inches: the digit after the dot counts inches, not tenths."""
    found = re.fullmatch(_HANDS, amount)
    if found is None:
        raise NotAQuantity(f'"{quoted}" is not a height in hands; expected hands, a dot, and inches: 15.2 hh.')
    hands, inches, part = found.groups()
    if inches is not None and inches not in ("0", "1", "2", "3"):
        more = f"Four inches are the next hand: {int(hands) + 1} hh." if inches == "4" else ""
        raise NotAQuantity(f'"{quoted}" is not a height in hands: after the dot stand inches, 0 to 3.', more)
    return (int(hands) * 4 + int(inches or 0) + (_decimal(part, quoted) if part else 0)) * _IN


def _smaller_part(amount: str, unit: Decimal, more: str, more_text: str, dimension: Dimension, quoted: str) -> Decimal:
    """What the second number of `11 st 4 lb` adds."""
    smaller = _FACTORS[dimension].get(_unit_key(more_text))
    ends = None if smaller is None else _PAIRS.get((dimension, unit, smaller))
    if smaller is None or ends is None or not amount.isdigit():
        raise NotAQuantity(f'"{quoted}" does not read as one amount; {_wanted(dimension)}.', _repair(quoted))
    rest = _decimal(more, quoted)
    if rest >= ends:
        raise NotAQuantity(f'in "{quoted}" the second number must be less than {ends}.')
    return rest * smaller


def _wrong_unit(quoted: str, unit: str, dimension: Dimension) -> NotAQuantity:
    word = _unit_key(unit)
    if dimension == "count":
        return NotAQuantity(f'"{quoted}" has a unit; {_wanted(dimension)}.')
    if not word:
        return NotAQuantity(f'the unit is missing in "{quoted}"; {_wanted(dimension)}.')
    if dimension == "days" and word in ("month", "months", "mo"):
        return NotAQuantity(f'"{quoted}": months are not exact; {_wanted(dimension)}.', "Write days or weeks.")
    sentence = f'"{unit.strip()}" in "{quoted}" is not a unit read here; {_wanted(dimension)}.'
    return NotAQuantity(sentence, _repair(quoted))


def _repair(text: str) -> str:
    if re.search(_EXPONENT, text):
        return "Write the number out, without an exponent."
    if re.search(r"[0-9],[0-9]", text):
        return "Use a dot for decimals and nothing between thousands."
    return ""
