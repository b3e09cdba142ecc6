"""Badges and names along the middle line of the back, where the spaces between the spines lie close together.

In: where each mark belongs on the view from above and its name. Out: where its badge and its name go. A badge
steps off the line and never slides over the next space; the thin line back leads to the right one.
Not here: how badges and names are drawn.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from reasoner.frozen import frozen

LETTER = 11.0  # height of a name in units of the drawing
_WIDTH = 0.56  # an average letter is about this much of its height wide
_LEAN = math.radians(58.0)
_GAP = 1.5
_ALONE = 45.0  # a mark with no other this close stays on the line
_STEPS = (24.0, 46.0, 68.0, 92.0)
_SHORT = 60.0  # a longer name is written flat beside its badge, not leaning
_ASIDE = (0.0, -14.0, 14.0, -24.0, 24.0)

Point = tuple[float, float]
Line = tuple[Point, Point]


@frozen
class Named:
    """A mark on the view from above: its place, the radius of its badge, and its name."""

    x: float
    y: float
    radius: float
    name: str


@frozen
class Seat:
    """Where the badge goes; the name starts at `name_at`, turned by `turn` degrees."""

    x: float
    y: float
    name_at: Point
    turn: float


def seats(
    marks: Sequence[Named], dots: Sequence[Point], *, dot: float, height: float, words: Sequence[Line] = ()
) -> list[Seat]:
    """A seat for every mark, in the order given. Quiet `dots` and the `words` of the picture stay."""
    crowded = [sum(_near(one, other) <= 12.0 for other in marks) > 2 for one in marks]
    order = sorted(range(len(marks)), key=lambda i: (crowded[i], marks[i].x, marks[i].y, i))
    taken: dict[int, tuple[Seat, Line, Line]] = {}
    for index in order:
        mark = marks[index]
        alone = all(_near(mark, other) > _ALONE for place, other in enumerate(marks) if place != index)
        best: tuple[float, Seat, Line, Line] | None = None
        for seat in _choices(mark, alone):
            line = ((mark.x, mark.y), (seat.x, seat.y))
            written = _written(mark, seat)
            faults = _faults(mark, seat, line, written, marks, taken)
            faults += 4.0 * sum(math.dist((seat.x, seat.y), at) < mark.radius + dot for at in dots)
            faults += 4.0 * sum(not 0.0 <= y <= height for _, y in (*written, (seat.x, seat.y)))
            faults += 2.0 * sum(_between(written, other) < 2 * LETTER for other in words)
            if best is None or faults < best[0]:
                best = (faults, seat, line, written)
            if faults == 0.0:
                break
        assert best is not None  # _choices never comes back empty
        taken[index] = best[1:]
    return [taken[index][0] for index in range(len(marks))]


def _near(one: Named, other: Named) -> float:
    return math.dist((one.x, one.y), (other.x, other.y))


def _choices(mark: Named, alone: bool) -> Iterator[Seat]:
    """Seats from best to worst: on the line, a step off it to either side, then further and aside."""
    out = mark.radius + 2.0
    long = _length(mark.name)
    flat = long > _SHORT
    if alone:
        for way in (-1.0, 1.0):
            yield Seat(mark.x, mark.y, (mark.x - long / 2, mark.y + way * (out + LETTER / 2)), 0.0)
    for step in _STEPS:
        for aside in _ASIDE if step > _STEPS[0] else (0.0,):
            for way in (-1.0, 1.0):
                x, y = mark.x + aside, mark.y + way * step
                if flat:
                    yield Seat(x, y, (x - out - 1.0 - long, y), 0.0)
                    yield Seat(x, y, (x + out + 1.0, y), 0.0)
                else:
                    yield Seat(x, y, (x + 2.0, y + way * out), math.degrees(way * _LEAN))


def _length(name: str) -> float:
    return _WIDTH * LETTER * len(name)


def _written(mark: Named, seat: Seat) -> Line:
    length = _length(mark.name)
    turn = math.radians(seat.turn)
    x, y = seat.name_at
    return seat.name_at, (x + length * math.cos(turn), y + length * math.sin(turn))


def _faults(
    mark: Named,
    seat: Seat,
    line: Line,
    written: Line,
    marks: Sequence[Named],
    taken: dict[int, tuple[Seat, Line, Line]],
) -> float:
    """How much would lie over something else: badges over badges weigh most, then names, then thin lines."""
    faults = 0.0
    here = (seat.x, seat.y)
    for index, (other, other_line, other_written) in taken.items():
        radius = marks[index].radius
        there = (other.x, other.y)
        faults += 8.0 * (math.dist(here, there) < mark.radius + radius + _GAP)
        faults += 1.0 * (_from(there, line) < radius + _GAP) + 1.0 * (_from(here, other_line) < mark.radius + _GAP)
        if mark.name:
            faults += 2.0 * (_from(there, written) < radius + LETTER / 2)
        if marks[index].name:
            faults += 2.0 * (_from(here, other_written) < mark.radius + LETTER / 2)
        if mark.name and marks[index].name:
            faults += 2.0 * (_between(written, other_written) < LETTER)
    return faults


def _from(point: Point, line: Line) -> float:
    """The distance of a point from a line between two ends."""
    (x1, y1), (x2, y2) = line
    long = (x2 - x1) ** 2 + (y2 - y1) ** 2
    if long == 0.0:
        return math.dist(point, line[0])
    share = ((point[0] - x1) * (x2 - x1) + (point[1] - y1) * (y2 - y1)) / long
    share = min(max(share, 0.0), 1.0)
    return math.dist(point, (x1 + share * (x2 - x1), y1 + share * (y2 - y1)))


def _between(one: Line, other: Line) -> float:
    """The distance of two names from each other: none where they cross, else from the nearest end."""
    if _turns(one, other[0]) != _turns(one, other[1]) and _turns(other, one[0]) != _turns(other, one[1]):
        return 0.0
    return min(*(_from(end, other) for end in one), *(_from(end, one) for end in other))


def _turns(line: Line, point: Point) -> bool:
    """Which side of a line a point lies on."""
    (x1, y1), (x2, y2) = line
    return (x2 - x1) * (point[1] - y1) - (y2 - y1) * (point[0] - x1) > 0.0
