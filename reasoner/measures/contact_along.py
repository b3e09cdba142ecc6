"""A panel or bar laid on the back along one side, seen from beside the horse: does it bridge, rock, or carry more at one end?

In: the lines of back and panel from front to rear (mm), both from the same place, a load, the table. Out: `LaidAlong`.
Not here: the solving (contact_rest, contact_load), the section across (contact), sentences.

The panel is laid down three times: pressed in its middle, near its front end and near its rear end. It does not slide along, for
the girth holds it. Two rests that differ are the rocking; a gap under the middle while both ends touch is the bridge.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import dist
from typing import Any, Literal

import numpy as np

from reasoner.frozen import frozen
from reasoner.measures.contact_load import Bed, Pressed, pressed
from reasoner.measures.contact_rest import rest
from reasoner.measures.contact_shapes import (
    LARGEST_MM,
    Line,
    Point,
    Pose,
    along,
    continued,
    nearest_on,
    not_beyond,
    refuse,
    side_of,
    with_corners,
)
from reasoner.problems import register
from reasoner.quantities import STANDARD_GRAVITY
from reasoner.rulebook.measures.tree import Tree

register({"MS37": "the end of the bearing part stands on both sides of the last rib"})

Contact = Literal["even", "bridges", "rocks", "more_in_front", "more_behind"]
Part = Literal["front", "middle", "rear"]
PARTS: tuple[Part, Part, Part] = ("front", "middle", "rear")
STEP_MM = 1.0
#: A corner this near carries: what the solver leaves between lines that touch.
_CARRIES_MM = 1e-4


@frozen(kw_only=True)
class Gap:
    """The greatest distance to the back in one part of the panel (mm), and where: mm behind the front end of the panel."""

    part: Part
    most_mm: float
    behind_mm: float
    at: Point


@frozen(kw_only=True)
class LaidAlong:
    """One side. `line` is the panel as it lies pressed in its middle, `pressed_front` and `pressed_rear` its two other rests;
    `carries_mm` are the places it stands on (mm behind the front end). `bridge_mm` is the gap under the middle between two of
    them, `rocks_deg` the angle between the two rests; each error is the table's number of standard deviations. `kpa` is the
    greatest pressure in each part under load, for half, once and twice the stiffness; `closes` whether the middle then touches
    at all three."""

    back: Line
    line: Line
    pressed_front: Line
    pressed_rear: Line
    carries_mm: tuple[float, ...]
    gaps: tuple[Gap, Gap, Gap]
    bridge_mm: float
    bridge_error_mm: float
    rocks_deg: float
    rocks_error_deg: float
    lifts_mm: float
    kpa: tuple[tuple[float, float, float], tuple[float, float, float], tuple[float, float, float]]
    loaded_line: Line
    sinks_mm: tuple[float, float, float]
    load_n: float
    closes: bool
    contact: Contact


def laid_along(
    back: Sequence[tuple[object, object]],
    panel: Sequence[tuple[object, object]],
    load_kg: float,
    table: Tree,
    side: str,
) -> LaidAlong:
    """Lay one panel on one side of the back. Points are (behind, down) in mm, both lines from the same place backwards.

    load_kg: what this side carries, above 0 and up to the table's most. Raises BadInput (MS30-MS36).
    """
    if not 0 < load_kg <= table.press.most_kg:
        refuse("MS33", f"a load of {load_kg:g} kg; more than 0 and up to {table.press.most_kg:g} kg was expected.")
    on = along(side_of(back, f"the {side} of the back along"))
    piece = along(side_of(panel, f"the {side} of the saddle along"))
    not_beyond([piece], on, table.shape.spare_mm, (f"in front, on the {side},", f"behind, on the {side},"))
    front, rear = piece[0][0], piece[-1][0]
    under = continued(on, rear - front)
    how, middle = table.lengthwise, (front + rear) / 2
    near = how.pressed_at * (rear - front)
    lying, in_front, behind = (_rest(piece, under, at) for at in (middle, front + near, rear - near))
    corners = _carrying(piece, under, lying)
    bridge, bridge_error = _bridge(piece, under, lying, corners, table)
    angle, angle_error = _rocking(piece, under, in_front, behind, near, table)
    load_n = load_kg * float(STANDARD_GRAVITY)
    found = [
        pressed([piece], under, _on(piece, middle), load_n, bed, at=lying, may_shift=False)
        for bed in (
            Bed(stiffness_kpa_per_mm=table.press.stiffness_kpa_per_mm * times, depth_mm=table.press.width_mm)
            for times in (0.5, 1.0, 2.0)
        )
    ]
    kpa = tuple(_greatest(one, front, rear, table) for one in found)
    lifts = _lift(piece, in_front, behind)
    return LaidAlong(
        back=on,
        line=_line(piece, lying),
        pressed_front=_line(piece, in_front),
        pressed_rear=_line(piece, behind),
        carries_mm=tuple(x - front for x in corners),
        gaps=_gaps(_line(piece, lying), under, front, rear, table),
        bridge_mm=bridge,
        bridge_error_mm=bridge_error,
        rocks_deg=angle,
        rocks_error_deg=angle_error,
        lifts_mm=lifts,
        kpa=(kpa[0], kpa[1], kpa[2]),
        loaded_line=_line(piece, found[1].pose),
        sinks_mm=tuple(_sinks(piece, middle, lying, one.pose) for one in found),  # type: ignore[arg-type]
        load_n=load_n,
        closes=all(of[1] > 0 for of in kpa),
        contact=_contact(bridge, bridge_error, angle, angle_error, lifts, kpa, table),
    )


def both_sides(left: Contact, right: Contact) -> Contact | None:
    """One word for the saddle: what both sides say, or the one that is not even; None where they say different things."""
    said = {left, right} - {"even"}
    return "even" if not said else said.pop() if len(said) == 1 else None


def behind_the_rib(behind_mm: float | None, before_mm: float | None) -> float:
    """Where the bearing part ends, as one number: mm behind the last rib, below 0 in front of it. Exactly one is given.

    >>> behind_the_rib(None, 30.0)
    -30.0
    """
    if (behind_mm is None) == (before_mm is None):
        refuse("MS37", "the bearing part ends both before and behind the last rib.", "Write the one or the other.")
    value = behind_mm if behind_mm is not None else -(before_mm or 0.0)
    if abs(value) > LARGEST_MM:
        refuse("MS31", f"{value:g} mm from the last rib; millimetres were expected.")
    return value


def length_word(
    behind_mm: float, table: Tree
) -> Literal["before_the_last_rib", "at_the_last_rib", "behind_the_last_rib"]:
    """What is within the error of a rib found by hand ends at it."""
    if abs(behind_mm) <= table.last_rib.error_mm:
        return "at_the_last_rib"
    return "behind_the_last_rib" if behind_mm > 0 else "before_the_last_rib"


def _on(piece: Line, x: float) -> Point:
    corners = np.array(piece)
    return x, float(np.interp(x, corners[:, 0], corners[:, 1]))


def _rest(piece: Line, back: Line, x: float) -> Pose:
    return rest([piece], back, _on(piece, x), may_shift=False)


def _line(piece: Line, at: Pose) -> Line:
    return at.of(with_corners(piece, STEP_MM))


def _apart(piece: Line, back: Line, at: Pose) -> tuple[Any, Any]:
    """At every corner of either line: its place, and the height of the panel over the back there (mm)."""
    panel, under = np.array(at.of(piece)), np.array(back)
    inside = under[(under[:, 0] > panel[0, 0]) & (under[:, 0] < panel[-1, 0]), 0]
    places = np.unique(np.concatenate([panel[:, 0], inside]))
    return places, np.interp(places, panel[:, 0], panel[:, 1]) - np.interp(places, under[:, 0], under[:, 1])


def _carrying(piece: Line, back: Line, at: Pose) -> tuple[float, ...]:
    """Where the panel stands on the back: corners that touch, the outermost of those that lie together."""
    places, apart = _apart(piece, back, at)
    return tuple(float(x) for x in places[apart <= _CARRIES_MM])


def _gaps(line: Line, back: Line, front: float, rear: float, table: Tree) -> tuple[Gap, Gap, Gap]:
    near, under = nearest_on(back, np.array(line))
    found: dict[Part, Gap] = {}
    for point, on, below in zip(line, near.tolist(), under.tolist(), strict=True):
        part = part_of(point[0], front, rear, table)
        gap = 0.0 if below else dist(point, on)
        if part not in found or gap > found[part].most_mm:
            found[part] = Gap(part=part, most_mm=gap, behind_mm=point[0] - front, at=point)
    return found["front"], found["middle"], found["rear"]


def part_of(x: float, front: float, rear: float, table: Tree) -> Part:
    """The part of a panel a place lies in."""
    share = (x - front) / (rear - front)
    if share < table.lengthwise.middle_from:
        return "front"
    return "rear" if share > table.lengthwise.middle_to else "middle"


def _bridge(piece: Line, back: Line, at: Pose, carries: Sequence[float], table: Tree) -> tuple[float, float]:
    """The greatest gap under the middle between what it stands on in front and behind (mm), and its error; 0 where it stands
    on the middle. The gap is a height over the line between the two supports, so the error of all three goes into it."""
    from uncertainties import ufloat

    front, rear = piece[0][0], piece[-1][0]
    ahead = [x for x in carries if part_of(x, front, rear, table) == "front"]
    after = [x for x in carries if part_of(x, front, rear, table) == "rear"]
    if not ahead or not after or any(part_of(x, front, rear, table) == "middle" for x in carries):
        return 0.0, 0.0
    places, apart = _apart(piece, back, at)
    middle = [(gap, x) for x, gap in zip(places.tolist(), apart.tolist(), strict=True)
              if part_of(x, front, rear, table) == "middle"]  # fmt: skip
    if not middle:
        return 0.0, 0.0
    gap, x = max(middle)
    one, other = max(ahead), min(after)
    share = (x - one) / (other - one)
    each = table.traced.mm * 2**0.5  # back and panel alike
    height = ufloat(gap, each) - (1 - share) * ufloat(0.0, each) - share * ufloat(0.0, each)
    return float(height.nominal_value), float(table.traced.times * height.std_dev)


def _rocking(piece: Line, back: Line, front: Pose, rear: Pose, near: float, table: Tree) -> tuple[float, float]:
    """The angle between the rests pressed in front and behind (degrees, 0 or above), and its error.

    The panel turns on a place between the two presses and comes down on one in front and on one behind it; the heights of these
    three places carry the error. Corners that lie close together are one place to a hand with a pencil, so each arm is taken
    no shorter than a part of the panel.
    """
    from uncertainties import ufloat, umath

    start, end = piece[0][0], piece[-1][0]
    turns_on = [
        min((x for x in _carrying(piece, back, front) if x > start + near), default=end),
        max((x for x in _carrying(piece, back, rear) if x <= end - near), default=start),
    ]
    shortest = (end - start) * table.lengthwise.middle_from
    pivot = min(max(sum(turns_on) / 2, start + shortest), end - shortest)
    each = table.traced.mm * 2**0.5  # back and panel alike
    ahead, under, after = (ufloat(0.0, each) for _ in range(3))
    # Pressed in front the panel lies down in front, which as drawn is a turn against the clock, hence front less rear.
    turned = front.roll_rad - rear.roll_rad
    angle = turned + umath.atan((ahead - under) / (pivot - start)) + umath.atan((after - under) / (end - pivot))
    apart = umath.degrees(angle)
    return max(0.0, float(apart.nominal_value)), float(table.traced.times * apart.std_dev)


def _lift(piece: Line, front: Pose, rear: Pose) -> float:
    """How far the rear end rises when the front is pressed, or the front end when the rear is, whichever is more (mm)."""
    ends = [(a[1] - b[1]) for a, b in zip(front.of([piece[0], piece[-1]]), rear.of([piece[0], piece[-1]]), strict=True)]
    return max(0.0, ends[1], -ends[0])


def _greatest(found: Pressed, front: float, rear: float, table: Tree) -> tuple[float, float, float]:
    by_part = dict.fromkeys(PARTS, 0.0)
    for (x, _), kpa in zip(found.points, found.kpa, strict=True):
        part = part_of(x, front, rear, table)
        by_part[part] = max(by_part[part], kpa)
    return by_part["front"], by_part["middle"], by_part["rear"]


def _sinks(piece: Line, middle: float, before: Pose, after: Pose) -> float:
    place = [_on(piece, middle)]
    return before.of(place)[0][1] - after.of(place)[0][1]


def _contact(
    bridge: float, bridge_error: float, angle: float, angle_error: float, lifts: float,
    kpa: Sequence[tuple[float, float, float]], table: Tree,
) -> Contact:  # fmt: skip
    """The word. Bridging and rocking first, each beyond its own error; an end carries more by the
    table's times at its stiffness, and not less at half and double."""
    how = table.lengthwise
    if bridge > max(bridge_error, how.gap_from_mm):
        return "bridges"
    if angle > max(angle_error, how.rocks_from_deg) and lifts > how.gap_from_mm:
        return "rocks"
    front, _, rear = kpa[1]
    if front >= how.heavier_times * rear and all(one >= other for one, _, other in kpa):
        return "more_in_front"
    if rear >= how.heavier_times * front and all(other >= one for one, _, other in kpa):
        return "more_behind"
    return "even"
