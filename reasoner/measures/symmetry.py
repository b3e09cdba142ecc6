"""Left against right: difference and symmetry index of any pair of amounts, with how far both may be off.

In: an amount for each side in one unit, and how far each may be off either way. Out: `Compared`.
Not here: units and their reading (quantities), what is measured, any limit. uncertainties carries the errors.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from typing import Any, Literal

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register

register(
    {
        "MS40": "a measure lacks what it needs: the reading of a side, or its table",
        "MS42": "a symmetry index that is not defined",
        "MS43": "amounts with a sign of their own, or an error that is none",
    }
)

Larger = Literal["left", "right", "even"]
#: Beyond this many places nothing was measured; a difference that should be 1.5 is not 1.5000000000000002.
_PLACES = 9


@frozen(kw_only=True)
class Amount:
    """One amount and how far it may be off either way, in the same unit; `error` None where nobody said."""

    value: float
    error: float | None = None


@frozen(kw_only=True)
class Compared:
    """A pair of sides. Errors are None where the error of a reading is not known.

    `difference` is right less left, in the unit of the readings; `index_percent` the symmetry index; `over_sum_percent` and
    `over_right_percent` are what two other formulas make of the same pair. `larger` is "even" where the difference is no more
    than what the two readings together may be off. `near_zero`: half the sum is no more than that either, so that the index
    runs away.
    """

    left: Amount
    right: Amount
    difference: float
    difference_error: float | None
    index_percent: float
    index_error_percent: float | None
    over_sum_percent: float
    over_right_percent: float | None
    larger: Larger
    near_zero: bool


def symmetry_index(left: float, right: float) -> float:
    """The symmetry index in percent: (right - left) / ((right + left) / 2) x 100; 0 is alike, a plus means right is larger.

    Formula: Robinson, Herzog and Nigg 1987 (as quoted). For amounts of 0 and more in one unit; between -200 and 200.
    Raises BadInput where both are 0 (MS42: undefined) or one is below 0 (MS43: not for signed data).

    >>> round(symmetry_index(0.25, 0.39), 2), round(symmetry_index(1000, 900), 2)
    (43.75, -10.53)
    """
    _positive(left, right)
    return (right - left) / ((right + left) / 2) * 100


def compare(left: Amount, right: Amount, wide: float) -> Compared:
    """Both sides of one measurement. `wide` is how many standard deviations an error is.

    The errors of the two readings are taken to be independent and are carried to first order, so that the error of the
    difference is the root of the sum of their squares. Raises BadInput as `symmetry_index`, and MS43 for an error that is
    not above 0.
    """
    for amount in (left, right):
        if amount.error is not None and not 0 < amount.error < math.inf:
            raise _bad("MS43", f"an error of {amount.error:g} was read; how far a reading may be off is more than 0.")
    index = symmetry_index(left.value, right.value)
    difference = round(right.value - left.value, _PLACES)
    difference_error = index_error = None
    if left.error is not None and right.error is not None:
        one, two = uncertain(left, wide), uncertain(right, wide)
        difference_error = round(float((two - one).std_dev) * wide, _PLACES)
        index_error = float(((two - one) / ((two + one) / 2) * 100).std_dev) * wide
    total = left.value + right.value
    return Compared(
        left=left,
        right=right,
        difference=difference,
        difference_error=difference_error,
        index_percent=index,
        index_error_percent=index_error,
        over_sum_percent=(right.value - left.value) / total * 100,
        over_right_percent=(right.value - left.value) / right.value * 100 if right.value else None,
        larger=larger_side(difference, difference_error),
        near_zero=difference_error is not None and total / 2 <= difference_error,
    )


def larger_side(difference: float, error: float | None, beyond: float = 0.0) -> Larger:
    """The larger side by right less left; "even" within the error, or not beyond `beyond`.

    >>> larger_side(2.0, 1.4), larger_side(-2.0, 1.4), larger_side(1.0, 1.4), larger_side(1.0, None)
    ('right', 'left', 'even', 'right')
    """
    size = abs(difference)
    if size == 0 or size <= (error or 0.0) or size <= beyond:
        return "even"
    return "right" if difference > 0 else "left"


def mean_of(readings: Sequence[float], error: float | None, wide: float) -> Amount:
    """Several readings of one side as one: their mean, and how far it may be off.

    The error of the mean is `wide` times the spread over the root of the number (the usual evaluation from repeats), but
    never less than `error`, which stays the same however often one reads. Raises BadInput (MS40) for no reading at all.

    >>> mean_of([50, 51, 52], None, 2.0).value, round(mean_of([50, 51, 52], None, 2.0).error or 0, 4)
    (51.0, 1.1547)
    """
    if not readings:
        raise _bad("MS40", "no reading was given; expected at least one for each side.")
    value = math.fsum(readings) / len(readings)
    if len(readings) < 2:
        return Amount(value=value, error=error)
    spread = wide * statistics.stdev(readings) / math.sqrt(len(readings))
    larger = max(spread, error or 0.0)
    return Amount(value=value, error=larger or None)


def uncertain(amount: Amount, wide: float) -> Any:
    """An amount as the library of uncertainties holds it. Needs an error."""
    from uncertainties import ufloat  # only where something was measured

    if amount.error is None:
        raise ValueError("an amount without an error cannot be uncertain")
    return ufloat(amount.value, amount.error / wide)


def _positive(left: float, right: float) -> None:
    for side, value in (("left", left), ("right", right)):
        if not math.isfinite(value) or value < 0:
            what = f"{side}: {value:g} was read; the symmetry index is for amounts of 0 and more."
            raise _bad("MS43", what, "A number whose sign means a side is compared by its difference alone.")
    if left == 0 and right == 0:
        raise _bad("MS42", "left and right are both 0, and then the symmetry index is not defined.")


def _bad(code: str, sentence: str, hint: str = "") -> BadInput:
    return BadInput([Problem("measure", 0, code, sentence, hint)])
