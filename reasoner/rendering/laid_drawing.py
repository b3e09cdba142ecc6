"""The pieces of a picture of two lines laid on each other: ground, lines, hatched gaps, labels with leaders.

In: points in mm, and where a millimetre lies in the drawing. Out: strings of SVG.
Not here: what is drawn (tree_picture, tree_along_picture), what it means.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from html import escape
from math import ceil
from textwrap import wrap
from typing import Literal

from reasoner.frozen import frozen

Point = tuple[float, float]
Column = Literal["left", "middle", "right"]
WIDTH, MARGIN, ROW = 390, 12, 20
MIDDLE = WIDTH / 2
#: About how wide a letter of the small text is; labels are kept apart by it.
LETTER = 7.6
MOST_LETTERS = 54
#: From stroke to stroke of a hatching, along the drawing's edge.
HATCH = 8
#: Places nearer than this are labelled as one.
_TOGETHER = 40.0
STYLE = """
.ld-paper{fill:#fcfbf8}.ld-ink{fill:#1c1a17}.ld-soft{fill:#59534a}.ld-flesh{fill:#ece3d3}
.ld-back{fill:none;stroke:#59534a;stroke-width:2}.ld-tree{fill:none;stroke:#1c1a17;stroke-width:2.5;stroke-linejoin:round}
.ld-touch{fill:none;stroke:#8b1a10;stroke-width:8;stroke-linecap:round}
.ld-middle{stroke:#59534a;stroke-width:1;stroke-dasharray:4 5}
.ld-load{fill:none;stroke:#1f5fa8;stroke-width:2.5;stroke-dasharray:1 6;stroke-linecap:round}
.ld-other{fill:none;stroke:#59534a;stroke-width:1.5;stroke-dasharray:8 5}
.ld-hatch{stroke:#1c1a17;stroke-width:1.2}.ld-lead{stroke:#59534a;stroke-width:1}
.ld-press{fill:#1f5fa8}.ld-bar{stroke:#1c1a17;stroke-width:3}
.ld-text{font-size:13px;font-family:system-ui,"Segoe UI","Liberation Sans",Arial,sans-serif}
.ld-bold{font-weight:700}
@supports (paint-order:stroke){.ld-halo{stroke:#fcfbf8;stroke-width:4;paint-order:stroke}}
@media (prefers-color-scheme:dark){.ld-paper{fill:#171613}.ld-ink{fill:#ece7dc}.ld-soft{fill:#bbb3a4}.ld-flesh{fill:#35302a}
.ld-back,.ld-other,.ld-middle,.ld-lead{stroke:#bbb3a4}.ld-tree,.ld-hatch,.ld-bar{stroke:#ece7dc}.ld-touch{stroke:#ff9d8c}
.ld-load{stroke:#8fc1ff}.ld-press{fill:#8fc1ff}.ld-halo{stroke:#171613}}
"""


@frozen(kw_only=True)
class Scale:
    """Where a point of the frame (x to the right, z up, mm) lies in the drawing; heights may be drawn larger."""

    x: float
    y: float
    per_mm: float
    taller: float = 1.0

    def at(self, point: Point) -> Point:
        """The place in the drawing."""
        return self.x + point[0] * self.per_mm, self.y - point[1] * self.per_mm * self.taller


@frozen(kw_only=True)
class Label:
    """Words beside the drawing, and the place they are about (in the drawing)."""

    words: str
    about: Point
    column: Column


def whole(parts: Iterable[str], height: float, title: str, says: str) -> str:
    """The SVG with its title and its description in words."""
    body = "\n".join(parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:.0f}" role="img">\n'
        f"<title>{escape(title)}</title>\n<desc>{escape(says)}</desc>\n<style>{STYLE}</style>\n"
        f'<rect class="ld-paper" width="{WIDTH}" height="{height:.0f}"/>\n{body}\n</svg>\n'
    )


def stacked(pictures: Sequence[str], title: str) -> str:
    """Several pictures under each other as one; one alone stays as it is."""
    if len(pictures) == 1:
        return pictures[0]
    y, parts = 0, []
    for picture in pictures:
        found = re.search(r'viewBox="0 0 [0-9]+ ([0-9]+)"', picture)
        height = int(found[1]) if found else 0
        parts.append(picture.replace("<svg ", f'<svg y="{y}" width="{WIDTH}" height="{height}" ', 1))
        y += height
    body = "".join(parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {y}" role="img">\n'
        f"<title>{escape(title)}</title>\n{body}</svg>\n"
    )


def text(x: float, y: float, words: str, kind: str = "ld-ink", anchor: str = "start") -> str:
    """One line of words."""
    return f'<text class="ld-text {kind}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(words)}</text>'


def rows(y: float, lines: Iterable[str]) -> tuple[list[str], float]:
    """Lines of words from `y` downwards, long ones folded, and where they end."""
    parts = []
    for line in lines:
        for part in wrap(line, MOST_LETTERS):
            parts.append(text(MARGIN, y, part))
            y += ROW - 2
        y += 3
    return parts, y


def line(kind: str, points: Sequence[Point], scale: Scale) -> str:
    """An open line."""
    return f'<polyline class="{kind}" points="{_listed(points, scale)}"/>'


def flesh(back: Sequence[Point], scale: Scale, bottom: float) -> str:
    """The back filled down to the bottom of the drawing, and its line."""
    (left, _), (right, _) = scale.at(back[0]), scale.at(back[-1])
    around = f"{left:.1f},{bottom:.1f} {_listed(back, scale)} {right:.1f},{bottom:.1f}"
    return f'<polygon class="ld-flesh" points="{around}"/>\n{line("ld-back", back, scale)}'


def gap(of_tree: Sequence[Point], back: Sequence[Point], scale: Scale) -> str:
    """The room between a stretch of the tree and the back under it, hatched."""
    under = [(x, height_at(back, x)) for x, _ in reversed(of_tree)]
    strokes = _strokes([scale.at(point) for point in (*of_tree, *under)])
    return f'<path class="ld-hatch" d="{" ".join(strokes)}"/>'


def _strokes(around: Sequence[Point]) -> Iterator[str]:
    """Slanting strokes inside a closed line: drawn one by one, for a pattern would have to be referred to, and a page of ours
    refers to nothing."""
    falls = [x + y for x, y in around]
    for fall in range(ceil(min(falls) / HATCH) * HATCH, ceil(max(falls)), HATCH):
        met = []
        for (ax, ay), (bx, by) in zip(around, (*around[1:], around[0]), strict=True):
            before, after = ax + ay - fall, bx + by - fall
            if (before < 0) != (after < 0):
                part = before / (before - after)
                met.append((ax + part * (bx - ax), ay + part * (by - ay)))
        met.sort()
        for (ax, ay), (bx, by) in zip(met[::2], met[1::2], strict=True):
            yield f"M{ax:.1f},{ay:.1f}L{bx:.1f},{by:.1f}"


def height_at(back: Sequence[Point], x: float) -> float:
    """The height of a line at a place; beyond its ends that of the end."""
    at = min(max(bisect_right(back, x, key=lambda point: point[0]), 1), len(back) - 1)
    (x0, z0), (x1, z1) = back[at - 1], back[at]
    return z0 + (z1 - z0) * min(max((x - x0) / (x1 - x0), 0.0), 1.0)


def labels(every: Sequence[Label], top: float) -> list[str]:
    """The labels of each column under each other from `top` on, each with a leader, so that no leader crosses other words:
    what lies nearer to the middle stands higher, and of what lies together the longer."""
    leaders: list[str] = []
    words: list[str] = []
    for column, x, anchor in (
        ("left", MARGIN, "start"),
        ("middle", MIDDLE, "middle"),
        ("right", WIDTH - MARGIN, "end"),
    ):
        here = sorted(
            (one for one in every if one.column == column),
            key=lambda one: (-round(abs(one.about[0] - x) / _TOGETHER), -len(one.words), one.words),
        )
        for number, one in enumerate(here):
            y = top + number * ROW
            wide = LETTER * len(one.words)
            start = {"left": x + wide + 3, "middle": x, "right": x - wide - 3}[column]
            from_y = y + 4 if column == "middle" else y - 4
            leaders.append(
                f'<line class="ld-lead" x1="{start:.1f}" y1="{from_y:.1f}" x2="{one.about[0]:.1f}" y2="{one.about[1]:.1f}"/>'
            )
            words.append(text(x, y, one.words, "ld-ink ld-halo", anchor))
    return leaders + words


def how_many_rows(every: Sequence[Label]) -> int:
    """How many rows the fullest column takes."""
    return max((sum(one.column == column for one in every) for column in ("left", "middle", "right")), default=0)


def pressed_at(point: Point, scale: Scale) -> str:
    """A small arrow head, pointing down, at a place."""
    x, y = scale.at(point)
    return f'<polygon class="ld-press" points="{x - 6:.1f},{y - 11:.1f} {x + 6:.1f},{y - 11:.1f} {x:.1f},{y:.1f}"/>'


def bar(x: float, y: float, scale: Scale, millimetres: int) -> str:
    """A length to compare with."""
    end = x + millimetres * scale.per_mm
    return f'<line class="ld-bar" x1="{x:.1f}" y1="{y:.1f}" x2="{end:.1f}" y2="{y:.1f}"/>' + text(
        end + 6, y + 4, f"{millimetres} mm", "ld-soft"
    )


def _listed(points: Iterable[Point], scale: Scale) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in map(scale.at, points))
