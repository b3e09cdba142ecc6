"""The picture of a chain from a conclusion to the places it accounts for: our own drawing, one SVG that grows downwards.

In: a `Link` and what things are called. Out: one `<svg>` as text, every word escaped.
Not here: what leads to what (rulecare.chains). Left in the picture is this side, right is the other side; a box in the middle
has no side. It is 360 units wide, so that it reads on a phone as on a desk.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from textwrap import wrap

from reasoner.frozen import frozen
from reasoner.rulecare.chains import Link, Spot

WIDE, GAP, STEP = 360.0, 8.0, 14.0
_PAD, _ROW, _LETTER, _BOLD = 7.0, 15.0, 6.8, 8.0
_SMALL_ROW, _SMALL_LETTER = 13.5, 6.1
_SIDE_WORDS = {"this": "this side", "other": "the other side", "both": "both sides", "": ""}


@frozen
class Names:
    """What things are called: a conclusion's sentence for the side it is on, the name of a place or an observation."""

    conclusion: Callable[[str, str], str]
    spot: Callable[[Spot], str]


class _Sheet:
    """Pieces of the drawing, from the top down."""

    def __init__(self, names: Names) -> None:
        self.names = names
        self.pieces: list[str] = []
        self.y = 1.0

    def link(self, link: Link, depth: int) -> tuple[float, float]:
        """Draw a conclusion with its spots and what follows; the left edge and the middle height of its box."""
        left = 1.0 + min(depth, 5) * STEP
        words = self.names.conclusion(link.key, link.side)
        if link.again:
            words = f"{words} (as above)"
        rows = wrap(words, int((WIDE - 2 - left - 2 * _PAD) / (_LETTER if depth else _BOLD))) or [""]
        high = len(rows) * _ROW + 2 * _PAD - 3
        top = self.y
        self.box("bc-start" if not depth else "bc-step", left, top, WIDE - 1 - left, high, rows, _ROW, 12.5)
        self.y = top + high + GAP
        if link.spots:
            self.spots(link.spots, left)
        marks = []
        for after in link.leads:
            self.y += 4
            marks.append(self.link(after, depth + 1))
        trunk = left + STEP / 2 - 1
        for edge, middle in marks:
            self.pieces.append(f'<path class="bc-arrow" d="M{trunk:g} {top + high:g}V{middle:g}H{edge - 1:g}"/>')
            self.pieces.append(f'<path class="bc-head" d="M{edge:g} {middle:g}l-5 -3.5v7z"/>')
        return left, top + high / 2

    def spots(self, spots: Sequence[Spot], left: float) -> None:
        """Three bands: this side at the left, the other side at the right, and what has no side across."""
        left += STEP
        half = (WIDE - 1 - left - GAP) / 2
        columns = {"this": left, "other": left + half + GAP}
        ends = {}
        for side, x in columns.items():
            y = self.y
            some = [s for s in spots if s.side in (side, "both")]
            for n, spot in enumerate(some):
                if not n:
                    self.word(x, y + 9, _SIDE_WORDS[side])
                    y += 14
                y = self.spot(spot, x, y, half)
            ends[side] = y
        self.y = max(ends.values())
        for spot in (s for s in spots if not s.side):
            self.y = self.spot(spot, left, self.y, WIDE - 1 - left)
        self.y += 2

    def spot(self, spot: Spot, x: float, y: float, wide: float) -> float:
        """One place or observation; the height below it."""
        name = self.names.spot(spot)
        rows = wrap(f"{name}: {spot.detail}" if spot.detail else name, int((wide - 12) / _SMALL_LETTER)) or [""]
        high = len(rows) * _SMALL_ROW + 7
        self.box("bc-place" if spot.kind == "place" else "bc-sign", x, y, wide, high, rows, _SMALL_ROW, 11.5)
        return y + high + 4

    def box(
        self, what: str, x: float, y: float, wide: float, high: float, rows: Sequence[str], row: float, size: float
    ) -> None:
        """A box with its rows of text."""
        corner = 10 if what == "bc-place" else 2
        self.pieces.append(
            f'<rect class="{what}" x="{x:g}" y="{y:g}" width="{wide:g}" height="{high:g}" rx="{corner}"/>'
        )
        first = y + (high - row * len(rows)) / 2 + row * 0.76
        self.pieces += [
            f'<text class="{what}-t" x="{x + _PAD:g}" y="{first + n * row:.1f}" font-size="{size:g}">{escape(text)}</text>'
            for n, text in enumerate(rows)
        ]

    def word(self, x: float, y: float, text: str) -> None:
        """A small label above a column."""
        self.pieces.append(f'<text class="bc-side" x="{x + 1:g}" y="{y:g}" font-size="10">{escape(text)}</text>')


def draw_chain(link: Link, names: Names, told: str) -> str:
    """The picture; `told` is what a screen reader says instead of it."""
    sheet = _Sheet(names)
    sheet.link(link, 0)
    body = "".join(sheet.pieces)
    high = sheet.y
    return f'<svg class="chain" viewBox="0 0 {WIDE:g} {high:g}" role="img" aria-label="{escape(told)}">{body}</svg>'


def in_words(link: Link, names: Names) -> str:
    """The chain as one sentence after another, for those who do not see it."""
    spots = [f"{names.spot(s)} {_SIDE_WORDS[s.side]}".strip() for s in link.spots]
    said = names.conclusion(link.key, link.side) + "."
    if spots and not link.again:
        said += " It accounts for: " + ", ".join(spots) + "."
    return " ".join([said, *(f"It leads to: {in_words(after, names)}" for after in link.leads)])
