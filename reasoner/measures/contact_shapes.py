"""Lines of a back and of a tree in one frame, and a tree moved about as a rigid body.

In: points of each side in mm, as they were traced. Out: `Line`s seen from behind or from the side, x to the right, z upwards.
Not here: where a tree comes to rest (contact_rest), what a gap means.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import atan2, cos, dist, isfinite, sin
from typing import NoReturn

import numpy as np
from numpy.typing import NDArray

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register

register(
    {
        "MS30": "a side of the back or of the tree is missing",
        "MS31": "points that make no line",
        "MS32": "the tree reaches beyond what was traced of the back",
    }
)

Point = tuple[float, float]
Line = tuple[Point, ...]
Floats = NDArray[np.float64]
PLACE = "tree against back"
#: No horse and no saddle is as large as this; a number beyond it was written in another unit.
LARGEST_MM = 3000.0


@frozen
class Pose:
    """How far a tree was moved: sideways and up (mm), and rolled (radians), about the origin of its own drawing.

    A positive roll turns it against the clock as drawn: seen from behind it goes down on the horse's left.
    """

    shift_mm: float = 0.0
    lift_mm: float = 0.0
    roll_rad: float = 0.0

    def of(self, points: Iterable[Point]) -> Line:
        """The points where the tree lies now: rolled first, then moved.

        >>> Pose(1.0, 2.0, 0.0).of([(0.0, 0.0), (3.0, -1.0)])
        ((1.0, 2.0), (4.0, 1.0))
        """
        c, s = cos(self.roll_rad), sin(self.roll_rad)
        return tuple((c * x - s * z + self.shift_mm, s * x + c * z + self.lift_mm) for x, z in points)


def refuse(code: str, what: str, hint: str = "") -> NoReturn:
    """Raise BadInput with one sentence."""
    raise BadInput([Problem(PLACE, 0, code, what, hint)])


def side_of(points: Sequence[tuple[object, object]], what: str) -> Line:
    """One side as floats, (out or behind, down) in mm. Raises BadInput (MS30, MS31): none, one, not growing, not a length.

    >>> side_of([(0, 0), (40, 12)], "the left of the back")
    ((0.0, 0.0), (40.0, 12.0))
    """
    if not points:
        refuse("MS30", f"{what} has no points; at least two were expected.", "Trace both sides.")
    found = tuple((float(out), float(down)) for out, down in points)  # type: ignore[arg-type]
    if len(found) < 2:
        refuse("MS31", f"{what} has one point; at least two were expected.")
    for out, down in found:
        if not (isfinite(out) and isfinite(down)) or max(abs(out), abs(down)) > LARGEST_MM:
            refuse("MS31", f"{what} has a point {out:g}, {down:g}; millimetres up to {LARGEST_MM:g} were expected.")
    for (before, _), (after, _) in pairwise(found):
        if after <= before:
            refuse("MS31", f"{what}: after {before:g} mm comes {after:g} mm; the first number has to grow.")
    return found


def across(left: Line, right: Line) -> Line:
    """Both sides as one line seen from behind: the horse's left at negative x, z up. Where both begin on the midline with
    heights of their own, the mean is taken.

    >>> across(((0.0, 1.0), (10.0, 4.0)), ((0.0, 2.0), (10.0, 6.0)))
    ((-10.0, -4.0), (0.0, -1.5), (10.0, -6.0))
    """
    towards = [(-out, -down) for out, down in reversed(left)]
    away = [(out, -down) for out, down in right]
    if towards[-1][0] == away[0][0]:
        middle = (0.0, (towards[-1][1] + away[0][1]) / 2)
        return (*towards[:-1], middle, *away[1:])
    if towards[-1][0] > away[0][0]:
        refuse("MS31", "left and right overlap about the midline; points outwards from 0 mm were expected.")
    return (*towards, *away)


def pieces_across(left: Line, right: Line, arch_within_mm: float) -> tuple[Line, ...]:
    """A tree seen from behind: one line where its arch was traced to within `arch_within_mm` of the midline on both sides,
    else its two sides with the open channel between them."""
    if max(left[0][0], right[0][0]) <= arch_within_mm:
        return (across(left, right),)
    return (tuple((-out, -down) for out, down in reversed(left)), tuple((out, -down) for out, down in right))


def along(side: Line) -> Line:
    """One side seen from beside the horse, the front at x = 0, z up."""
    return tuple((behind, -down) for behind, down in side)


def centroid(pieces: Sequence[Line]) -> Point:
    """The middle of the length of the lines (mm): where a bent rod of that shape has its weight.

    >>> centroid([((0.0, 0.0), (2.0, 0.0))])
    (1.0, 0.0)
    """
    parts = [(dist(a, b), (a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for line in pieces for a, b in pairwise(line)]
    whole = sum(length for length, _, _ in parts)
    return sum(n * x for n, x, _ in parts) / whole, sum(n * z for n, _, z in parts) / whole


def continued(back: Line, by_mm: float) -> Line:
    """The line drawn on at both ends, straight, so that nothing slips off where the tracing ends."""
    (x0, z0), (x1, z1) = back[0], back[1]
    (x3, z3), (x2, z2) = back[-1], back[-2]
    first = (x0 - by_mm, z0 - by_mm * (z1 - z0) / (x1 - x0))
    last = (x3 + by_mm, z3 + by_mm * (z3 - z2) / (x3 - x2))
    return (first, *back, last)


def not_beyond(pieces: Sequence[Line], back: Line, spare_mm: float, ends: tuple[str, str]) -> None:
    """That the tree's ends lie within the traced line, give or take `spare_mm`. Raises BadInput (MS32)."""
    first, last = pieces[0][0][0], pieces[-1][-1][0]
    over = ((back[0][0] - first, first, back[0][0], ends[0]), (last - back[-1][0], last, back[-1][0], ends[1]))
    for beyond, reaches, traced, end in over:
        if beyond > spare_mm:
            refuse(
                "MS32",
                f"{end} the tree reaches to {abs(reaches):.0f} mm and the back was traced to {abs(traced):.0f} mm.",
                "Trace the back further, or write the tree only as far.",
            )


