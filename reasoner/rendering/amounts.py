"""Measured amounts as short text: no more figures than were measured.

In: numbers. Out: words.
Not here: units, amounts as they were written (quantities).
"""

from __future__ import annotations

import math
from decimal import Decimal

from reasoner.quantities import plain


def amount(value: float, figures: int = 4) -> str:
    """A number with at most so many figures that count, without an exponent.

    >>> amount(43.75), amount(0.39), amount(12345.6), amount(-1.5), amount(0.0)
    ('43.75', '0.39', '12346', '-1.5', '0')
    """
    if not value:
        return "0"
    places = max(0, figures - 1 - math.floor(math.log10(abs(value))))
    return plain(Decimal(f"{value:.{places}f}"))


def off_by(error: float) -> str:
    """How far something may be off: two figures.

    >>> off_by(1.41421356), off_by(0.64), off_by(12.5)
    ('1.4', '0.64', '12')
    """
    return amount(error, 2)


def behind(times: float, of: str) -> str:
    """What stands behind the ± of a page.

    >>> behind(2, "reading the level, own setting")
    'What stands behind ± is 2 standard deviations (reading the level, own setting).'
    """
    return f"What stands behind ± is {times:g} standard deviations ({of})."


def percent(value: float, signed: bool = False) -> str:
    """A share in percent with two places at most.

    >>> percent(43.75), percent(23.8095, signed=True), percent(-10.526, signed=True)
    ('43.75 %', '+23.81 %', '-10.53 %')
    """
    text = plain(Decimal(f"{value:.2f}"))
    return ("+" if signed and value > 0 else "") + ("0" if text in ("-0", "0") else text) + " %"
