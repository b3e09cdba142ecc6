"""The picture of certainty beside outcome: for each group of certainties, how often its promises came true, with the interval.

In: the groups of a track record. Out: one SVG as text, legible on light and dark ground, nothing by colour alone.
Not here: counting. There is no line to lie on: a certainty is not a probability, and the picture says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from reasoner.records.track import CertaintyStep
from reasoner.rendering.track_text import range_of, rising, share

WIDE, LEFT, RIGHT, TOP, TALL = 390, 54, 16, 104, 230
MARGIN = 12
ROW = 18
STYLE = (
    "<style>svg{background:#fff}text{font:13px sans-serif;fill:#111}.h{font-weight:bold;font-size:15px}.s{fill:#444}"
    ".a{stroke:#111;stroke-width:1;fill:none}.g{stroke:#bbb;stroke-width:1}.i{stroke:#134f8c;stroke-width:3}"
    ".d{fill:#134f8c}.o{fill:#fff;stroke:#134f8c;stroke-width:2;stroke-dasharray:3 2}.f{stroke:#134f8c;stroke-width:1.5;"
    "stroke-dasharray:4 3}@media (prefers-color-scheme:dark){svg{background:#161616}text{fill:#eee}.s{fill:#bbb}"
    ".a{stroke:#eee}.g{stroke:#555}.i,.f{stroke:#8fc1ff}.d{fill:#8fc1ff}.o{fill:#161616;stroke:#8fc1ff}}</style>"
)


def certainty_picture(steps: Sequence[CertaintyStep], confidence: float) -> str:
    """The picture. `confidence` is that of the intervals (0 to 1)."""
    tall = TOP + TALL + 62 + ROW * (len(steps) + 1)
    says = "; ".join(f"certainty {range_of(one)}: {_told(one)}" for one in steps)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {tall}" role="img" aria-labelledby="t d">',
        '<title id="t">Certainty beside outcome</title>',
        f'<desc id="d">{escape(says)}. {escape(rising(steps))} A certainty is not a probability.</desc>',
        STYLE,
        _text(MARGIN, 22, "How often promises came true", "h"),
        _text(MARGIN, 42, "by the certainty of what the step answers", "s"),
        _text(MARGIN, 62, f"Bar: where the share may lie, {confidence:.0%} sure.", "s"),
        _text(MARGIN, 80, "A certainty is not a probability.", "s"),
        *_grid(),
        *(part for one in steps for part in _mark(one)),
        _text(WIDE / 2, TOP + TALL + 42, "certainty", "", "middle"),
        *_table(steps),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _grid() -> Iterator[str]:
    for percent in range(0, 101, 25):
        y = _y(percent / 100)
        yield f'<line class="g" x1="{LEFT}" y1="{y:.1f}" x2="{WIDE - RIGHT}" y2="{y:.1f}"/>'
        yield _text(LEFT - 6, y + 4, f"{percent}%", "s", "end")
    for tenth in range(0, 11, 2):
        x = _x(tenth / 10)
        yield f'<line class="a" x1="{x:.1f}" y1="{TOP + TALL}" x2="{x:.1f}" y2="{TOP + TALL + 5}"/>'
        yield _text(x, TOP + TALL + 21, f"{tenth / 10:.1f}", "s", "middle")
    yield f'<path class="a" d="M{LEFT} {TOP}V{TOP + TALL}H{WIDE - RIGHT}"/>'


def _mark(one: CertaintyStep) -> Iterator[str]:
    """A dot with its bar; where cases are too few, a hollow dot with a broken bar."""
    rate = one.true_rate
    if rate.share is None or rate.low is None or rate.high is None:
        return
    x, (dot, bar) = _x((one.low + one.high) / 2), ("d", "i") if one.enough else ("o", "f")
    yield f'<line class="{bar}" x1="{x:.1f}" y1="{_y(rate.low):.1f}" x2="{x:.1f}" y2="{_y(rate.high):.1f}"/>'
    for end in (rate.low, rate.high):
        yield f'<line class="{bar}" x1="{x - 5:.1f}" y1="{_y(end):.1f}" x2="{x + 5:.1f}" y2="{_y(end):.1f}"/>'
    yield f'<circle class="{dot}" cx="{x:.1f}" cy="{_y(rate.share):.1f}" r="6"/>'


def _table(steps: Sequence[CertaintyStep]) -> Iterator[str]:
    """The same in words, a row a group."""
    y = TOP + TALL + 66
    for number, one in enumerate(steps):
        yield _text(MARGIN, y + number * ROW, f"{range_of(one)}: {_told(one)}", "" if one.enough else "s")
    yield _text(MARGIN, y + len(steps) * ROW, "Hollow dot, broken bar: too few cases to say.", "s")


def _told(one: CertaintyStep) -> str:
    if not one.true_rate.of:
        return "no case"
    return share(one.true_rate) if one.enough else f"{one.true_rate.count} of {one.true_rate.of}, too few to say"


def _x(certainty: float) -> float:
    return LEFT + certainty * (WIDE - RIGHT - LEFT)


def _y(part: float) -> float:
    return TOP + (1.0 - part) * TALL


def _text(x: float, y: float, words: str, style: str = "", anchor: str = "start") -> str:
    of = f' class="{style}"' if style else ""
    end = f' text-anchor="{anchor}"' if anchor != "start" else ""
    return f'<text x="{x:.1f}" y="{y:.1f}"{of}{end}>{escape(words)}</text>'
