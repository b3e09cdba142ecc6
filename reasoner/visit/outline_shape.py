"""Traced points become an outline: in millimetres, one after the other, both sides about one midline.

In: what was traced, the points of each side with the line each was written on. Out: an `Outline`, or what is wrong with it.
Not here: how points are written in a visit file (outlines.py) or a table (outline_csv.py), widths and angles (measures/).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from itertools import pairwise
from typing import Literal

from reasoner.frozen import frozen
from reasoner.quantities import plain
from reasoner.rulebook.vocabulary import canonical
from reasoner.visit.model import Outline, Points, Side

Of = Literal["back", "saddle"]
Plane = Literal["across", "along"]
#: Where what is wrong is told: line, code, sentence, hint.
Say = Callable[[int, str, str, str], None]

#: A point further out, or lower, than this many millimetres is a slip of the pen (own setting): wider than any horse, longer
#: than any back.
FURTHEST_MM = 2000
FEWEST = 2
SIDES: tuple[Side, Side] = ("left", "right")


@frozen
class Dot:
    """One traced point in millimetres, and the line it was written on."""

    out: Decimal
    down: Decimal
    line: int


@frozen(kw_only=True)
class Traced:
    """One line over the back or under the saddle as it was written, before it is looked at.

    `name` is what a message calls it ("T13"). INVARIANT: a side that was not written is not in `sides`.
    """

    of: Of
    plane: Plane
    station: str
    name: str
    sides: Mapping[Side, tuple[Dot, ...]]
    line: int
    note: str = ""


def station_key(place_of: Mapping[str, str], word: str) -> str:
    """The canonical word of a station: `t13` for T13, T 13 or Th13, the place's key for a place, else the word itself.

    >>> station_key({"withers": "withers"}, "Th 13"), station_key({"wither": "withers"}, "Wither")
    ('t13', 'withers')
    """
    key = canonical(word)
    numbered = re.fullmatch(r"(?:th?|thoracic)_?0?([0-9]{1,2})", key)
    lumbar = re.fullmatch(r"(?:l|lumbar)_?0?([0-9])", key)
    if numbered:
        return f"t{int(numbered[1])}"
    return f"l{lumbar[1]}" if lumbar else place_of.get(key, key)


def outline_of(traced: Traced, say: Say) -> Outline | None:
    """The outline, its highest point 0 down (across), or None with everything wrong with it told."""
    wrong = list(_wrong(traced))
    for line, code, sentence, hint in wrong:
        say(line, code, sentence, hint)
    if wrong:
        return None
    top = Decimal(0)
    if traced.plane == "across":  # a full back rises beside its midline; written from there it begins above 0
        top = min(dot.down for dots in traced.sides.values() for dot in dots)
    return Outline(
        of=traced.of, plane=traced.plane, station=traced.station, left=_points(traced, "left", top),
        right=_points(traced, "right", top), line=traced.line, note=traced.note,
    )  # fmt: skip


def _points(traced: Traced, side: Side, top: Decimal) -> Points:
    return tuple((dot.out, dot.down - top) for dot in traced.sides.get(side, ()))


def _wrong(traced: Traced) -> Iterator[tuple[int, str, str, str]]:
    if not traced.sides:
        yield (
            traced.line,
            "VF53",
            f"{traced.name}: no side was traced.",
            "Write left: and right:, each with its points.",
        )
    for side in SIDES:
        if side in traced.sides:
            yield from _wrong_side(traced, f"{traced.name}, {side}", traced.sides[side])
    left, right = traced.sides.get("left", ()), traced.sides.get("right", ())
    if _midline_known(traced) and left and right and left[0].out == right[0].out == 0 and left[0].down != right[0].down:
        what = f"the midline is {plain(left[0].down)} mm down on the left and {plain(right[0].down)} mm on the right"
        yield right[0].line, "VF55", f"{traced.name}: {what}.", "Both sides begin at the same point of the midline."


def _wrong_side(traced: Traced, name: str, dots: tuple[Dot, ...]) -> Iterator[tuple[int, str, str, str]]:
    if len(dots) < FEWEST:
        line = dots[0].line if dots else traced.line
        count = "one point was" if dots else "no points were"
        yield line, "VF53", f"{name}: {count} read; a line has at least two.", "Write them as 0/0 30/4 60/15."
        return
    first = dots[0]
    if first.out < 0:
        yield first.line, "VF52", f"{name}: {plain(first.out)} mm out is on the other side of the midline.", _OUTWARDS
    elif _midline_known(traced) and first.out != 0:
        what = f"{name}: the line begins {plain(first.out)} mm out; a back is traced from the midline."
        yield first.line, "VF52", what, "Begin with 0/0."
    elif traced.plane == "along" and (first.out or first.down):
        what = f"{name}: a line along begins at its own first point, 0/0, and {_shown(first)} was read."
        yield first.line, "VF52", what, "Measure backwards and down from the first point."
    for before, dot in pairwise(dots):
        if dot.out <= before.out:
            what = f"{name}: {_shown(dot)} stands after {_shown(before)}; the first number grows from point to point."
            yield dot.line, "VF52", what, _OUTWARDS if traced.plane == "across" else "Write them from front to rear."
            break
    for dot in dots:
        if max(abs(dot.out), abs(dot.down)) > FURTHEST_MM:
            what = (
                f"{name}: {_shown(dot)} is {plain(max(abs(dot.out), abs(dot.down)))} mm away, which no tracing reaches."
            )
            yield dot.line, "VF57", what, "Look at the point, and at units:."
            break


_OUTWARDS = "Both sides are written from the midline outwards, out/down, without signs for left and right."


def _midline_known(traced: Traced) -> bool:
    """Whether both sides must begin on the midline: a back does, a saddle begins at the edge of its channel."""
    return traced.of == "back" and traced.plane == "across"


def _shown(dot: Dot) -> str:
    return f"{plain(dot.out)}/{plain(dot.down)}"
