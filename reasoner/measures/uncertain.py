"""Numbers with or without an error, looked at alike.

In: a float, or a number of the library `uncertainties`. Out: its value, its standard error.
Not here: propagation (the library's), how wide an error is told.
"""

from __future__ import annotations

from typing import Any


def nominal(amount: Any) -> float:
    """The value of a number with or without an error.

    >>> nominal(3.0)
    3.0
    """
    return float(getattr(amount, "nominal_value", amount))


def error_of(amount: Any) -> float:
    """The standard error of a number; 0 for a plain one.

    >>> error_of(3.0)
    0.0
    """
    return float(getattr(amount, "std_dev", 0.0))
