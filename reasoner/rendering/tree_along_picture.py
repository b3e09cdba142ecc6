"""A panel or bar on the line of the back, drawn from the side: the front at the left, one drawing a side of the horse.

In: both sides as they were laid down, and their lines in words. Out: one whole SVG.
Not here: laying it down (measures/contact_along.py), sentences (measured_tree.py).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby

from reasoner.measures.contact_along import LaidAlong, Part
from reasoner.measures.contact_shapes import Line
from reasoner.rendering.laid_drawing import (
    MARGIN,
    MIDDLE,
    ROW,
    WIDTH,
    Column,
    Label,
    Scale,
    bar,
    flesh,
    gap,
    height_at,
    how_many_rows,
    labels,
    line,
    rows,
    text,
    whole,
)
from reasoner.rulebook.measures.tree import Tree

TALLER = 2.0
_COLUMN: Mapping[Part, Column] = {"front": "left", "middle": "middle", "rear": "right"}


def along_picture(
    sides: Sequence[tuple[str, LaidAlong]], table: Tree, title: str, says: str, lines: Sequence[str]
) -> str:
    """Each side under the other; `lines` stand below."""
    parts = [text(MIDDLE, 20, title, "ld-ink ld-bold", "middle")]
    y = 26.0
    for name, laid in sides:
        drawn, y = _side(name, laid, table, y)
        parts += drawn
    legend = ["Thick: touches. Hatched: clear. Dotted: under load."]
    if any(laid.contact == "rocks" for _, laid in sides):
        legend.append("Dashes: pressed at one end and at the other.")
    legend.append("Heights are drawn twice as large as lengths.")
    under, end = rows(y + 14, [*legend, *lines])
    return whole([*parts, *under], end + 4, title, says)


def _side(name: str, laid: LaidAlong, table: Tree, top: float) -> tuple[list[str], float]:
    longest = max(laid.back[-1][0], laid.line[-1][0])
    per_mm = (WIDTH - 2 * MARGIN) / longest
    rocks = laid.contact == "rocks"
    every = [laid.line, laid.back, *((laid.pressed_front, laid.pressed_rear) if rocks else ())]
    highest, lowest = (pick(z for of in every for _, z in of) for pick in (max, min))
    room = how_many_rows(_labels(laid, table, Scale(x=0, y=0, per_mm=1))) * ROW
    begin = top + 44 + room
    scale = Scale(x=MARGIN, y=begin + highest * per_mm * TALLER, per_mm=per_mm, taller=TALLER)
    bottom = scale.at((0.0, lowest))[1] + 14
    parts = [
        text(MARGIN, top + 20, "FRONT", "ld-soft"),
        text(MIDDLE, top + 20, f"{name.upper()} SIDE", "ld-ink ld-bold", "middle"),
        text(WIDTH - MARGIN, top + 20, "REAR", "ld-soft", "end"),
        flesh(laid.back, scale, bottom),
    ]
    for touching, part in _runs(laid, table):
        if not touching and len(part) > 1:
            parts.append(gap(part, laid.back, scale))
    if rocks:
        parts += [line("ld-other", of, scale) for of in (laid.pressed_front, laid.pressed_rear)]
    parts.append(line("ld-tree", laid.line, scale))
    for touching, part in _runs(laid, table):
        if touching:
            x, z = part[0]
            parts.append(line("ld-touch", part if len(part) > 1 else ((x - 0.5, z), (x + 0.5, z)), scale))
    parts.append(line("ld-load", laid.loaded_line, scale))
    parts += labels(_labels(laid, table, scale), top + 42)
    parts.append(bar(MARGIN, bottom + 12, scale, 100))
    return parts, bottom + 24


def _runs(laid: LaidAlong, table: Tree) -> list[tuple[bool, Line]]:
    """Stretches of the panel that touch the back, or do not, by turns."""
    near = table.shape.touches_within_mm
    marked = [(point[1] - height_at(laid.back, point[0]) <= near, point) for point in laid.line]
    return [(touching, tuple(p for _, p in group)) for touching, group in groupby(marked, key=lambda one: one[0])]


def _labels(laid: LaidAlong, table: Tree, scale: Scale) -> list[Label]:
    found = []
    first, last = laid.line[0][0], laid.line[-1][0]
    # A gap that only goes on from the next part has its greatest place at the border, and is labelled there already.
    most = max(one.most_mm for one in laid.gaps)
    borders = [first + (last - first) * share for share in (table.lengthwise.middle_from, table.lengthwise.middle_to)]
    for one in laid.gaps:
        at_border = one.most_mm < most and any(abs(one.at[0] - border) <= 2 for border in borders)
        if one.most_mm >= table.shape.gaps_from_mm and not at_border:
            words = f"clear {one.most_mm:.0f} mm"
            found.append(Label(words=words, about=scale.at(one.at), column=_COLUMN[one.part]))
    for touching, part in _runs(laid, table):
        if touching:
            middle = part[len(part) // 2]
            share = (middle[0] - first) / (last - first)
            how = table.lengthwise
            column: Column = "left" if share < how.middle_from else "right" if share > how.middle_to else "middle"
            if not any(one.words == "touches" and one.column == column for one in found):
                found.append(Label(words="touches", about=scale.at(middle), column=column))
    return found
