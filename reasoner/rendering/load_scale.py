"""The scale of load: one row for each study with the loads it tried, and today's share across them all.

In: the weights of a visit, and where published work stands beside them. Out: a whole SVG.
Not here: the arithmetic, the sentences beside the picture.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from typing import Any

from reasoner.facts.measured_load import Weights
from reasoner.measures.load_share import Placed
from reasoner.measures.uncertain import nominal
from reasoner.rulebook.measures.load import Study, Tried

Places = Sequence[tuple[Study, Sequence[Placed]]]

# Sizes in units of the drawing, which is drawn for the width of a telephone: a unit is about a pixel there.
WIDTH, LEFT, RIGHT = 390.0, 16.0, 16.0
LETTER, LETTER_WIDTH = 13.0, 0.55
ROW, BAR, TODAY, FIELD = 46.0, 13.0, 20.0, 12.0
_STEP, _LEAST_END = 5, 30
_COUNTS = {"rider": "rider alone", "rider_and_tack": "rider and tack", "not_noted": "count not noted"}

_LIGHT = {
    "text": "font-family:system-ui,sans-serif;font-size:13px;fill:#1c1a17",
    ".small": "font-size:12.5px;fill:#3d3a34",
    ".ink": "fill:#8a2f10;font-weight:600",
    ".full": "fill:#3f4f6b;stroke:#1f2a3d;stroke-width:1.5",
    ".open": "fill:#fdfcf8;stroke:#1f2a3d;stroke-width:1.5",
    ".grid": "stroke:#c9c3b6;stroke-width:1",
    ".whole": "stroke:#8a2f10;stroke-width:2.5",
    ".alone": "stroke:#8a2f10;stroke-width:2;stroke-dasharray:5 4",
    ".wide": "fill:#e8b79f;fill-opacity:.55",
    ".ground": "fill:#fcfbf8",
    ".card": "fill:#fcfbf8;stroke:#8d8778",
}
_DARK = {
    "text": "fill:#ece7dc",
    ".small": "fill:#bbb3a4",
    ".ink": "fill:#ffb59c",
    ".full": "fill:#9db4dc;stroke:#dce6f7",
    ".open": "fill:#171613;stroke:#dce6f7",
    ".grid": "stroke:#4c473e",
    ".whole,.load-scale .alone": "stroke:#ffb59c",
    ".wide": "fill:#8a4a33",
    ".ground": "fill:#171613",
    ".card": "fill:#171613",
}


def _rules(of: Mapping[str, str]) -> str:
    """Each rule names the picture first: inside a page it must reach nothing else."""
    return "".join(f".load-scale {name}{{{rule}}}" for name, rule in of.items())


_STYLE = f"{_rules(_LIGHT)}@media(prefers-color-scheme:dark){{{_rules(_DARK)}}}"


def load_scale(weights: Weights, places: Places) -> str:
    """The picture, on a card of its own, light or dark as the page is."""
    shares = [share for share in (weights.share, weights.rider_share) if share is not None]
    most = max(
        [one.to_percent for study, _ in places for one in study.bars] + [_end(share, weights) for share in shares]
    )
    scale = _Scale(max(_LEAST_END, _STEP * -(-int(most + 1) // _STEP)))
    top = 28.0 + (TODAY + FIELD) * len(shares)
    rows = [piece for at, (study, _) in enumerate(places) for piece in _row(study, top + ROW * at, scale)]
    bottom = top + ROW * len(places)
    height = bottom + 62
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" class="load-scale" viewBox="0 0 {WIDTH:g} {height:g}" '
        'role="img" aria-labelledby="load-title load-desc">',
        '<title id="load-title">Load in percent of body weight, today and in published work</title>',
        f'<desc id="load-desc">{escape(_desc(weights, places))}</desc>',
        f"<style>{_STYLE}</style>",
        f'<rect class="card" x="0.5" y="0.5" width="{WIDTH - 1:g}" height="{height - 1:g}" rx="8"/>',
        *_axis(scale, top - 6, bottom),
        *_today(weights, scale, bottom),
        *rows,
        *_legend(bottom + 34),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


class _Scale:
    """Percent to units of the drawing."""

    def __init__(self, end: float) -> None:
        self.end = end

    def x(self, percent: float) -> float:
        return LEFT + (WIDTH - LEFT - RIGHT) * min(max(percent, 0.0), self.end) / self.end


def _end(share: Any, weights: Weights) -> float:
    return nominal(share) + weights.give_or_take(share)


def _axis(scale: _Scale, top: float, bottom: float) -> Iterator[str]:
    for percent in range(0, int(scale.end) + 1, _STEP):
        x = scale.x(percent)
        yield f'<line class="grid" x1="{x:.1f}" y1="{top:.1f}" x2="{x:.1f}" y2="{bottom:.1f}"/>'
        if percent % (2 * _STEP) == 0:
            anchor = "start" if percent == 0 else "end" if percent >= scale.end else "middle"
            sign = " %" if percent == 0 else ""
            yield f'<text class="small" x="{x:.1f}" y="{bottom + 16:.1f}" text-anchor="{anchor}">{percent}{sign}</text>'


def _today(weights: Weights, scale: _Scale, bottom: float) -> Iterator[str]:
    """For each way of counting its words, then its error as a field, and a line from there through all rows."""
    ways = [
        (share, kind, words)
        for share, kind, words in (
            (weights.share, "whole", "rider, tack and extra"),
            (weights.rider_share, "alone", "the rider alone"),
        )
        if share is not None
    ]
    for at, (share, kind, words) in enumerate(ways):
        off = weights.give_or_take(share)
        low, x, high = (scale.x(nominal(share) + way * off) for way in (-1, 0, 1))
        text = f"today, {words}: {nominal(share):.1f} % ± {off:.1f}"
        y, field = 22.0 + TODAY * at, 14.0 + TODAY * len(ways) + FIELD * at
        yield f'<line class="{kind}" x1="{LEFT:g}" y1="{y - 4:.1f}" x2="{LEFT + 26:g}" y2="{y - 4:.1f}"/>'
        yield f'<text class="ink" x="{LEFT + 34:g}" y="{y:.1f}">{escape(text)}</text>'
        yield f'<rect class="wide" x="{low:.1f}" y="{field:.1f}" width="{max(high - low, 1):.1f}" height="9"/>'
        yield f'<line class="{kind}" x1="{x:.1f}" y1="{field:.1f}" x2="{x:.1f}" y2="{bottom:.1f}"/>'


def _row(study: Study, y: float, scale: _Scale) -> Iterator[str]:
    """A study: its name and what it counts, and below them the loads it tried."""
    name = f"{study.called} ({_COUNTS[study.counts]})"
    wide = len(name) * LETTER * 0.58
    yield f'<rect class="ground" x="{LEFT - 2:g}" y="{y + 1:.1f}" width="{wide:.1f}" height="17"/>'
    yield f'<text x="{LEFT:g}" y="{y + 14:.1f}">{escape(name)}</text>'
    for tried in study.bars:
        yield _bar(tried, y + 23, scale)


def _bar(tried: Tried, y: float, scale: _Scale) -> str:
    kind = "full" if tried.trouble else "open"
    low, high = scale.x(tried.from_percent), scale.x(tried.to_percent)
    middle = y + BAR / 2
    told = f"<title>{escape(f'{tried.from_percent:g} to {tried.to_percent:g} %: {tried.tells}')}</title>"
    if high - low < 2:
        half = BAR / 2 + 1
        corners = ((low - half, middle), (low, middle - half), (low + half, middle), (low, middle + half))
        points = " ".join(f"{x:.1f},{at:.1f}" for x, at in corners)
        return f'<polygon class="{kind}" points="{points}">{told}</polygon>'
    return (
        f'<rect class="{kind}" x="{low:.1f}" y="{y:.1f}" width="{high - low:.1f}" height="{BAR:g}" rx="2">{told}</rect>'
    )


def _legend(y: float) -> Iterator[str]:
    yield f'<rect class="full" x="{LEFT:g}" y="{y - 10:.1f}" width="18" height="11" rx="2"/>'
    yield f'<text class="small" x="{LEFT + 24:g}" y="{y:.1f}">full: trouble is told at this load</text>'
    yield f'<rect class="open" x="{LEFT:g}" y="{y + 8:.1f}" width="18" height="11" rx="2"/>'
    yield f'<text class="small" x="{LEFT + 24:g}" y="{y + 18:.1f}">outlined: none is told. No single limit is proven.</text>'


def _desc(weights: Weights, places: Places) -> str:
    whole = "" if weights.share is None else f"Rider, tack and extra carry {nominal(weights.share):.1f} percent. "
    alone = f"The rider alone is {nominal(weights.rider_share):.1f} percent. "
    rows = "; ".join(
        f"{study.called}: {', '.join(f'{one.from_percent:g} to {one.to_percent:g}' for one in study.bars)}"
        for study, _ in places
    )
    return f"{whole}{alone}Loads tried, in percent: {rows}."
