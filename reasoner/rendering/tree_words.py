"""Sentences about a tree laid on a back, across at a station and along each side.

In: what was laid down, the table. Out: lines of words, the result first.
Not here: what is gathered for a page (measured_tree.py), pictures.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import degrees, radians

from reasoner.measures.contact import Laid, Loaded, Stretch, Word, Zone
from reasoner.measures.contact_along import Contact, LaidAlong
from reasoner.measures.contact_angle import SideAngle
from reasoner.quantities import STANDARD_GRAVITY
from reasoner.rulebook.measures.tree import Tree

GRAVITY = float(STANDARD_GRAVITY)
_ROOM_MM = 0.5  # less is shown as none: a reader's millimetre

ACROSS: Mapping[Word, str] = {
    "narrower": "The tree is narrower than the back here: both sides stand steeper than the horse, and press low, at their ends.",
    "follows": "The tree follows the back here, as far as the tracing can tell.",
    "wider": "The tree is wider than the back here: both sides lie flatter than the horse; it sits down and bears high, near "
    "the spine.",
    "pinches_left": "The tree pinches on the left: that side stands steeper than the back, the right follows it.",
    "pinches_right": "The tree pinches on the right: that side stands steeper than the back, the left follows it.",
    "opens_left": "The tree stands open on the left: that side lies flatter than the back, the right follows it.",
    "opens_right": "The tree stands open on the right: that side lies flatter than the back, the left follows it.",
    "twisted": "The tree and the back differ in opposite ways: {steep} steeper than the back, {flat} flatter.",
}
ALONG: Mapping[Contact, str] = {
    "even": "{side}: it lies even, as far as the tracing can tell",
    "bridges": "{side}: it bridges; front and rear touch and the middle clears by {gap}, {where} behind the front end",
    "rocks": "{side}: it rocks by {angle}; pressed at one end the other lifts {lift}",
    "more_in_front": "{side}: it carries more in front",
    "more_behind": "{side}: it carries more behind",
}
ZONES: tuple[Zone, Zone, Zone] = ("left", "top", "right")


def across_lines(laid: Laid, table: Tree) -> Iterator[str]:
    """One station: the word, the angles, where it touches and clears, and how it lies under load."""
    steep, flat = ("left", "right") if laid.left == "narrower" else ("right", "left")
    yield ACROSS[laid.word].format(steep=steep, flat=flat)
    yield angle_line(laid)
    yield rest_line(laid)
    clear = clear_words(laid, table)
    if clear:
        yield f"It clears {clear}."
    room = laid.unloaded.clearance_mm
    if room is not None:
        loaded = _rooms([one.sitting.clearance_mm or 0.0 for one in laid.loaded])
        yield f"Room over the top: {room_words(room)}; under load {loaded}."
    yield from load_lines(laid, table)


def rest_line(laid: Laid) -> str:
    """How it came to rest, and where it touches."""
    at = laid.unloaded.pose
    touches = f"it touches {places(laid.unloaded.touches)}"
    if laid.held_level:
        return f"Free to roll it does not come to rest near level, so it was held level as a girth holds it; so held {touches}."
    said = []
    if abs(at.roll_rad) >= radians(0.05):
        said.append(f"rolled {abs(degrees(at.roll_rad)):.1f}° to the {'left' if at.roll_rad > 0 else 'right'}")
    if abs(at.shift_mm) >= 0.5:
        said.append(f"shifted {abs(at.shift_mm):.0f} mm to the {'left' if at.shift_mm < 0 else 'right'}")
    moved = f"having {' and '.join(said)}, " if said else ""
    return f"Laid down unloaded, free to roll and to shift, {moved}{touches}."


def angle_line(laid: Laid) -> str:
    """Tree minus back for each side, and their mean."""
    of = laid.angles
    stretch = _each(
        "between {0:.0f} and {1:.0f} mm out", (of.left.from_mm, of.left.to_mm), (of.right.from_mm, of.right.to_mm)
    )
    mean = f"their mean, which the roll cannot change, {steeper(of.mean_deg)} (± {of.mean_error_deg:.1f})"
    level, roll = "", degrees(laid.unloaded.pose.roll_rad)
    if abs(roll) >= 1.0:
        before = f"left {steeper(of.left.degrees - roll)}, right {steeper(of.right.degrees + roll)}"
        level = f" Level, before it rolled: {before}."
    return f"Against the back: left {_angle(of.left)}, right {_angle(of.right)}, {stretch}; {mean}.{level}"


def steeper(degrees: float) -> str:
    """A difference of angle in words.

    >>> steeper(7.43), steeper(-0.01)
    ('7.4° steeper', '0.0°')
    """
    if abs(degrees) < 0.05:
        return "0.0°"
    return f"{abs(degrees):.1f}° {'steeper' if degrees > 0 else 'flatter'}"


def places(touches: Sequence[Stretch]) -> str:
    """Where a tree touches, in words."""
    best: dict[Zone, Stretch] = {}
    for one in sorted(touches, key=lambda one: one.out_mm[0] - one.out_mm[1]):
        best.setdefault(one.zone, one)
    said = []
    for zone in ZONES:
        if zone not in best:
            continue
        one = best[zone]
        if zone == "top":
            said.append("on the top")
            continue
        out = _range(*one.out_mm)
        said.append(f"on the {zone} {out} mm out, {_range(*one.down_mm)} mm below the top")
    return "; ".join(said) or "nowhere"


def clear_words(laid: Laid, table: Tree) -> str:
    """The largest gap on each side."""
    said = []
    for zone in ("left", "right"):
        gaps = [one.most_mm for one in laid.unloaded.gaps if one.zone == zone]
        if gaps and max(gaps) >= table.shape.gaps_from_mm:
            said.append(f"up to {max(gaps):.0f} mm on the {zone}")
    return " and ".join(said)


def room_words(mm: float) -> str:
    """Room over the top, or none.

    >>> room_words(23.6), room_words(0.0)
    ('24 mm', 'none')
    """
    return "none" if mm < _ROOM_MM else f"{mm:.0f} mm"


def load_lines(laid: Laid, table: Tree) -> Iterator[str]:
    """What the load does, with its range over the stiffness."""
    soft, usual, stiff = laid.loaded
    kg = laid.load_n / GRAVITY
    every = (usual, soft, stiff)
    sinks = f"{usual.sinks_mm:.0f} mm ({_low_high([one.sinks_mm for one in every])})"
    most = f"{usual.most_kpa:.0f} kPa ({_low_high([one.most_kpa for one in every])})"
    yield (
        f"Under {kg:.0f} kg shared over {table.press.length_mm:.0f} mm of back it sinks {sinks}, {_rolls(usual)}, and presses "
        f"most {_where(usual)}, with {most}."
    )
    share = 100 * usual.left_n / laid.load_n
    yield (
        f"The left bears {usual.left_n:.0f} N and the right {usual.right_n:.0f} N, {share:.0f} % and {100 - share:.0f} % of the "
        "load."
    )
    yield (
        f"The ranges go from half to double of {table.press.stiffness_kpa_per_mm:g} kPa for each mm, an own setting: how soft "
        "this back, panel and pad are was not measured."
    )


def along_lines(sides: Sequence[tuple[str, LaidAlong]], table: Tree) -> Iterator[str]:
    """Each side along the back."""
    for name, laid in sides:
        gap = next(one for one in laid.gaps if one.part == "middle")
        said = ALONG[laid.contact].format(
            side=name.capitalize(),
            gap=f"{laid.bridge_mm:.0f} mm (± {laid.bridge_error_mm:.0f})",
            where=f"{gap.behind_mm:.0f} mm",
            angle=f"{laid.rocks_deg:.1f}° (± {laid.rocks_error_deg:.1f})",
            lift=f"{laid.lifts_mm:.0f} mm",
        )
        if laid.contact == "bridges":
            closes = (
                "the gap closes at every stiffness tried"
                if laid.closes
                else "the gap does not close at every stiffness tried"
            )
            said += f"; under half of the load ({laid.load_n / GRAVITY:.1f} kg) {closes}"
        yield said + "."


def along_pressure(name: str, laid: LaidAlong) -> str:
    """How far one side sinks under half of the load, and the greatest pressure of each part of it."""
    soft, usual, stiff = laid.kpa
    parts = [
        f"{part} {usual[at]:.0f} kPa ({_low_high([usual[at], soft[at], stiff[at]])})"
        for at, part in enumerate(("front", "middle", "rear"))
    ]
    sinks = f"{laid.sinks_mm[1]:.0f} mm ({_low_high(laid.sinks_mm)})"
    where = f"under half of the load ({laid.load_n / GRAVITY:.1f} kg) in its middle"
    return f"{name.capitalize()}, {where}: sinks {sinks}; greatest pressure {', '.join(parts)}."


def end_line(behind_mm: float, table: Tree) -> str:
    """Where the bearing part ends."""
    error = table.last_rib.error_mm
    where = f"{abs(behind_mm):.0f} mm {_way(behind_mm)}"
    if abs(behind_mm) <= error:
        return f"The bearing part ends at the last rib: {where} it, within the {error:g} mm a rib found by hand may be off."
    return f"The bearing part ends {where} the last rib (± {error:g} mm, for the rib is found by hand)."


def _way(behind_mm: float) -> str:
    return "behind" if behind_mm >= 0 else "before"


def _angle(of: SideAngle) -> str:
    return f"{steeper(of.degrees)} (± {of.error_deg:.1f})"


def _each(words: str, left: tuple[float, float], right: tuple[float, float]) -> str:
    one, other = words.format(*left), words.format(*right)
    return one if one == other else f"left {one}, right {other}"


def _range(low: float, high: float) -> str:
    one, other = f"{min(low, high):.0f}", f"{max(low, high):.0f}"
    return one if one == other else f"{one} to {other}"


def _low_high(values: Sequence[float]) -> str:
    return f"{min(values):.0f} to {max(values):.0f}"


def _rooms(values: Sequence[float]) -> str:
    """The room under load, usual stiffness first, then from the least to the most of the three."""
    usual, least, most = values[1], min(values), max(values)
    if most < _ROOM_MM:
        return f"none, pressed in {-usual:.0f} mm ({_low_high([-one for one in values])})"
    if least < _ROOM_MM:
        return f"{'none' if usual < _ROOM_MM else f'{usual:.0f} mm'} (none to {most:.0f} mm)"
    return f"{usual:.0f} mm ({_low_high(values)})"


def _rolls(one: Loaded) -> str:
    if abs(one.rolls_deg) < 0.05:
        return "does not roll further"
    return f"rolls {abs(one.rolls_deg):.1f}° to the {'left' if one.rolls_deg > 0 else 'right'}"


def _where(one: Loaded) -> str:
    if one.most_zone == "top":
        return "on the top"
    return f"on the {one.most_zone}, {one.most_out_mm:.0f} mm out and {one.most_down_mm:.0f} mm below the top"
