"""A rigid tree laid down on a back: lowered until it touches, free to roll and to shift, until nothing lowers it further.

In: the lines of a tree and of a back, and the point of the tree where its weight acts. Out: its `Pose` at rest.
Not here: how it sinks in under load (contact_load), words for how it sits.

The rest is the lowest place of the weight that a small movement can reach, under the condition that no line passes through
the other: a small minimisation with constraints. For a given shift and roll the height is the largest that any corner asks
for, so shift and roll are sought; the conditions are made straight about the present place, the linear programme is solved
by HiGHS, and the step is taken where the true height falls. At the end a ring of small movements must not lower it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import cos, hypot, pi, sin

import numpy as np

from reasoner.measures.contact_shapes import Floats, Line, Point, Pose, refuse
from reasoner.problems import BadInput, register

register({"MS35": "no stable rest"})

FINEST_MM = 1e-7
MOST_ROLL_RAD = pi / 6
#: Two rests this near in height are equally low; rolls this near are the same rest.
SAME_MM, SAME_ROLL_RAD = 1e-3, 1e-3
#: How far beside a place that seems lowest the corners are looked at from their other side.
LOOK_PAST_MM = 1e-3
_MOST_STEPS = 400
_RING = tuple((cos(turn * pi / 8), sin(turn * pi / 8)) for turn in range(16))


class _Asked:
    """How high each corner asks the tree to lie, at a shift and a roll, and how that changes with both."""

    def __init__(self, pieces: Sequence[Line], back: Line) -> None:
        self.back = np.array(back)
        self.slopes = np.diff(self.back[:, 1]) / np.diff(self.back[:, 0])
        self.corners = np.concatenate([np.array(piece) for piece in pieces])
        self.starts = np.concatenate([np.array(piece[:-1]) for piece in pieces])
        self.ends = np.concatenate([np.array(piece[1:]) for piece in pieces])

    def height(self, shift: float, roll: float) -> float:
        """The lowest lift at which nothing passes through anything (mm)."""
        return float(self.asked(shift, roll)[0].max())

    def asked(self, shift: float, roll: float, lines: bool = False) -> tuple[Floats, Floats, Floats]:
        """Lift asked for (mm) by every corner, and its slopes by shift (mm/mm) and by roll (mm/rad).

        `lines`: where a valley of the back lies beside a corner, the neighbouring straight part asks as well, as if it went
        on; about a ridge only the part the corner stands on is true.
        """
        c, s = cos(roll), sin(roll)
        turned = self.corners @ np.array([[c, s], [-s, c]])
        x = turned[:, 0] + shift
        at = np.clip(np.searchsorted(self.back[:, 0], x, side="right") - 1, 0, len(self.slopes) - 1)
        of_corners = [self._on_back(at, x, turned)]
        if lines:
            for neighbour in (at - 1, at + 1):
                there = np.clip(neighbour, 0, len(self.slopes) - 1)
                valley = np.where(
                    neighbour < at, self.slopes[there] < self.slopes[at], self.slopes[there] > self.slopes[at]
                )
                asked, by_shift, by_roll = self._on_back(there, x, turned)
                of_corners.append((asked[valley], by_shift[valley], by_roll[valley]))
        of_back = self._under_tree(np.array([[c, s], [-s, c]]), shift)
        parts = [*of_corners, of_back]
        asked, by_shift, by_roll = (np.concatenate(each) for each in zip(*parts, strict=True))
        return asked, by_shift, by_roll

    def _on_back(self, at: Floats, x: Floats, turned: Floats) -> tuple[Floats, Floats, Floats]:
        slope = self.slopes[at]
        asked = self.back[at, 1] + slope * (x - self.back[at, 0]) - turned[:, 1]
        return asked, slope, -turned[:, 0] - slope * turned[:, 1]

    def _under_tree(self, turn: Floats, shift: float) -> tuple[Floats, Floats, Floats]:
        """What the corners of the back ask of the straight parts of the tree above them."""
        a, b = self.starts @ turn, self.ends @ turn
        ax, bx = a[:, 0] + shift, b[:, 0] + shift
        low, high = np.minimum(ax, bx), np.maximum(ax, bx)
        over = (self.back[None, :, 0] >= low[:, None]) & (self.back[None, :, 0] <= high[:, None])
        over &= (high - low)[:, None] > 1e-12
        part, corner = np.nonzero(over)
        slope = (b[part, 1] - a[part, 1]) / (bx[part] - ax[part])
        x = self.back[corner, 0]
        z = a[part, 1] + slope * (x - ax[part])
        return self.back[corner, 1] - z, slope, -(x - shift) - slope * z


def rest(
    pieces: Sequence[Line],
    back: Line,
    weight_at: Point,
    *,
    may_shift: bool = True,
    may_roll: bool = True,
    start: tuple[float, float] = (0.0, 0.0),
) -> Pose:
    """Where a rigid tree comes to rest on a back: the lowest place of `weight_at` (a point of the tree, mm) near the start.

    `pieces` and `back` run from left to right with x growing. `start` is a shift (mm) and a roll (radians), kept
    where it may not shift or not roll. Heights are
    right to 0.000001 mm, rolls where the rest is flat (a ball in a dish) to about 0.001 degrees. Raises BadInput (MS35) where
    it would turn over.
    """
    asked = _Asked(pieces, back)
    arm = max(hypot(*point) for piece in pieces for point in piece) or 1.0
    shift, roll = start
    free = (1.0 if may_shift else 0.0, 1.0 if may_roll else 0.0)

    def height(at_shift: float, at_roll: float) -> float:
        weight = weight_at[0] * sin(at_roll) + weight_at[1] * cos(at_roll)
        return asked.height(at_shift, at_roll) + weight

    best, reach = height(shift, roll), 8.0
    for _ in range(_MOST_STEPS):
        if reach < FINEST_MM:
            found, trial = _past_an_edge(asked, height, weight_at, (shift, roll), arm, free)
            if found >= best - FINEST_MM:
                break
            best, (shift, roll), reach = found, trial, LOOK_PAST_MM
            continue
        step = _step(asked, weight_at, shift, roll, reach, arm, free)
        trial = (shift + step[0], roll + step[1])
        found = height(*trial)
        if found >= best - 1e-12:
            found, trial = _ring(height, shift, roll, reach, arm, free)
        if found < best - 1e-12:
            best, (shift, roll) = found, trial
            reach = min(reach * 1.5, 8.0)
        else:
            reach /= 3
        if abs(roll) > MOST_ROLL_RAD:
            refuse("MS35", "laid down by itself the tree turns over instead of coming to rest.",
                   "Look whether left and right, and up and down, are as they should be.")  # fmt: skip
    return Pose(shift, asked.height(shift, roll), roll)


def settled(pieces: Sequence[Line], back: Line, weight_at: Point, most_roll_rad: float) -> tuple[Pose, bool]:
    """Where a tree comes to rest seen from behind, and whether it was free to roll.

    It is laid down as it is and in the mirror, and the lower rest is taken, so that left and right are treated alike. Where it
    turns over, rests only beyond `most_roll_rad`, or rests as low rolled one way as the other, it is held level.
    """
    found = []
    for mirror in (False, True):
        try:
            if mirror:
                there = rest([_other(one) for one in reversed(pieces)], _other(back), (-weight_at[0], weight_at[1]))
                at = Pose(-there.shift_mm, there.lift_mm, -there.roll_rad)
            else:
                at = rest(pieces, back, weight_at)
        except BadInput as bad:
            if any(problem.code != "MS35" for problem in bad.problems):
                raise
            break
        found.append((at.of([weight_at])[0][1], at))
    if len(found) == 2:
        (low, at), (high, other) = sorted(found, key=lambda one: one[0])
        either_way = high - low < SAME_MM and abs(at.roll_rad - other.roll_rad) > SAME_ROLL_RAD
        if not either_way and abs(at.roll_rad) <= most_roll_rad:
            return at, True
    return rest(pieces, back, weight_at, may_roll=False), False


def _other(line: Line) -> Line:
    """Left and right exchanged."""
    return tuple((-x, z) for x, z in reversed(line))


def _step(
    asked: _Asked, weight_at: Point, shift: float, roll: float, reach: float, arm: float, free: tuple[float, float]
) -> tuple[float, float]:
    """The best step of the problem made straight, no corner moved further than about `reach` (mm)."""
    from scipy.optimize import linprog

    height, by_shift, by_roll = asked.asked(shift, roll, lines=True)
    steepest = 1.0 + float(np.abs(by_shift).max())
    near = height > height.max() - 3 * reach * steepest
    tilt = weight_at[0] * cos(roll) - weight_at[1] * sin(roll)
    # Unknowns: the step sideways, the step of the roll times the arm (so that both are millimetres), and the height.
    rows = np.column_stack([by_shift[near], by_roll[near] / arm, -np.ones(int(near.sum()))])
    aside, round_ = reach * free[0], reach * free[1]
    solved = linprog(
        [0.0, tilt / arm, 1.0],
        A_ub=rows,
        b_ub=height.max() - height[near],
        bounds=[(-aside, aside), (-round_, round_), (None, None)],
        method="highs",
    )
    if solved.x is None:
        return 0.0, 0.0
    return float(solved.x[0]), float(solved.x[1]) / arm


def _past_an_edge(
    asked: _Asked,
    height: Callable[[float, float], float],
    weight_at: Point,
    here: tuple[float, float],
    arm: float,
    free: tuple[float, float],
) -> tuple[float, tuple[float, float]]:
    """The lowest place found by making the problem straight a little beside the present one, all round it.

    Where a corner of the tree stands on a corner of the back, the straight problem knows the parts on one side only, and the
    way down past the edge may be narrower than the gaps of the ring.
    """
    tried = []
    for one, other in _RING:
        shift = here[0] + LOOK_PAST_MM * one * free[0]
        roll = here[1] + LOOK_PAST_MM * other * free[1] / arm
        aside, round_ = _step(asked, weight_at, shift, roll, 2 * LOOK_PAST_MM, arm, free)
        at = (shift + aside, roll + round_)
        tried.append((height(*at), at))
    return min(tried, key=lambda pair: pair[0])


def _ring(
    height: Callable[[float, float], float],
    shift: float,
    roll: float,
    reach: float,
    arm: float,
    free: tuple[float, float],
) -> tuple[float, tuple[float, float]]:
    """The lowest of a ring of movements of this reach: what a straight view of a bent place overlooks."""
    tried = []
    for one, other in _RING:
        at = (shift + reach * one * free[0], roll + reach * other * free[1] / arm)
        tried.append((height(*at), at))
    return min(tried, key=lambda pair: pair[0])
