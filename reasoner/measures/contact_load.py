"""A tree pressed into a back by a load: a bed of springs that push and never pull.

In: the lines of a tree at rest, a back, a load, a depth along the horse and a stiffness. Out: `Pressed`: how far it sinks,
rolls and shifts, and the pressure under each point of the tree.
Not here: the stiffness (an own setting of the table, told as a range), words for how it sits.

The bed is Winkler's (1867, from memory): each point of the tree that lies d mm inside the undeformed back is pushed out with a
pressure of stiffness times d, at right angles to the back, without friction. The tree lies where the energy of the springs and
of the load together is least; there forces and moments balance, so the upward forces on left and right are the load.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, hypot, sin

import numpy as np

from reasoner.frozen import frozen
from reasoner.measures.contact_shapes import Floats, Line, Point, Pose, fine, nearest_on, refuse
from reasoner.problems import register

register({"MS33": "a load that no saddle carries", "MS36": "no balance of forces was found"})

#: How far the sum of forces may miss the load, as a part of it, and moments likewise over the half width.
BALANCE = 1e-6
_FROM_KPA = 1e-3  # N/mm2 in a kPa, exact


@frozen(kw_only=True)
class Bed:
    """What a tree is pressed into: kPa for each mm it sinks, over so many mm along (or across) the horse."""

    stiffness_kpa_per_mm: float
    depth_mm: float
    step_mm: float = 1.0


@frozen(kw_only=True)
class Pressed:
    """A tree under load. `pose` is its place; at each point of its line (mm, where it lies now) `kpa` is the pressure, zero
    where it is clear, `upwards_n` the upward force there. `missing` is how far the balance is off, as a part of the load."""

    pose: Pose
    points: Line
    kpa: tuple[float, ...]
    upwards_n: tuple[float, ...]
    missing: float

    def force_n(self, low_mm: float, high_mm: float) -> float:
        """The upward force between two places of x (mm); a point on a border counts half on each side of it."""
        share = [
            up * (0.5 if x in (low_mm, high_mm) else 1.0)
            for (x, _), up in zip(self.points, self.upwards_n, strict=True)
            if low_mm <= x <= high_mm
        ]
        return float(sum(share))


def pressed(
    pieces: Sequence[Line], back: Line, weight_at: Point, load_n: float, bed: Bed, *, at: Pose,
    may_shift: bool = True, may_roll: bool = True,
) -> Pressed:  # fmt: skip
    """Where a rigid tree lies under a load that acts straight down on its point `weight_at`.

    `at` is where it rests unloaded. load_n above 0. Raises BadInput (MS33: no load; MS36: no balance).
    """
    from scipy.optimize import minimize

    if not 0 < load_n < float("inf"):
        refuse("MS33", f"a load of {load_n:g} N; more than nothing was expected.")
    springs = _Springs(pieces, back, weight_at, load_n, bed)
    begin = np.array([at.shift_mm, at.lift_mm, at.roll_rad * springs.arm])
    free = np.array([may_shift, True, may_roll])

    def energy(move: Floats) -> tuple[float, Floats]:
        value, slope, _ = springs.at(np.where(free, move, begin))
        return value / load_n, np.where(free, slope, 0.0) / load_n

    # Sunk in already, so that the springs are felt from the first step on.
    start = begin - np.array([0.0, min(5.0, load_n / springs.stiffest), 0.0])
    found = minimize(energy, start, jac=True, method="BFGS", options={"gtol": BALANCE / 10, "maxiter": 500}).x
    found = _balanced(springs, np.where(free, found, begin), free)
    _, slope, (points, depth, force) = springs.at(found)
    missing = float(np.abs(np.where(free, slope, 0.0)).max() / load_n)
    if missing > BALANCE or abs(found[2] / springs.arm) > 1.0:
        refuse("MS36", "under this load the tree turns over or slides off instead of coming to lie.",
               "Look whether left and right, and up and down, are as they should be, and take a smaller load.")  # fmt: skip
    return Pressed(
        pose=Pose(float(found[0]), float(found[1]), float(found[2] / springs.arm)),
        points=tuple((float(x), float(z)) for x, z in points),
        kpa=tuple(float(d) * bed.stiffness_kpa_per_mm for d in depth),
        upwards_n=tuple(float(up) for up in force[:, 1]),
        missing=missing,
    )


def _balanced(springs: _Springs, move: Floats, free: Floats) -> Floats:
    """Newton's steps on the forces: the search for the least energy stops some figures short of the balance."""
    chosen = np.nonzero(free)[0]
    best = np.abs(springs.at(move)[1][chosen]).max()
    for _ in range(30):
        slope = springs.at(move)[1]
        if best < BALANCE * springs.load_n / 100:
            break
        rows = []
        for one in chosen:
            nudge = np.zeros(3)
            nudge[one] = 1e-5
            rows.append((springs.at(move + nudge)[1] - springs.at(move - nudge)[1])[chosen] / 2e-5)
        step = np.zeros(3)
        step[chosen] = np.linalg.lstsq(np.array(rows), -slope[chosen], rcond=None)[0]
        for _ in range(12):
            after = np.abs(springs.at(move + step)[1][chosen]).max()
            if after < best:
                break
            step /= 2
        else:
            break
        move, best = move + step, after
    return move


class _Springs:
    """The energy of load and springs at a place of the tree: (shift, lift, roll times arm), all in mm."""

    def __init__(self, pieces: Sequence[Line], back: Line, weight_at: Point, load_n: float, bed: Bed) -> None:
        self.points, lengths = fine(pieces, bed.step_mm)
        self.back, self.weight_at, self.load_n = back, weight_at, load_n
        self.arm = max(hypot(*point) for piece in pieces for point in piece) or 1.0
        self.rate = lengths * bed.depth_mm * bed.stiffness_kpa_per_mm * _FROM_KPA  # N for each mm, at every point
        self.stiffest = float(self.rate.sum())

    def at(self, move: Floats) -> tuple[float, Floats, tuple[Floats, Floats, Floats]]:
        """Energy (N mm), its slope (N), and at every point: where it lies, how deep (mm), the force on it (N)."""
        roll = float(move[2]) / self.arm
        c, s = cos(roll), sin(roll)
        turned = self.points @ np.array([[c, s], [-s, c]])
        here = turned + move[:2]
        near, under = nearest_on(self.back, here)
        push = np.where(under[:, None], near - here, 0.0)
        force = self.rate[:, None] * push
        wx, wz = self.weight_at
        energy = self.load_n * (move[1] + s * wx + c * wz) + 0.5 * float((force * push).sum())
        # A roll moves each point by (-z, x) of its place about the origin of the tree.
        moment = self.load_n * (c * wx - s * wz) - float(
            (force[:, 1] * turned[:, 0] - force[:, 0] * turned[:, 1]).sum()
        )
        slope = np.array([-force[:, 0].sum(), self.load_n - force[:, 1].sum(), moment / self.arm])
        return energy, slope, (here, np.hypot(*push.T), force)
