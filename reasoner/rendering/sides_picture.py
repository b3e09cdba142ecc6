"""Left beside right as a picture: two bars from the middle, and the difference on a line with what it may be off.

In: `Row`s of amounts already compared. Out: one whole SVG. The horse's left is at the left, as seen from behind.
Not here: the arithmetic, the sentences; a colour only repeats what the words and places say.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from textwrap import wrap

from reasoner.frozen import frozen
from reasoner.rendering.amounts import amount, off_by

WIDTH, EDGE, MIDDLE = 390, 14, 195
_HALF = MIDDLE - EDGE  # as far as a bar or the line may reach to each side
_ROOM = 1.15  # what is drawn leaves a little of it free
_LETTERS = 50  # of 13 px in one row
STYLE = """
.sp-paper{fill:#fcfbf8}.sp-ink{fill:#1c1a17}.sp-soft{fill:#59534a}.sp-bar{fill:#8aa6c1;stroke:#1c1a17}
.sp-line{stroke:#1c1a17;fill:none}.sp-before{fill:#fcfbf8}
.sp-zone{fill:#e4ddcd;stroke:#59534a;stroke-dasharray:3 3}.sp-dot{fill:#1c1a17}
.sp-t{font-size:13px;font-family:system-ui,-apple-system,"Segoe UI","Liberation Sans",sans-serif}
.sp-b{font-weight:700}.sp-h{font-size:16px;font-weight:700}.sp-s{font-size:12px}
@media (prefers-color-scheme:dark){.sp-paper{fill:#171613}.sp-ink{fill:#ece7dc}.sp-soft{fill:#bbb3a4}
.sp-bar{fill:#4f7191;stroke:#ece7dc}.sp-line{stroke:#ece7dc}.sp-before{fill:#171613}.sp-zone{fill:#302c25;stroke:#bbb3a4}.sp-dot{fill:#ece7dc}}
""".strip()


@frozen(kw_only=True)
class Row:
    """One pair. `left` and `right` are (amount, error or None), or None where only a difference is known.

    `difference` is right less left, and `earlier` what it was before; `zone` is how far it may go either way of that (of 0,
    where there is none) before it counts, called `zone_says`; `ends` is what stands at the two ends of the line; `says` the
    result in words.
    """

    name: str
    unit: str
    difference: float
    difference_error: float | None
    says: str
    left: tuple[float, float | None] | None = None
    right: tuple[float, float | None] | None = None
    earlier: float | None = None
    zone: float | None = None
    zone_says: str = ""
    ends: tuple[str, str] = ("left larger", "right larger")


def sides_picture(title: str, desc: str, rows: Sequence[Row]) -> str:
    """The whole SVG; the same rows give the same text, to the letter."""
    drawn: list[str] = []
    y = 26.0
    for line in wrap(title, 38):
        drawn.append(_text(EDGE, y, line, "sp-h sp-ink"))
        y += 21
    drawn.append(_text(EDGE, y, "seen from behind: the horse's own left is at the left", "sp-s sp-soft"))
    y += 14
    drawn.append(_text(EDGE, y + 14, "LEFT (near)", "sp-b sp-ink"))
    drawn.append(_text(WIDTH - EDGE, y + 14, "RIGHT (off)", "sp-b sp-ink", "end"))
    y += 22
    for row in rows:
        parts, y = _row(row, y)
        drawn += parts
    height = round(y + 8)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" width="100%" style="max-width:560px" '
        f'role="img"><title>{escape(title)}</title><desc>{escape(desc)}</desc><style>{STYLE}</style>'
        f'<rect class="sp-paper" width="{WIDTH}" height="{height}"/>' + "".join(drawn) + "</svg>\n"
    )


def _row(row: Row, y: float) -> tuple[list[str], float]:
    parts = [f'<path class="sp-line" d="M{EDGE} {y:g}H{WIDTH - EDGE}" opacity=".35"/>']
    for line in wrap(row.name, _LETTERS - 6):
        parts.append(_text(MIDDLE, y + 20, line, "sp-b sp-ink", "middle"))
        y += 17
    y += 11
    if row.left is not None and row.right is not None:
        parts += _bars(row, row.left, row.right, y)
        y += 46
    parts += _line(row, y + (12 if row.zone_says else 0))
    y += 80 if row.zone_says else 68
    for line in wrap(row.says, _LETTERS):
        parts.append(_text(MIDDLE, y, line, "sp-ink", "middle"))
        y += 17
    return parts, y + 2


def _bars(row: Row, left: tuple[float, float | None], right: tuple[float, float | None], y: float) -> Iterator[str]:
    most = max(value + (error or 0) for value, error in (left, right)) * _ROOM or 1.0
    for (value, error), turn, anchor, x in ((left, -1, "start", EDGE), (right, 1, "end", WIDTH - EDGE)):
        told = f"{amount(value)}{'' if row.unit == '°' else ' '}{row.unit}" + (f" ± {off_by(error)}" if error else "")
        yield _text(x, y + 12, told, "sp-ink", anchor)
        long = value / most * _HALF
        start = MIDDLE - long if turn < 0 else MIDDLE
        yield f'<rect class="sp-bar" x="{start:.1f}" y="{y + 20:g}" width="{long:.1f}" height="18"/>'
        if error:
            near, far = (MIDDLE + turn * (value + way * error) / most * _HALF for way in (-1, 1))
            yield _whisker(near, far, y + 29)


def _line(row: Row, y: float) -> Iterator[str]:
    middle = row.earlier or 0.0
    reach = max(abs(row.difference) + (row.difference_error or 0), abs(middle) + (row.zone or 0)) * _ROOM or 1.0
    at = y + 22

    def x(value: float) -> float:
        return MIDDLE + value / reach * _HALF

    if row.zone:
        start, end = x(middle - row.zone), x(middle + row.zone)
        yield f'<rect class="sp-zone" x="{start:.1f}" y="{at - 14:g}" width="{end - start:.1f}" height="28"/>'
        if row.zone_says:
            yield _text(MIDDLE, y + 4, row.zone_says, "sp-s sp-soft", "middle")
    yield f'<path class="sp-line" d="M{EDGE} {at:g}H{WIDTH - EDGE}M{MIDDLE} {at - 7:g}v14"/>'
    if row.difference_error:
        yield _whisker(x(row.difference - row.difference_error), x(row.difference + row.difference_error), at)
    if row.earlier is not None:
        yield f'<circle class="sp-line sp-before" cx="{x(row.earlier):.1f}" cy="{at:g}" r="5.5"/>'
    yield f'<circle class="sp-dot" cx="{x(row.difference):.1f}" cy="{at:g}" r="5.5"/>'
    yield _text(EDGE, at + 26, row.ends[0], "sp-s sp-soft")
    yield _text(MIDDLE, at + 26, "0", "sp-s sp-soft", "middle")
    yield _text(WIDTH - EDGE, at + 26, row.ends[1], "sp-s sp-soft", "end")


def _whisker(near: float, far: float, y: float) -> str:
    return (
        f'<path class="sp-line" stroke-width="2" d="M{near:.1f} {y:g}H{far:.1f}M{near:.1f} {y - 6:g}v12'
        f'M{far:.1f} {y - 6:g}v12"/>'
    )


def _text(x: float, y: float, text: str, kind: str, anchor: str = "start") -> str:
    return f'<text class="sp-t {kind}" x="{x:g}" y="{y:g}" text-anchor="{anchor}">{escape(text)}</text>'
