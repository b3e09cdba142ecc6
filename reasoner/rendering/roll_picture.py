"""A saddle that leans, drawn as seen from behind: bars, midline, roll, the load on each side, and where a shim would lie.

In: `Drawn`, plain numbers. Out: one whole SVG, and the same in words.
Not here: any working out. The angle is drawn as it is; sizes and the thickness of the shim are not to scale.
"""

from __future__ import annotations

import math
from html import escape

from reasoner.frozen import frozen

WIDTH, HEIGHT = 390, 372
MIDDLE, CENTRE, BACK = 195.0, 330.0, 150.0  # the back is an arc about the point the saddle is turned about
INNER, OUTER, THICK, LIFT = (
    14.0,
    40.0,
    10.0,
    8.0,
)  # a bar reaches from so many degrees to so many; its thickness; a shim's
STYLE = """
.roll-paper{fill:#fcfbf8}.roll-ink{fill:#1c1a17}.roll-soft{fill:#59534a}.roll-back{fill:none;stroke:#59534a;stroke-width:3}
.roll-middle{stroke:#59534a;stroke-width:1.5;stroke-dasharray:5 5}.roll-saddle{fill:none;stroke:#1c1a17;stroke-width:2.5}
.roll-bar{fill:#1c1a17}.roll-shim{fill:#ffd9a0;stroke:#7a4a00;stroke-width:1.5}.roll-hatch{stroke:#7a4a00;stroke-width:1.5}
.roll-arc{fill:none;stroke:#8b1a10;stroke-width:2.5}
@supports (paint-order:stroke){.roll-halo{stroke:#fcfbf8;stroke-width:6;paint-order:stroke}}
.roll-text{font-size:13px;font-family:system-ui,"Segoe UI","Liberation Sans",Arial,sans-serif}
.roll-side{font-weight:700;font-size:15px}
@media (prefers-color-scheme:dark){.roll-paper{fill:#171613}.roll-ink{fill:#ece7dc}.roll-soft{fill:#bbb3a4}
.roll-halo{stroke:#171613}.roll-back,.roll-middle{stroke:#bbb3a4}.roll-saddle{stroke:#ece7dc}.roll-bar{fill:#ece7dc}
.roll-shim{fill:#6b4a12;stroke:#ffd38a}.roll-hatch{stroke:#ffd38a}.roll-arc{stroke:#ffb3a5}}
"""


@frozen(kw_only=True)
class Drawn:
    """What is drawn. `roll_deg` is positive to the right; `side` the side it leans to, or "straight" within its error.

    `load` is (left, right) in words, or None; `shim` the thickness in words, or empty where none is drawn.
    """

    roll_deg: float
    roll_error_deg: float
    side: str
    bars: str = ""
    load: tuple[str, str] | None = None
    shim: str = ""


def in_words(drawn: Drawn) -> str:
    """The picture for somebody who cannot see it."""
    said = [f"Seen from behind, the horse's own left at the left. {_headline(drawn)}"]
    if drawn.bars:
        said.append(f"The bars bear {drawn.bars} apart.")
    if drawn.load:
        said.append(f"The left side bears {drawn.load[0]}, the right side {drawn.load[1]}.")
    if drawn.shim:
        said.append(f"A soft shim, {drawn.shim}, lies under the {drawn.side} bar; nothing under the other.")
    return " ".join(said)


def picture(drawn: Drawn) -> str:
    """The whole SVG."""
    parts = [
        f'<rect class="roll-paper" width="{WIDTH}" height="{HEIGHT}"/>',
        _text(MIDDLE, 24, "Seen from behind; left is the horse's own left", "roll-soft"),
        _text(MIDDLE, 46, _headline(drawn), "roll-ink"),
        _text(14, 76, "LEFT", "roll-ink roll-side", "start"),
        _text(WIDTH - 14, 76, "RIGHT", "roll-ink roll-side", "end"),
        *_load(drawn),
        f'<path class="roll-back" d="{_body()}"/>',
        f'<line class="roll-middle" x1="{MIDDLE:g}" y1="84" x2="{MIDDLE:g}" y2="344"/>',
        _text(MIDDLE, 362, "middle of the horse", "roll-soft"),
        *_saddle(drawn),
        *_angle(drawn),
    ]
    if drawn.bars:
        parts.append(_text(MIDDLE, 308, f"bars {drawn.bars} apart", "roll-soft roll-halo"))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img">'
        f"<title>How the saddle leans</title><desc>{escape(in_words(drawn))}</desc><style>{STYLE}</style>"
        f"{''.join(parts)}</svg>\n"
    )


