"""Numbers with units: read exactly, refused clearly.

In: text a practitioner might write. Out: base units, or a sentence.
Not here: ranges (they stand in the vocabulary).
"""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reasoner.quantities import (
    Dimension,
    NotAQuantity,
    dimension_of,
    in_inches,
    plain,
    read_quantity,
    shown,
    unit_size,
)

INCH, POUND = Decimal("25.4"), Decimal("0.45359237")  # exact: international yard and pound agreement of 1959


@pytest.mark.parametrize(
    ("text", "dimension", "amount"),
    [
        ("158 cm", "length", Decimal(1580)),
        ("158cm", "length", Decimal(1580)),
        ("1.58 m", "length", Decimal(1580)),
        ("19 mm", "length", Decimal(19)),
        ("3/4 in", "length", INCH * 3 / 4),
        ("¾ in", "length", INCH * 3 / 4),
        ('3/4"', "length", INCH * 3 / 4),
        ("1 1/2 in", "length", INCH * 3 / 2),
        ("1½ in", "length", INCH * 3 / 2),
        ("1-1/2 inches", "length", INCH * 3 / 2),
        ("5 ft 2 in", "length", INCH * 62),
        ("15.2 hh", "length", INCH * 62),
        ("15 hh", "length", INCH * 60),
        ("15.0 hands", "length", INCH * 60),
        ("15.2 1/2 hh", "length", INCH * Decimal("62.5")),
        ("15 hands 3 in", "length", INCH * 63),
        ("510 kg", "mass", Decimal(510)),
        ("1100 lb", "mass", POUND * 1100),
        ("11 st 4 lb", "mass", POUND * 158),
        ("11 st", "mass", POUND * 154),
        ("37.8 °C", "temperature", Decimal("37.8")),
        ("37.8 C", "temperature", Decimal("37.8")),
        ("101.3 °F", "temperature", Decimal("38.5")),
        ("32 F", "temperature", Decimal(0)),
        ("-40 °F", "temperature", Decimal(-40)),
        ("36 /min", "rate", Decimal(36)),
        ("36/min", "rate", Decimal(36)),
        ("36 bpm", "rate", Decimal(36)),
        ("36 per minute", "rate", Decimal(36)),
        ("2 s", "time", Decimal(2)),
        ("1.5 min", "time", Decimal(90)),
        ("1 min 30 s", "time", Decimal(90)),
        ("56 days", "days", Decimal(56)),
        ("8 weeks", "days", Decimal(56)),
        ("4 years", "days", Decimal(1461)),
        ("2", "count", Decimal(2)),
        ("\N{MINUS SIGN}2 cm", "length", Decimal(-20)),
    ],
)
def test_reads_exactly(text: str, dimension: Dimension, amount: Decimal) -> None:
    assert read_quantity(text, dimension) == amount


@pytest.mark.parametrize(
    ("text", "dimension", "words"),
    [
        ("158", "length", "the unit is missing"),
        ("158", "length", "mm, cm, m, in, ft, hh"),
        ("510", "mass", "kg, lb, st"),
        ("37.8", "temperature", "°C, °F"),
        ("36", "rate", "/min, bpm"),
        ("158 kg", "length", '"kg" in "158 kg" is not a unit read here'),
        ("15.4 hh", "length", "Four inches are the next hand: 16 hh"),
        ("15.7 hh", "length", "inches, 0 to 3"),
        ("15.25 hh", "length", "inches, 0 to 3"),
        ("15.10 hh", "length", "inches, 0 to 3"),
        ("5 ft 13 in", "length", "less than 12"),
        ("11 st 14 lb", "mass", "less than 14"),
        ("11 lb 4 st", "mass", "one amount"),
        ("11.5 st 4 lb", "mass", "one amount"),
        ("1/3 in", "length", "halves, quarters, eighths"),
        ("1 9/8 in", "length", "less than one"),
        ("1/0 in", "length", "halves"),
        ("3 months", "days", "months are not exact"),
        ("1e3 mm", "length", "without an exponent"),
        ("1E400 mm", "length", "without an exponent"),
        ("NaN", "length", "does not read as a number"),
        ("nan cm", "length", "does not read as a number"),
        ("inf kg", "mass", "does not read as a number"),
        ("-inf", "temperature", "does not read as a number"),
        ("37,8 °C", "temperature", "Use a dot"),
        ("1,580 mm", "length", "Use a dot"),
        ("9" * 13 + " mm", "length", "more than 12 digits"),
        ("9" * 5000 + " mm", "length", "too long"),
        ("", "length", "does not read as a number"),
        ("tall", "length", "does not read as a number"),
        ("2.5", "count", "not a whole number"),
        ("2 holes", "count", "has a unit"),
        ("१५ cm", "length", "does not read as a number"),
    ],
)
def test_refuses_and_says_why(text: str, dimension: Dimension, words: str) -> None:
    with pytest.raises(NotAQuantity) as caught:
        read_quantity(text, dimension)
    assert words in str(caught.value)


def test_a_limit_in_celsius_is_not_crossed_by_reading_fahrenheit() -> None:
    """38.5 °C is 101.3 °F; the next tenth above and below fall on the right side of the limit."""
    limit = Decimal("38.5")
    assert read_quantity("101.2 °F", "temperature") < limit
    assert read_quantity("101.3 °F", "temperature") == limit
    assert read_quantity("101.4 °F", "temperature") > limit


@pytest.mark.parametrize(
    ("unit", "dimension", "size"),
    [
        ("cm", "length", 10),
        ("per minute", "rate", 1),
        ("°C", "temperature", 1),
        ("days", "days", 1),
        ("mass", "mass", 1),
    ],
)
def test_units_name_their_dimension(unit: str, dimension: Dimension, size: int) -> None:
    assert dimension_of(unit) == dimension
    assert unit_size(unit) == size


def test_an_unknown_unit_is_refused() -> None:
    with pytest.raises(NotAQuantity, match="furlong"):
        dimension_of("furlong")
    with pytest.raises(NotAQuantity, match="no size"):
        unit_size("°F")


@given(st.integers(min_value=0, max_value=400))
def test_every_eighth_of_the_tape_comes_back(eighths: int) -> None:
    millimetres = INCH * eighths / 8
    assert read_quantity(in_inches(millimetres), "length") == millimetres


@given(st.decimals(min_value=-(10**6), max_value=10**6, places=3))
def test_what_is_shown_plainly_reads_back(amount: Decimal) -> None:
    assert read_quantity(f"{plain(amount)} mm", "length") == amount


@pytest.mark.parametrize(
    ("amount", "dimension", "text"),
    [
        ("19.05", "length", "19 mm (3/4 in)"),
        ("0", "length", "0 mm (0 in)"),
        ("1580", "length", "1580 mm (62 1/4 in)"),
        ("37.777", "temperature", "37.8 °C"),
        ("36", "rate", "36 /min"),
        ("510.00", "mass", "510 kg"),
        ("2", "count", "2"),
        ("14", "days", "14 days"),
    ],
)
def test_shown(amount: str, dimension: Dimension, text: str) -> None:
    assert shown(Decimal(amount), dimension) == text


@given(st.text(max_size=60), st.sampled_from(["length", "mass", "temperature", "rate", "time", "days", "count"]))
def test_any_text_is_read_or_refused(text: str, dimension: Dimension) -> None:
    with localcontext() as context:
        context.prec = 28
        try:
            amount = read_quantity(text, dimension)
        except NotAQuantity:
            return
        assert amount.is_finite()
