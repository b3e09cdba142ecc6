"""A tree on the tracing of a back, drawn as seen from behind: the horse's left at the left.

In: a station as it was laid down, and its lines in words. Out: one whole SVG.
Not here: laying it down (measures/contact.py), sentences (measured_tree.py), the view from the side.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from reasoner.measures.contact import Laid, Stretch, Zone
from reasoner.quantities import STANDARD_GRAVITY
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
    pressed_at,
    rows,
    text,
    whole,
)
from reasoner.rulebook.measures.tree import Tree

ZONES: tuple[Zone, Zone, Zone] = ("left", "top", "right")
_COLUMN: Mapping[Zone, Column] = {"left": "left", "top": "middle", "right": "right"}


def tree_picture(laid: Laid, table: Tree, title: str, says: str, lines: Sequence[str]) -> str:
    """Back, tree, touching stretches, hatched gaps with their mm, and the loaded place; `lines` stand under it."""
    widest = max(abs(x) for x, _ in (*laid.back, *(p for of in laid.unloaded.lines for p in of)))
    per_mm = (WIDTH / 2 - MARGIN - 4) / widest
    highest = max(z for of in laid.unloaded.lines for _, z in of)
    flat = Scale(x=MIDDLE, y=0.0, per_mm=per_mm)
    room = how_many_rows(_labels(laid, table, flat)) * ROW
    top = 70.0 + room
    scale = Scale(x=MIDDLE, y=top + max(highest, max(z for _, z in laid.back)) * per_mm, per_mm=per_mm)
    lowest = min(z for _, z in laid.back)
    bottom = scale.at((0.0, lowest))[1] + 8
    parts = [
        text(MIDDLE, 20, title, "ld-ink ld-bold", "middle"),
        text(MARGIN, 44, "LEFT", "ld-ink ld-bold"),
        text(MIDDLE, 44, "seen from behind", "ld-soft", "middle"),
        text(WIDTH - MARGIN, 44, "RIGHT", "ld-ink ld-bold", "end"),
        flesh(laid.back, scale, bottom),
        f'<line class="ld-middle" x1="{MIDDLE}" x2="{MIDDLE}" y1="{top:.1f}" y2="{bottom:.1f}"/>',
    ]
    parts += [gap(one.line, laid.back, scale) for one in laid.unloaded.gaps if len(one.line) > 1]
    parts += [line("ld-tree", of, scale) for of in laid.unloaded.lines]
    parts += [line("ld-touch", _drawn(one), scale) for one in laid.unloaded.touches]
    loaded = laid.loaded[1]
    parts += [line("ld-load", of, scale) for of in loaded.sitting.lines]
    parts.append(pressed_at(_most(laid), scale))
    parts += labels(_labels(laid, table, scale), 66.0)
    parts.append(bar(MARGIN, bottom + 16, scale, 50))
    under, end = rows(bottom + 40, [*_legend(laid), *lines])
    return whole([*parts, *under], end + 4, title, says)


def _drawn(stretch: Stretch) -> Sequence[tuple[float, float]]:
    """A stretch with some length, so that a single touching point is seen."""
    (x, z) = stretch.line[0]
    return stretch.line if len(stretch.line) > 1 else ((x - 0.5, z), (x + 0.5, z))


def _most(laid: Laid) -> tuple[float, float]:
    """Where it presses most under load."""
    loaded = laid.loaded[1]
    top = max(z for _, z in laid.back)
    down = top - loaded.most_down_mm
    places = [p for of in loaded.sitting.lines for p in of]
    return min(
        places,
        key=lambda p: (p[1] - down) ** 2 + (abs(p[0]) - loaded.most_out_mm) ** 2 + _wrong_side(p, loaded.most_zone),
    )


def _wrong_side(point: tuple[float, float], zone: Zone) -> float:
    other = (zone == "left" and point[0] > 0) or (zone == "right" and point[0] < 0)
    return 1e9 if other else 0.0


def _labels(laid: Laid, table: Tree, scale: Scale) -> list[Label]:
    found = []
    for zone in ZONES:
        column = _COLUMN[zone]
        touches = [one for one in laid.unloaded.touches if one.zone == zone]
        if touches:
            longest = max(touches, key=lambda one: len(one.line))
            middle = longest.line[len(longest.line) // 2]
            found.append(Label(words="touches", about=scale.at(middle), column=column))
        room = laid.unloaded.clearance_mm
        gaps = [one for one in laid.unloaded.gaps if one.zone == zone and one.most_mm >= table.shape.gaps_from_mm]
        if zone == "top" and room is not None and room >= table.shape.gaps_from_mm:
            height = height_at(laid.unloaded.lines[0], 0.0)
            found.append(Label(words=f"{room:.0f} mm over the top", about=scale.at((0.0, height)), column="middle"))
        elif zone != "top" and gaps:
            most = max(gaps, key=lambda one: one.most_mm)
            words = f"clear {most.most_mm:.0f} mm"
            found.append(Label(words=words, about=scale.at(most.most_at), column=_COLUMN[zone]))
        if laid.loaded[1].most_zone == zone:
            x, y = scale.at(_most(laid))
            found.append(Label(words="presses most", about=(x, y - 11), column=column))
    return found


def _legend(laid: Laid) -> Iterator[str]:
    yield "Thick: touches. Hatched: clear."
    yield f"Dotted: pressed in by {laid.load_n / float(STANDARD_GRAVITY):.0f} kg. Arrow: where it then presses most."
