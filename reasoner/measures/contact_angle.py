"""By how many degrees each side of a tree as it lies is steeper or flatter than the back under it.

In: the laid lines, where the tree bears, and how far a traced end may be off. Out: `SideAngle`s with their error.
Not here: laying the tree down (contact_rest), what follows from an angle.

Each line is fitted straight over the same stretch by least squares, and its two ends are read off it. An end may be off by the
tracing error; a denser tracing does not make it smaller, because one curve laid askew is askew in all its points. The roll of
the tree rests on its outermost points of contact and carries their error, which one side gains and the other loses. The
errors are carried through by the library `uncertainties`.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from reasoner.frozen import frozen
from reasoner.measures.contact_shapes import Line


@frozen(kw_only=True)
class SideAngle:
    """One side: tree minus back (degrees, positive where the tree is steeper), its error (one standard deviation times what
    was asked), and the stretch it was read over (mm out from the midline)."""

    degrees: float
    error_deg: float
    tree_deg: float
    back_deg: float
    from_mm: float
    to_mm: float


@frozen(kw_only=True)
class Angles:
    """Both sides; their mean, which no roll can change; and half of left less right. Any error is `times` standard deviations."""

    left: SideAngle
    right: SideAngle
    mean_deg: float
    mean_error_deg: float
    apart_deg: float
    apart_error_deg: float


def angles(
    tree: tuple[Line, Line],
    back: Line,
    bears: tuple[tuple[float, float], tuple[float, float]],
    *,
    error_mm: float,
    times: float,
    roll_base_mm: float,
) -> Angles:
    """The angle difference of each side.

    `tree` and `bears` are left and right: the line that lies there, and the stretch (mm out from the midline, both positive)
    over which it bears. `roll_base_mm` is the distance between the outermost points of contact.
    """  # fmt: skip
    from uncertainties import ufloat

    roll = ufloat(0.0, np.degrees(np.hypot(error_mm, error_mm) * np.sqrt(2.0) / roll_base_mm))
    found: list[tuple[Any, float, float]] = []
    for sign, line, (low, high) in zip((-1.0, 1.0), tree, bears, strict=True):
        of_tree, of_back = (_steepness(each, sign, low, high, error_mm) for each in (line, back))
        found.append((of_tree - of_back + sign * roll, of_tree.nominal_value, of_back.nominal_value))
    mean, apart = (found[0][0] + found[1][0]) / 2, (found[0][0] - found[1][0]) / 2
    sides = [
        SideAngle(
            degrees=float(value.nominal_value), error_deg=float(times * value.std_dev), tree_deg=steep, back_deg=under,
            from_mm=low, to_mm=high,
        )
        for (value, steep, under), (low, high) in zip(found, bears, strict=True)
    ]  # fmt: skip
    return Angles(
        left=sides[0], right=sides[1],
        mean_deg=float(mean.nominal_value), mean_error_deg=float(times * mean.std_dev),
        apart_deg=float(apart.nominal_value), apart_error_deg=float(times * apart.std_dev),
    )  # fmt: skip


def _steepness(line: Line, sign: float, low: float, high: float, error_mm: float) -> Any:
    """Degrees by which a line falls outwards between two distances from the midline, with its error."""
    from uncertainties import ufloat, umath

    corners = np.array(line)
    out = np.linspace(low, high, 101)
    down = -np.interp(sign * out, corners[:, 0], corners[:, 1])
    slope, at_zero = np.polyfit(out, down, 1)
    upper = ufloat(at_zero + slope * low, error_mm)
    lower = ufloat(at_zero + slope * high, error_mm)
    return umath.degrees(umath.atan((lower - upper) / (high - low)))
