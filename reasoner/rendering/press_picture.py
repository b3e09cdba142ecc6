"""Pushes on a floor scale in the order they were made, with the aim, the mean and the drift: a panel a hand.

In: a `Practice` and the caution. Out: one whole SVG, legible on light and dark; the left hand stands at the left.
Not here: working anything out. The caution is part of the picture, so that it travels with it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from html import escape
from textwrap import wrap

from reasoner.rendering.press_text import NAMES, drift_words, kg
from reasoner.teaching.press import Practice, Series

WIDTH = 390
TALL, GAP = 170.0, 58.0
X0, X1 = 44.0, 378.0
STYLE = """
.pp-paper{fill:#fcfbf8}.pp-ink{fill:#1c1a17}.pp-soft{fill:#59534a}.pp-line{stroke:#1c1a17;fill:none}
.pp-grid{stroke:#1c1a17;stroke-opacity:.18}.pp-zone{fill:#e4ddcd}.pp-dot{fill:#8aa6c1;stroke:#1c1a17}
.pp-t{font-size:12.5px;font-family:system-ui,-apple-system,"Segoe UI","Liberation Sans",sans-serif}
.pp-h{font-size:15px;font-weight:700}.pp-b{font-weight:700}
@media (prefers-color-scheme:dark){.pp-paper{fill:#171613}.pp-ink{fill:#ece7dc}.pp-soft{fill:#bbb3a4}.pp-line{stroke:#ece7dc}
.pp-grid{stroke:#ece7dc}.pp-zone{fill:#37322a}.pp-dot{fill:#4f7191;stroke:#ece7dc}}
""".strip()


def press_picture(practice: Practice, caution: str) -> str:
    """The picture; the same pushes give the same text, to the letter."""
    every = [one for series in practice.hands.values() for one in series.pushes]
    low, high = _round(min([*every, practice.aim_kg]), max([*every, practice.aim_kg]))
    title = f"Pushes on a floor scale, aiming at {kg(practice.aim_kg)}"
    parts = [_text(12, 24, title, "pp-h pp-ink")]
    y = 40.0
    for hand, series in practice.hands.items():
        parts += _panel(NAMES[hand].upper(), series, practice.aim_kg, y, low, high)
        y += TALL + GAP
    legend = "Broken line: the aim. Whole line: the mean, and its band twice the spread wide. Thin line: the drift."
    for line in (*wrap(legend, 58), *wrap(caution, 58)):
        parts.append(_text(12, y + 12, line, "pp-soft"))
        y += 16
    height = y + 20
    said = " ".join(
        f"{NAMES[hand]}: {len(series.pushes)} pushes, mean {kg(series.mean_kg.value)}."
        for hand, series in practice.hands.items()
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:g}" width="100%" style="max-width:620px" '
        f'role="img"><title>{escape(title)}</title><desc>{escape(f"{said} {caution}")}</desc><style>{STYLE}</style>'
        f'<rect class="pp-paper" width="{WIDTH}" height="{height:g}"/>' + "".join(parts) + "</svg>\n"
    )


def _round(low: float, high: float) -> tuple[float, float]:
    """Ends of the scale on round numbers, with a little room."""
    step = _step(high - low)
    return max(0.0, math.floor(low / step - 0.3) * step), math.ceil(high / step + 0.3) * step


def _step(span: float) -> float:
    for step in (0.5, 1, 2, 5, 10, 20, 50):
        if span / step <= 5:
            return float(step)
    return 100.0


def _panel(name: str, series: Series, aim: float, top: float, low: float, high: float) -> Iterator[str]:
    base = top + 22 + TALL

    def at(value: float) -> float:
        return base - (TALL - 10) * (value - low) / (high - low)

    yield _text(12, top + 16, f"{name}, kg", "pp-b pp-ink")
    mean, spread = series.mean_kg.value, series.deviation_kg
    if spread is not None:
        upper, lower = at(min(high, mean + spread.value)), at(max(low, mean - spread.value))
        yield f'<rect class="pp-zone" x="{X0:g}" y="{upper:.1f}" width="{X1 - X0:g}" height="{lower - upper:.1f}"/>'
    step, level = _step(high - low), low
    while level <= high + 1e-9:
        yield f'<path class="pp-grid" d="M{X0:g} {at(level):.1f}H{X1:g}"/>'
        yield _text(X0 - 6, at(level) + 4.4, f"{level:g}", "pp-ink", "end")
        level += step
    yield f'<path class="pp-line" stroke-width="1.6" d="M{X0:g} {at(mean):.1f}H{X1:g}"/>'
    yield f'<path class="pp-line" stroke-width="1.6" stroke-dasharray="7 4" d="M{X0:g} {at(aim):.1f}H{X1:g}"/>'
    n = len(series.pushes)
    xs = [X0 + 12 + (X1 - X0 - 24) * (k / (n - 1) if n > 1 else 0.5) for k in range(n)]
    if series.drift_kg is not None:
        half = series.drift_kg.value * (n - 1) / 2
        yield f'<path class="pp-line" d="M{xs[0]:.1f} {at(mean - half):.1f}L{xs[-1]:.1f} {at(mean + half):.1f}"/>'
    radius = 4.2 if n <= 30 else 2.6
    for x, value in zip(xs, series.pushes, strict=True):
        yield f'<circle class="pp-dot" cx="{x:.1f}" cy="{at(value):.1f}" r="{radius:g}"/>'
    yield f'<path class="pp-line" d="M{X0:g} {base - TALL + 10:.1f}V{base:.1f}H{X1:g}"/>'
    yield _text(xs[0], base + 16, "first", "pp-soft", "middle")
    if n > 1:
        yield _text(min(xs[-1] + 20, X1), base + 16, f"push {n}", "pp-soft", "end")
    said = drift_words(series.drift_kg) if series.drift_kg is not None else f"mean {kg(mean)}"
    yield _text(X1, top + 16, said.partition(" (")[0], "pp-soft", "end")


def _text(x: float, y: float, said: str, look: str, anchor: str = "") -> str:
    at = f' text-anchor="{anchor}"' if anchor else ""
    return f'<text class="pp-t {look}" x="{x:.1f}" y="{y:.1f}"{at}>{escape(said)}</text>'
