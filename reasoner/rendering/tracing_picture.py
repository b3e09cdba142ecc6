"""Tracings drawn as seen from behind: the horse's left at the left, each half beside the mirror image of the other.

In: the stations of one visit, and of an earlier one to lay under it. Out: one whole SVG, and the same in words.
Not here: what the numbers mean (measured_tracing.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape

from reasoner.facts.traced import AtStation
from reasoner.measures.tracing import Point, Side, half_width_mm
from reasoner.rulebook.measures.tracing import Tracing

#: In units of the drawing; at 390 px across, the smallest text is 12.5 px high.
WIDTH, MARGIN, TEXT, ROW = 720, 24, 23, 32
_MIDDLE, _REACH = WIDTH / 2, 290
_BAR_MM = 50
LETTERS = "ABCDEFGH"
_OTHER: Mapping[Side, Side] = {"left": "right", "right": "left"}
_AWAY: Mapping[Side, int] = {"left": -1, "right": 1}
#: On a ground of its own, light or dark as the page is; every line has a word and a stroke of its own.
_STYLE = (
    ".tr{font-family:system-ui,sans-serif;font-size:23px;fill:#1b1b1b}.tr .b{font-weight:700}"
    ".tr-ground{fill:#fcfbf8;stroke:#8a8a8a;stroke-width:1.5}.tr-back{fill:none;stroke:#1b1b1b;stroke-width:4}"
    ".tr-other{fill:none;stroke:#8c4a00;stroke-width:3;stroke-dasharray:1 8;stroke-linecap:round}"
    ".tr-then{fill:none;stroke:#1f5fa8;stroke-width:3;stroke-dasharray:14 8}"
    ".tr-level{stroke:#6a6a6a;stroke-width:1.5;stroke-dasharray:6 6}.tr-mid{stroke:#6a6a6a;stroke-width:1.5}"
    ".tr-dot{fill:#fcfbf8;stroke:#1b1b1b;stroke-width:3}.tr-bar{stroke:#1b1b1b;stroke-width:5}"
    "@media(prefers-color-scheme:dark){.tr{fill:#ece7dc}.tr-ground{fill:#171613;stroke:#8d8778}.tr-back,.tr-bar{stroke:#ece7dc}"
    ".tr-other{stroke:#ffb066}.tr-then{stroke:#8fc1ff}.tr-level,.tr-mid{stroke:#bbb3a4}.tr-dot{fill:#171613;stroke:#ece7dc}}"
)


def picture(at: Sequence[AtStation], table: Tracing, then: Sequence[AtStation] = ()) -> str:
    """Every traced station, one below the other; an empty string where nothing was traced."""
    drawn = [one for one in at if one.sides]
    if not drawn:
        return ""
    before = {one.station: one for one in then if one.sides}
    parts: list[str] = []
    height = float(MARGIN)
    for one in drawn:
        rows, tall = _panel(one, before.get(one.station), table, height)
        parts += rows
        height += tall
    height += ROW / 2
    for row in _legend(any(one.station in before for one in drawn)):
        parts.append(_text(MARGIN, height, row))
        height += ROW
    title = f"Back tracings seen from behind: {', '.join(one.name for one in drawn)}"
    return "\n".join([
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:.0f}" role="img" class="tr">',
        f"<title>{escape(title)}</title>", f"<desc>{escape(picture_says(at, table))}</desc>", f"<style>{_STYLE}</style>",
        f'<rect class="tr-ground" x="1" y="1" width="{WIDTH - 2}" height="{height - 2:.0f}" rx="8"/>', *parts, "</svg>",
    ]) + "\n"  # fmt: skip


def picture_says(at: Sequence[AtStation], table: Tracing) -> str:
    """The same for who cannot see it."""
    said = [f"{one.name}: {'; '.join(_rows(one, table))}" for one in at if one.sides]
    if not said:
        return ""
    return "Seen from behind, the horse's left at the left. " + ". ".join(said) + "."


def _panel(at: AtStation, then: AtStation | None, table: Tracing, top: float) -> tuple[list[str], float]:
    """The pieces of one station from `top` on, and how tall it is."""
    every = [*at.sides.values(), *(then.sides.values() if then else ())]
    furthest = max(out for points in every for out, _ in points) or 1.0
    highest, lowest = (pick(down for points in every for _, down in points) for pick in (min, max))
    scale = _REACH / furthest
    zero = top + 3 * ROW - min(highest, 0.0) * scale
    parts = [
        _text(_MIDDLE, top + ROW * 0.8, f"{at.name}, seen from behind", "middle", bold=True),
        _text(MARGIN, top + 1.9 * ROW, "LEFT"), _text(WIDTH - MARGIN, top + 1.9 * ROW, "RIGHT", "end"),
        f'<line class="tr-mid" x1="{_MIDDLE:.1f}" x2="{_MIDDLE:.1f}" y1="{zero:.1f}" y2="{zero + lowest * scale:.1f}"/>',
    ]  # fmt: skip
    for letter, depth in zip(LETTERS, _depths(at), strict=False):
        level = zero + depth * scale
        edge = MARGIN + 22
        parts.append(f'<line class="tr-level" x1="{edge}" x2="{WIDTH - edge}" y1="{level:.1f}" y2="{level:.1f}"/>')
        parts += [
            _text(MARGIN, level + 8, letter, bold=True),
            _text(WIDTH - MARGIN, level + 8, letter, "end", bold=True),
        ]
    for side, points in (then.sides if then else {}).items():
        parts.append(_line("tr-then", points, side, scale, zero))
    for side, points in at.sides.items():
        parts.append(_line("tr-other", points, _OTHER[side], scale, zero))
    for side, points in at.sides.items():
        parts.append(_line("tr-back", points, side, scale, zero))
    for width in at.widths:
        parts += [_dot(side, width.depth_mm, at.sides[side], scale, zero) for side in at.sides]
    parts += [_dot(side, depth, at.sides[side], scale, zero) for side, depth in at.alone]
    y = zero + max(lowest, 0.0) * scale + 1.5 * ROW
    bar = _BAR_MM * scale
    parts.append(f'<line class="tr-bar" x1="{MARGIN}" x2="{MARGIN + bar:.1f}" y1="{y - 8:.1f}" y2="{y - 8:.1f}"/>')
    parts.append(_text(MARGIN + bar + 12, y, f"{_BAR_MM} mm"))
    for row in _rows(at, table):
        y += ROW
        parts.append(_text(MARGIN, y, row))
    return parts, y + ROW - top


def _depths(at: AtStation) -> list[float]:
    return sorted({*at.full, *(depth for _, depth in at.alone)})


def _legend(two: bool) -> Iterator[str]:
    yield "Solid: traced. Dotted: the other side, mirrored."
    if two:
        yield "Long dashes: traced the time before."


def _rows(at: AtStation, table: Tracing) -> Iterator[str]:
    """The numbers, each with the letter of its depth."""
    factor = table.errors_shown.value
    widths = {width.depth_mm: width for width in at.widths}
    for letter, depth in zip(LETTERS, _depths(at), strict=False):
        if depth in widths:
            one = widths[depth]
            judged = f"{one.narrower} narrower" if one.narrower != "even" else "even"
            yield f"{letter} {depth:.0f} mm down: left {one.left.n:.0f}, right {one.right.n:.0f} mm: {judged}"
            yield f"{letter} across: {one.full.n:.0f} ± {factor * one.full.s:.0f} mm"
        for (side, down), out in at.alone.items():
            if down == depth:
                yield f"{letter} {depth:.0f} mm down: {side} {out.n:.0f} mm, the other not reached"


def _line(kind: str, points: Sequence[Point], side: Side, scale: float, zero: float) -> str:
    dots = " ".join(f"{_MIDDLE + _AWAY[side] * out * scale:.1f},{zero + down * scale:.1f}" for out, down in points)
    return f'<polyline class="{kind}" points="{dots}"/>'


def _dot(side: Side, depth: float, points: Sequence[Point], scale: float, zero: float) -> str:
    out, _ = half_width_mm(side, points, depth)
    return (
        f'<circle class="tr-dot" cx="{_MIDDLE + _AWAY[side] * out * scale:.1f}" cy="{zero + depth * scale:.1f}" r="7"/>'
    )


def _text(x: float, y: float, text: str, anchor: str = "start", *, bold: bool = False) -> str:
    kind = ' class="b"' if bold else ""
    return f'<text{kind} x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(text)}</text>'