def fine(pieces: Sequence[Line], step_mm: float) -> tuple[Floats, Floats]:
    """The middles of short parts of the lines, shape (n, 2), and the length of each part, shape (n,), none over `step_mm`.

    Middles and not corners, so that no point stands exactly under the ridge, where either side could claim it.
    """
    points: list[Floats] = []
    lengths: list[Floats] = []
    for line in pieces:
        for a, b in pairwise(line):
            many = max(1, int(np.ceil(dist(a, b) / step_mm)))
            share = (np.arange(many) + 0.5) / many
            points.append(np.array(a) + share[:, None] * (np.array(b) - np.array(a)))
            lengths.append(np.full(many, dist(a, b) / many))
    return np.concatenate(points), np.concatenate(lengths)


def with_corners(line: Line, step_mm: float) -> Line:
    """The line with further points between its corners, none further apart than `step_mm`.

    >>> with_corners(((0.0, 0.0), (2.0, 0.0)), 1.0)
    ((0.0, 0.0), (1.0, 0.0), (2.0, 0.0))
    """
    found = [line[0]]
    for a, b in pairwise(line):
        many = max(1, int(np.ceil(dist(a, b) / step_mm)))
        found += [(a[0] + (b[0] - a[0]) * n / many, a[1] + (b[1] - a[1]) * n / many) for n in range(1, many)]
        found.append(b)
    return tuple(found)


def nearest_on(line: Line, points: Floats) -> tuple[Floats, Floats]:
    """For each point (n, 2) the nearest point of the line (n, 2), and whether the point lies under the line (n,)."""
    corners = np.array(line)
    start, along_it = corners[:-1], np.diff(corners, axis=0)
    away = points[:, None, :] - start[None]
    share = np.clip((away * along_it).sum(-1) / (along_it**2).sum(-1), 0.0, 1.0)
    on = start[None] + share[..., None] * along_it[None]
    chosen = ((points[:, None, :] - on) ** 2).sum(-1).argmin(1)
    near: Floats = on[np.arange(len(points)), chosen]
    under: Floats = points[:, 1] < np.interp(points[:, 0], corners[:, 0], corners[:, 1])
    return near, under


def steepness_deg(a: Point, b: Point) -> float:
    """How steeply a line falls from `a` to `b`, in degrees; positive is down.

    >>> round(steepness_deg((0.0, 0.0), (10.0, -10.0)), 9), round(steepness_deg((0.0, 0.0), (-10.0, -10.0)), 9)
    (45.0, 45.0)
    """
    return float(np.degrees(atan2(a[1] - b[1], abs(b[0] - a[0]))))
