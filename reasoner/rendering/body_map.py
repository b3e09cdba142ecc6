"""The body map: what the hand found, drawn on our own horse.

In: where the places lie (`MapPoint`) and what was found there (`Mark`). Out: one piece of HTML with three
drawings, the left side, the right side and the view from above, and a legend. Left is the horse's own left.
Not here: reading visits or rules, deciding what is worth a mark, writing files.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Mapping, Sequence
from functools import cache
from html import escape
from importlib.resources import files
from typing import Literal

from reasoner.frozen import frozen
from reasoner.rendering.badge_room import Spot, make_room
from reasoner.rendering.grade_colours import BLACK, fill_for, ink_for
from reasoner.rendering.middle_line import LETTER, Named, seats

Side = Literal["left", "right"]
Kind = Literal["graded", "quiet", "refused", "spoken"]

SIDE_WIDTH, SIDE_HEIGHT = 800, 560
ABOVE_WIDTH, ABOVE_HEIGHT = 800, 260
_WORDS = (
    (40, "right (off)"),
    (ABOVE_HEIGHT - 20, "left (near)"),
)  # on the view from above, at the head
BADGE, DIAMOND, DOT = 11.5, 13.0, 4.5
GROWN = 1.5  # how much larger the marks of the side views are drawn: their numbers are read on a telephone
REFUSED_FILL = "#ffd23f"
_OFF_THE_MIDDLE = 30.0  # a mark with a side on the view from above stands this far towards that side
_NAMES: dict[Side, str] = {"left": "LEFT (near)", "right": "RIGHT (off)"}


@frozen
class MapPoint:
    """Where a place lies: on the left view of the horse (`side`) or on the view from above (`above`)."""

    key: str
    name: str
    view: str
    x: float
    y: float


@frozen
class Mark:
    """One thing found. `side` None is the middle line; `words` is what was written, shown on hover."""

    place: str
    side: Side | None
    value: float | None
    words: str
    kind: Kind


@frozen
class _Placed:
    mark: Mark
    point: MapPoint
    x: float
    y: float


def draw_body_map(places: Sequence[MapPoint], marks: Sequence[Mark], *, title: str) -> str:
    """The whole body map as one HTML fragment. The same input gives the same text, to the letter."""
    points = {point.key: point for point in places}
    known = sorted((mark for mark in marks if mark.place in points), key=_in_order)
    missing = sorted((mark for mark in marks if mark.place not in points), key=_in_order)
    stamp = "bm-" + hashlib.sha256(repr((title, tuple(places), tuple(marks))).encode()).hexdigest()[:10]
    views = [_side_view(side, points, known, title, f"{stamp}-{side}") for side in _NAMES]
    views.append(_above_view(points, known, title, f"{stamp}-above"))
    lines = [
        '<figure class="body-map">',
        f"<style>{STYLE}</style>",
        '<div class="bm-views">',
        *views,
        "</div>",
        _legend(known, points, moved=any('class="bm-leader"' in view for view in views)),
    ]
    if missing:  # better said than left out in silence
        said = "; ".join(_sentence(mark, mark.place.replace("_", " ")) for mark in missing)
        lines.append(f'<p class="bm-missing">Not on the picture: {escape(said)}.</p>')
    lines.append("</figure>")
    return "\n".join(lines)


def mirrored_x(x: float) -> float:
    """Where a point of the left view lies on the right view."""
    return SIDE_WIDTH - x


# --- the three views ----------


def _side_view(side: Side, points: Mapping[str, MapPoint], marks: Sequence[Mark], title: str, name: str) -> str:
    placed = []
    for mark in marks:
        point = points[mark.place]
        if point.view == "side" and mark.side in (side, None):
            placed.append(_Placed(mark, point, point.x if side == "left" else mirrored_x(point.x), point.y))
    lines = drawing("horse_side")
    if side == "right":
        lines = f'<g transform="translate({SIDE_WIDTH} 0) scale(-1 1)">\n{lines}\n</g>'
    label_x = 470 if side == "left" else mirrored_x(470)
    look = 'y="72" font-size="34" text-anchor="middle"'
    label = f'<text class="bm-label" x="{label_x}" {look}>{_NAMES[side]}</text>'
    # The drawing leaves 85 units free at both ends; cutting them makes the numbers larger on a telephone.
    box = f"85 0 {SIDE_WIDTH - 170} {SIDE_HEIGHT}"
    heading = f"{title}: the horse's own {side} side, {'near' if side == 'left' else 'off'} side"
    body = "\n".join([lines, label, *_draw_side(placed)])
    return f'<div class="bm-view">{_svg(box, name, heading, _told(placed), body)}</div>'


def _above_view(points: Mapping[str, MapPoint], marks: Sequence[Mark], title: str, name: str) -> str:
    placed = []
    for mark in marks:
        point = points[mark.place]
        if point.view == "above":
            # The head is to the left of the picture, so the horse's own left side is the lower one.
            off = {"left": _OFF_THE_MIDDLE, "right": -_OFF_THE_MIDDLE, None: 0.0}[mark.side]
            placed.append(_Placed(mark, point, point.x, point.y + off))
    words = [f'<text class="bm-label" x="14" y="{y}" font-size="27">{text}</text>' for y, text in _WORDS]
    box = f"0 0 {ABOVE_WIDTH} {ABOVE_HEIGHT}"
    marked = _draw_above(placed)
    body = "\n".join([drawing("horse_above"), *words, *marked])
    heading = f"{title}: from above, the middle line"
    return f'<div class="bm-view bm-above">{_svg(box, name, heading, _told(placed), body)}</div>'


def _svg(box: str, name: str, heading: str, told: str, body: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" role="img" '
        f'aria-labelledby="{name}-t" aria-describedby="{name}-d">\n'
        f'<title id="{name}-t">{escape(heading)}</title>\n'
        f'<desc id="{name}-d">{escape(told)}</desc>\n{body}\n</svg>'
    )


@cache
def drawing(name: str) -> str:
    """The lines of one of our drawings (horse_side, horse_above), without its outer <svg> and its comment."""
    text = files("reasoner.rendering").joinpath("drawing", f"{name}.svg").read_text(encoding="utf-8")
    after_comment = text.partition("-->")[2]
    return after_comment.rpartition("</svg>")[0].strip("\n")


# --- the marks ----------


def _draw_side(placed: Sequence[_Placed]) -> list[str]:
    spots = [Spot(p.x, p.y, _radius(p.mark, GROWN), fixed=p.mark.kind == "quiet") for p in placed]
    centres = make_room(spots, width=SIDE_WIDTH, height=SIDE_HEIGHT)
    lines = [_leader(item, x, y, GROWN) for item, (x, y) in zip(placed, centres, strict=True)]
    return lines + [_shown(item, x, y, GROWN) for item, (x, y) in zip(placed, centres, strict=True)]


def _draw_above(placed: Sequence[_Placed]) -> list[str]:
    """Quiet dots stay on the middle line; findings step off it where they crowd, and carry their names."""
    quiet = [item for item in placed if item.mark.kind == "quiet"]
    found = [item for item in placed if item.mark.kind != "quiet"]
    named = [Named(p.x, p.y, _radius(p.mark), p.point.name) for p in found]
    quiet_at = [(p.x, p.y) for p in quiet]
    words = [((14.0, y - 10.0), (195.0, y - 10.0)) for y, _ in _WORDS]
    chosen = seats(named, quiet_at, dot=DOT, height=ABOVE_HEIGHT, words=words)
    names = []
    for item, seat in zip(found, chosen, strict=True):
        x, y = seat.name_at
        names.append(
            f'<text class="bm-name" transform="translate({x:.1f} {y:.1f}) rotate({seat.turn:g})" '
            f'y="{LETTER * 0.34:.1f}" font-size="{LETTER:g}">{escape(item.point.name)}</text>'
        )
    lines = [_leader(item, seat.x, seat.y) for item, seat in zip(found, chosen, strict=True)]
    badges = [_shown(item, item.x, item.y) for item in quiet]
    badges += [_shown(item, seat.x, seat.y) for item, seat in zip(found, chosen, strict=True)]
    return lines + names + badges


def _leader(item: _Placed, x: float, y: float, grown: float = 1.0) -> str:
    """A thin line from the badge to its place, where the badge no longer covers it."""
    if math.dist((item.x, item.y), (x, y)) <= _radius(item.mark, grown):
        return ""
    return (
        f'<path class="bm-leader" d="M{item.x:g} {item.y:g}L{x:g} {y:g}" stroke="currentColor" '
        f'stroke-width="1.2"/>'
        f'<circle class="bm-leader" cx="{item.x:g}" cy="{item.y:g}" r="2.2" fill="currentColor"/>'
    )


def _shown(item: _Placed, x: float, y: float, grown: float = 1.0) -> str:
    told = escape(_sentence(item.mark, item.point.name))
    badge = _badge(item.mark, x, y, grown)
    return f'<g class="bm-mark bm-{item.mark.kind}"><title>{told}</title>{badge}</g>'


def _radius(mark: Mark, grown: float = 1.0) -> float:
    return DOT if mark.kind == "quiet" else grown * (DIAMOND if mark.kind == "refused" else BADGE)


def _badge(mark: Mark, x: float, y: float, grown: float = 1.0) -> str:
    ring = 'stroke="currentColor" stroke-width="1.6"'
    if mark.kind == "quiet":
        return f'<circle cx="{x:g}" cy="{y:g}" r="{DOT:g}" fill="none" {ring}/>'
    out = _radius(mark, grown)
    if mark.kind == "refused":
        half = f"{out:g}"
        diamond = f"M{x:g} {y - out:g}l{half} {half}l-{half} {half}l-{half} -{half}z"
        shape = f'<path d="{diamond}" fill="{REFUSED_FILL}" stroke="currentColor" stroke-width="2.2"/>'
        return shape + _text("!", x, y, 17 * grown, BLACK)
    if mark.kind == "spoken" or mark.value is None:
        corner, edge, reach = out - 1.5, 2 * out - 3.0, 6 * grown
        shape = f'<rect x="{x - corner:g}" y="{y - corner:g}" width="{edge:g}" height="{edge:g}" rx="3.5"'
        lengths = ((-4 * grown, 2 * reach), (0.0, 2 * reach), (4 * grown, 7 * grown))
        rows = "".join(f"M{x - reach:g} {y + down:g}h{length:g}" for down, length in lengths)
        lines = f'<path d="{rows}" stroke="{BLACK}" stroke-width="1.6" fill="none"/>'
        return f'{shape} fill="#ffffff" {ring}/>{lines}'
    fill = fill_for(mark.value)
    number = _number(mark.value)
    size = {1: 15, 2: 14}.get(len(number), 12) * grown
    circle = f'<circle cx="{x:g}" cy="{y:g}" r="{out:g}" fill="{fill}" {ring}/>'
    return circle + _text(number, x, y, size, ink_for(fill))


def _text(words: str, x: float, y: float, size: float, ink: str) -> str:
    return (
        f'<text x="{x:g}" y="{y + 0.355 * size:.1f}" font-size="{size:g}" font-weight="700" '
        f'text-anchor="middle" fill="{ink}">{escape(words)}</text>'
    )


def _number(value: float) -> str:
    return f"{round(value, 1):g}"


# --- in words ----------


def _in_order(mark: Mark) -> tuple[str, str, str, float, str]:
    return mark.place, mark.side or "", mark.kind, mark.value if mark.value is not None else -1.0, mark.words


def _sentence(mark: Mark, name: str) -> str:
    where = f"{name}, {mark.side}" if mark.side else name
    what = {"refused": "would not allow touch", "quiet": "quiet"}.get(mark.kind, "")
    if mark.kind == "graded" and mark.value is not None:
        what = f"{_number(mark.value)} of 10"
    parts = [part for part in (what, mark.words if mark.words != what else "") if part]
    return f"{where}: {', '.join(parts)}" if parts else where


def _told(placed: Sequence[_Placed]) -> str:
    """What a screen reader says: findings first, the sorest first, then the quiet places in one breath."""
    found = [p for p in placed if p.mark.kind != "quiet"]
    first = {"refused": 0, "graded": 1, "spoken": 2}
    found.sort(key=lambda p: (first[p.mark.kind], -(p.mark.value or 0.0), p.point.key))
    quiet = [p.point.name for p in placed if p.mark.kind == "quiet"]
    said = [_sentence(p.mark, p.point.name) + "." for p in found]
    if quiet:
        said.append("Examined and quiet: " + ", ".join(quiet) + ".")
    return " ".join(said) or "Nothing is marked on this view."


def _legend(marks: Sequence[Mark], points: Mapping[str, MapPoint], *, moved: bool) -> str:
    """What the marks on this picture mean; marks that it does not hold are not explained."""
    kinds = {mark.kind for mark in marks}
    on_both = any(mark.side is None and points[mark.place].view == "side" for mark in marks)

    def small(body: str, width: float = 28.0) -> str:
        return (
            f'<svg class="bm-sample" viewBox="0 0 {width:g} 28" width="{width:g}" height="28" '
            f'aria-hidden="true">{body}</svg>'
        )

    def shown(kind: Kind, value: float | None = None, x: float = 14.0) -> str:
        return _badge(Mark("", None, value, "", kind), x, 14.0)

    scale = "".join(shown("graded", value, 14 + 27 * i) for i, value in enumerate((1.0, 3.0, 5.0, 7.0, 9.0)))
    line = '<path d="M3 25L28 13" stroke="currentColor" stroke-width="1.2"/>'
    line += '<circle cx="3" cy="25" r="2.2" fill="currentColor"/>'
    entries = (
        ("graded" in kinds, small(scale, 136.0), "soreness from 0 to 10; the darker, the sorer"),
        ("refused" in kinds, small(shown("refused")), "would not allow touch"),
        ("spoken" in kinds, small(shown("spoken")), "written in words, no number"),
        ("quiet" in kinds, small(shown("quiet")), "examined and quiet"),
        (
            moved,
            small(line + _badge(Mark("", None, 4.0, "", "graded"), 28.0, 13.0), 42.0),
            "moved aside for room; the thin line leads to the place",
        ),
        (True, "", "No mark: not examined, or nothing written."),
        (on_both, "", "The breastbone, on the middle line underneath, is marked on both side views."),
    )
    rows = "".join(f"<li>{sample}<span>{escape(words)}</span></li>" for told, sample, words in entries if told)
    return f'<ul class="bm-legend">{rows}</ul>'


STYLE = """
.body-map{margin:0;color:inherit}
.body-map svg{display:block;width:100%;height:auto;overflow:visible}
.body-map text{font-family:system-ui,"Liberation Sans",Arial,sans-serif}
.body-map .bm-label{font-weight:700;fill:currentColor}
.body-map .bm-name{fill:currentColor}
.body-map .bm-views{display:flex;flex-wrap:wrap;gap:.75rem 1rem}
.body-map .bm-view{flex:1 1 19rem;min-width:min(100%,17rem);break-inside:avoid}
.body-map .bm-above{flex:1 1 100%}
.body-map .bm-above>svg{max-width:50rem;margin:0 auto}
.body-map .bm-legend{display:flex;flex-wrap:wrap;gap:.35rem 1.25rem;margin:.75rem 0 0;padding:0;
list-style:none;font-size:.9rem;line-height:1.35;break-inside:avoid}
.body-map .bm-legend li{display:flex;align-items:center;gap:.45rem}
.body-map .bm-legend .bm-sample{width:auto;height:1.75rem;flex:none}
.body-map .bm-missing{margin:.5rem 0 0;font-size:.9rem}
"""