def _headline(drawn: Drawn) -> str:
    amount = f"{abs(drawn.roll_deg):.1f}° (±{drawn.roll_error_deg:.1f}°)"
    if drawn.side == "straight":
        return f"It leans no more than can be read: {amount}."
    return f"The saddle leans {amount} to the {drawn.side.upper()}."


def _at(degrees: float, radius: float) -> tuple[float, float]:
    """A point so many degrees to the right of straight up, at a distance from the centre."""
    turn = math.radians(degrees)
    return MIDDLE + radius * math.sin(turn), CENTRE - radius * math.cos(turn)


def _point(degrees: float, radius: float) -> str:
    x, y = _at(degrees, radius)
    return f"{x:.1f} {y:.1f}"


def _band(first: float, last: float, inner: float, outer: float) -> str:
    """A piece of a ring, in degrees from straight up."""
    return (
        f"M{_point(first, inner)}A{inner:g} {inner:g} 0 0 1 {_point(last, inner)}L{_point(last, outer)}"
        f"A{outer:g} {outer:g} 0 0 0 {_point(first, outer)}Z"
    )


def _body() -> str:
    """The back and both flanks, from behind."""
    left, right = _at(-68, BACK), _at(68, BACK)
    return (
        f"M{left[0] - 14:.1f} 344Q{left[0] - 10:.1f} 300 {left[0]:.1f} {left[1]:.1f}"
        f"A{BACK:g} {BACK:g} 0 0 1 {right[0]:.1f} {right[1]:.1f}Q{right[0] + 10:.1f} 300 {right[0] + 14:.1f} 344"
    )


def _saddle(drawn: Drawn) -> list[str]:
    """Bars and tree turned by the roll, true to the angle, and the shim where it would lie."""
    found, turn, seats = [], drawn.roll_deg, {}
    for side, sign in (("left", -1), ("right", 1)):
        first, last = sorted((turn + sign * INNER, turn + sign * OUTER))
        lifted = LIFT if drawn.shim and side == drawn.side else 0.0
        seats[side] = BACK + 2 + lifted + THICK
        if lifted:
            found.append(f'<path class="roll-shim" d="{_band(first, last, BACK + 2, BACK + 2 + LIFT)}"/>')
            found += [
                f'<path class="roll-hatch" d="M{_point(at, BACK + 2)}L{_point(at + 2, BACK + 2 + LIFT)}"/>'
                for at in (first + step for step in range(2, int(OUTER - INNER) - 2, 4))
            ]
            x, y = _at(turn + sign * (INNER + 8), BACK + 2)
            across, anchor = MIDDLE + sign * 12, "start" if sign > 0 else "end"
            found.append(f'<line class="roll-hatch" x1="{x:.1f}" y1="{y:.1f}" x2="{across + sign * 40:.1f}" y2="228"/>')
            found.append(_text(across, 244, "soft shim", "roll-ink", anchor))
            found.append(_text(across, 261, drawn.shim, "roll-ink", anchor))
        found.append(f'<path class="roll-bar" d="{_band(first, last, BACK + 2 + lifted, BACK + 2 + lifted + THICK)}"/>')
    tree = (
        f"M{_point(turn - 34, seats['left'])}Q{_point(turn - 20, 190)} {_point(turn - 7, 196)}"
        f"Q{_point(turn, 184)} {_point(turn + 7, 196)}Q{_point(turn + 20, 190)} {_point(turn + 34, seats['right'])}"
    )
    found.append(f'<path class="roll-saddle" d="{tree}"/>')
    return found


def _angle(drawn: Drawn) -> list[str]:
    """The middle of the saddle against the middle of the horse, and the angle between them."""
    (x1, y1), (x2, y2) = _at(drawn.roll_deg, 168), _at(drawn.roll_deg, 236)
    found = [f'<line class="roll-saddle" x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"/>']
    if drawn.side != "straight":
        ends = sorted((0.0, drawn.roll_deg))
        found.append(f'<path class="roll-arc" d="M{_point(ends[0], 226)}A226 226 0 0 1 {_point(ends[1], 226)}"/>')
        sign = 1 if drawn.roll_deg > 0 else -1
        anchor = "start" if sign > 0 else "end"
        found.append(_text(x2 + sign * 8, y2 + 14, f"{abs(drawn.roll_deg):.1f}°", "roll-ink", anchor))
    return found


def _load(drawn: Drawn) -> list[str]:
    if drawn.load is None:
        return []
    return [
        _text(14, 95, f"bears {drawn.load[0]}", "roll-ink", "start"),
        _text(WIDTH - 14, 95, f"bears {drawn.load[1]}", "roll-ink", "end"),
    ]


def _text(x: float, y: float, words: str, kind: str, anchor: str = "middle") -> str:
    return f'<text class="roll-text {kind}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(words)}</text>'
