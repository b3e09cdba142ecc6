"""A number of an answer as JSON holds it.

In: a float. Out: the same to nine decimals.
Not here: which numbers are told, numbers in words.
"""

from __future__ import annotations

DECIMALS = 9


def number(value: float) -> float:
    """A float to nine decimals, and never minus zero.

    >>> number(0.1 + 0.2), number(-1e-12)
    (0.3, 0.0)
    """
    return round(float(value), DECIMALS) + 0.0
