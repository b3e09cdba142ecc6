"""Making room for badges that stand close together on the body map.

In: spots (where each badge belongs, its size, whether it may move). Out: where each is drawn, in that order.
Not here: what a badge shows or how it is drawn. The same spots always give the same answer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from reasoner.frozen import frozen

_ROUNDS = 400
_GAP = 1.0


@frozen
class Spot:
    """Where one badge belongs. `fixed` spots (the small quiet dots) stay and push the others away."""

    x: float
    y: float
    radius: float
    fixed: bool = False


def make_room(spots: Sequence[Spot], *, width: float, height: float) -> list[tuple[float, float]]:
    """Centres for all spots, none over another where there is room, each as near its own place as may be."""
    centres = [_first_step(spots, index) for index in range(len(spots))]
    for turn in range(_ROUNDS):
        pushes = _pushes(spots, centres)
        if not any(pushes) and turn > 0:
            break
        pull = 0.04 if turn < _ROUNDS // 2 else 0.0  # a spring home at first, later only making room
        for index, spot in enumerate(spots):
            if spot.fixed:
                continue
            x, y = centres[index]
            right, down = pushes[index] or (0.0, 0.0)
            x += right + pull * (spot.x - x)
            y += down + pull * (spot.y - y)
            edge = spot.radius + _GAP
            centres[index] = (min(max(x, edge), width - edge), min(max(y, edge), height - edge))
    return [(round(x, 1), round(y, 1)) for x, y in centres]


def _first_step(spots: Sequence[Spot], index: int) -> tuple[float, float]:
    """Badges start a hair off their places, each its own way, so that no push is without a direction."""
    spot = spots[index]
    if spot.fixed or all(other is spot or _apart(spot, other) for other in spots):
        return spot.x, spot.y
    return spot.x + 0.3 * math.cos(2.4 * index), spot.y + 0.3 * math.sin(2.4 * index)


def _apart(one: Spot, other: Spot) -> bool:
    return math.dist((one.x, one.y), (other.x, other.y)) >= one.radius + other.radius + _GAP


def _pushes(spots: Sequence[Spot], centres: Sequence[tuple[float, float]]) -> list[tuple[float, float] | None]:
    """For every spot the sum of the pushes of those it overlaps; None where nothing touches it."""
    pushes: list[tuple[float, float] | None] = [None] * len(spots)
    for one in range(len(spots)):
        for other in range(one + 1, len(spots)):
            if spots[one].fixed and spots[other].fixed:
                continue
            need = spots[one].radius + spots[other].radius + _GAP
            right = centres[other][0] - centres[one][0]
            down = centres[other][1] - centres[one][1]
            if abs(right) >= need or abs(down) >= need:
                continue
            apart = math.hypot(right, down)
            if apart >= need - 0.05:
                continue
            if apart < 1e-6:
                right, down, apart = 0.0, 1.0, 1.0
                short = need
            else:
                short = need - apart
            share = 0.5 if not (spots[one].fixed or spots[other].fixed) else 1.0
            step = (share * short * right / apart, share * short * down / apart)
            for index, sign in ((one, -1.0), (other, 1.0)):
                before = pushes[index] or (0.0, 0.0)
                pushes[index] = (before[0] + sign * step[0], before[1] + sign * step[1])
    return pushes
