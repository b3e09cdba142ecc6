"""Bland and Altman's picture: for every place the difference of two grades over their mean, and the limits of agreement.

In: the figures of two hands and their readings. Out: one whole SVG, legible on light and dark.
Not here: working anything out. Places that fall on one spot are one dot with their number in it; no meaning hangs on colour.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from html import escape
from textwrap import shorten, wrap

from reasoner.rendering.agreement_words import hands, number
from reasoner.teaching.agreement import Agreement
from reasoner.teaching.statistics import Estimate

WIDTH = 390
X0, X1 = 42.0, 382.0
INSIDE = 15.0  # so far inside stand the means 0 and 10, so that no dot covers a number
TOP, TALL = 96.0, 240.0
LETTERS = 50  # of 12.5 px in one row
STYLE = """
.ba-paper{fill:#fcfbf8}.ba-ink{fill:#1c1a17}.ba-soft{fill:#59534a}.ba-line{stroke:#1c1a17;fill:none}
.ba-grid{stroke:#1c1a17;stroke-opacity:.18}.ba-zone{fill:#e4ddcd;stroke:none}.ba-dot{fill:#8aa6c1;stroke:#1c1a17}.ba-count{fill:#1c1a17}
.ba-t{font-size:12.5px;font-family:system-ui,-apple-system,"Segoe UI","Liberation Sans",sans-serif}
.ba-h{font-size:15px;font-weight:700}.ba-b{font-weight:700}
@media (prefers-color-scheme:dark){.ba-paper{fill:#171613}.ba-ink{fill:#ece7dc}.ba-soft{fill:#bbb3a4}.ba-line{stroke:#ece7dc}
.ba-grid{stroke:#ece7dc}.ba-zone{fill:#37322a}.ba-dot{fill:#4f7191;stroke:#ece7dc}.ba-count{fill:#ffffff}}
""".strip()


def limits_picture(agreement: Agreement) -> str:
    """The picture; the same figures give the same text, to the letter. Empty where there are too few readings for limits."""
    figures = agreement.whole
    if figures.limits is None:
        return ""
    lim, names = figures.limits, hands(agreement)
    dots = Counter(((one.one + one.two) / 2, one.difference) for pair in agreement.pairs for one in pair.readings)
    ends = [abs(d) for _, d in dots] + [abs(e) for line in (lim.lower, lim.upper) for e in (line.low, line.high) if e]
    reach = max(1.0, math.ceil(max(ends)))
    title = "Where the two grades differ"
    parts = list(_head(title, names))
    parts += _frame(reach)
    parts += _lines((lim.upper, lim.mean, lim.lower), reach)
    parts += _dots(dots, reach)
    parts, height = [*parts, *_foot(agreement, lim.lower, lim.mean, lim.upper)], TOP + TALL + 150
    said = (
        f"{names[0]} and {names[1]}: {figures.readings} places graded by both. "
        f"The second grade less the first is {number(lim.mean.value)} points in the mean; "
        f"limits of agreement {number(lim.lower.value)} and {number(lim.upper.value)}."
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:g}" width="100%" style="max-width:620px" '
        f'role="img">'
        f"<title>{escape(title)}</title><desc>{escape(said)}</desc><style>{STYLE}</style>"
        f'<rect class="ba-paper" width="{WIDTH}" height="{height:g}"/>' + "".join(parts) + "</svg>\n"
    )


def _head(title: str, names: tuple[str, str]) -> Iterator[str]:
    yield _text(12, 24, title, "ba-h ba-ink")
    for n, (order, name) in enumerate(zip(("first", "second"), names, strict=True)):
        yield _text(12, 44 + 16 * n, shorten(f"{order}: {name}", LETTERS, placeholder=" ..."), "ba-ink")
    yield _text(12, 78, "Up: the second grade less the first, in points.", "ba-soft")


def _x(mean: float) -> float:
    return X0 + INSIDE + (X1 - X0 - 2 * INSIDE) * mean / 10.0


def _y(difference: float, reach: float) -> float:
    return TOP + TALL / 2 * (1 - difference / (reach * 1.12))


def _frame(reach: float) -> Iterator[str]:
    step = 1 if reach <= 4 else 2 if reach <= 8 else 4
    for level in range(-int(reach), int(reach) + 1):
        if level % step:
            continue
        y = _y(level, reach)
        yield f'<path class="ba-grid" d="M{X0:g} {y:.1f}H{X1:g}"/>'
        yield _text(X0 - 7, y + 4.4, f"{level:+d}" if level else "0", "ba-ink", "end")
    bottom = TOP + TALL
    yield f'<path class="ba-line" d="M{X0:g} {TOP:g}V{bottom:g}H{X1:g}"/>'
    for mean in range(0, 11, 2):
        yield f'<path class="ba-line" d="M{_x(mean):.1f} {bottom:g}v5"/>'
        yield _text(_x(mean), bottom + 19, str(mean), "ba-ink", "middle")
    yield _text((X0 + X1) / 2, bottom + 36, "mean of the two grades, 0 to 10", "ba-soft", "middle")


def _lines(three: tuple[Estimate, Estimate, Estimate], reach: float) -> Iterator[str]:
    for found in three:
        if found.low is not None and found.high is not None:
            top, low = _y(found.high, reach), _y(found.low, reach)
            yield f'<rect class="ba-zone" x="{X0:g}" y="{top:.1f}" width="{X1 - X0:g}" height="{max(1.0, low - top):.1f}"/>'
    for n, found in enumerate(three):
        dash = "" if n == 1 else ' stroke-dasharray="7 4"'
        yield f'<path class="ba-line" stroke-width="1.6" d="M{X0:g} {_y(found.value, reach):.1f}H{X1:g}"{dash}/>'


def _dots(dots: Counter[tuple[float, float]], reach: float) -> Iterator[str]:
    # The largest first, so that a small one beside it is never hidden.
    for (mean, difference), count in sorted(dots.items(), key=lambda each: (-each[1], each[0])):
        x, y = _x(mean), _y(difference, reach)
        radius = 4.0 if count == 1 else 8.0 if count < 10 else 11.0
        yield f'<circle class="ba-dot" cx="{x:.1f}" cy="{y:.1f}" r="{radius:g}"/>'
        if count > 1:
            yield _text(x, y + 4.4, str(count), "ba-count", "middle")


def _foot(agreement: Agreement, lower: Estimate, mean: Estimate, upper: Estimate) -> Iterator[str]:
    y = TOP + TALL + 58
    for name, found in (("broken line above", upper), ("whole line, the mean", mean), ("broken line below", lower)):
        ends = "" if found.low is None or found.high is None else f" ({number(found.low)} to {number(found.high)})"
        yield _text(12, y, f"{name}: {number(found.value)}{ends}", "ba-ink")
        y += 17
    said = (
        f"Between the broken lines lie about 95 of 100 differences. Bands: their intervals. A number in a dot: so many of the "
        f"{agreement.whole.readings} places on that spot."
    )
    for line in wrap(said, LETTERS):
        yield _text(12, y, line, "ba-soft")
        y += 16


def _text(x: float, y: float, said: str, look: str, anchor: str = "") -> str:
    at = f' text-anchor="{anchor}"' if anchor else ""
    return f'<text class="ba-t {look}" x="{x:g}" y="{y:.1f}"{at}>{escape(said)}</text>'
