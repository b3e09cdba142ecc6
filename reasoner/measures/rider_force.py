"""The force a rider puts on the horse's back at each gait, by every published figure.

In: the rider's kilograms with their error, the table of load. Out: newtons with their error, one for each figure.
Not here: which figure is right (they measure different things), wording.
"""

from __future__ import annotations

from typing import Any

from reasoner.frozen import frozen
from reasoner.quantities import STANDARD_GRAVITY
from reasoner.rulebook.measures.load import Force

G_M_PER_S2 = float(STANDARD_GRAVITY)


@frozen(kw_only=True)
class Forced:
    """One published figure for this rider. `newtons` with an error from the spread between riders, where that is in print;
    `times_weight` is it in multiples of the rider's weight. A figure measured with one rider stands as it was measured, and is
    no multiple of another's weight (None).
    """

    figure: Force
    newtons: Any
    times_weight: Any


def weight_n(rider_kg: Any) -> Any:
    """The weight of the rider standing still, in newtons: kg x 9.80665 (standard acceleration of free fall).

    >>> round(weight_n(70.0), 1)
    686.5
    """
    return rider_kg * G_M_PER_S2


def forces(rider_kg: Any, figures: tuple[Force, ...]) -> tuple[Forced, ...]:
    """Every figure for a rider of these kilograms (above 0), in the order of the table."""
    from uncertainties import ufloat

    found = []
    for figure in figures:
        value = ufloat(figure.value, figure.spread) if figure.spread else figure.value
        if figure.per == "times":
            newtons = value * weight_n(rider_kg)
        elif figure.per == "n_per_kg":
            newtons = value * rider_kg
        else:
            newtons = value
        times = None if figure.per == "n" else newtons / weight_n(rider_kg)
        found.append(Forced(figure=figure, newtons=newtons, times_weight=times))
    return tuple(found)


def change_percent(before: float, after: float) -> float:
    """How much `after` is above (+) or below (-) `before`, in percent of `before` (above 0).

    >>> round(change_percent(2.92, 2.54), 1), round(change_percent(1781, 1476), 1)
    (-13.0, -17.1)
    """
    return 100 * (after - before) / before
