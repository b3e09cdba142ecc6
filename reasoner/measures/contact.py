"""A tree laid on a back at one station, seen from behind: where it touches, clears and presses, and how its sides stand.

In: the sides of both lines (mm), a load, the table of this measure. Out: `Laid`, numbers and words for programs and pictures.
Not here: the solving (contact_rest, contact_load), sentences, what follows for the horse.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from math import dist, radians
from typing import Literal

import numpy as np

from reasoner.frozen import frozen
from reasoner.measures.contact_angle import Angles, angles
from reasoner.measures.contact_load import Bed, Pressed, pressed
from reasoner.measures.contact_rest import rest, settled
from reasoner.measures.contact_shapes import (
    Line,
    Point,
    Pose,
    across,
    centroid,
    continued,
    nearest_on,
    not_beyond,
    pieces_across,
    refuse,
    side_of,
    with_corners,
)
from reasoner.problems import BadInput
from reasoner.quantities import STANDARD_GRAVITY
from reasoner.rulebook.measures.tree import Tree

Zone = Literal["left", "top", "right"]
SideWord = Literal["narrower", "follows", "wider"]
Word = Literal["narrower", "follows", "wider", "pinches_left", "pinches_right", "opens_left", "opens_right", "twisted"]
STEP_MM = 1.0
SIDES: tuple[Literal["left"], Literal["right"]] = ("left", "right")


@frozen(kw_only=True)
class Stretch:
    """A part of the tree's line in one zone: mm out from the midline and mm down from the top of the back, from inside to
    outside. `most_mm` is its greatest distance to the back (0 where it touches), `most_at` that point of the tree."""

    zone: Zone
    out_mm: tuple[float, float]
    down_mm: tuple[float, float]
    most_mm: float
    most_at: Point
    line: Line


@frozen(kw_only=True)
class Sitting:
    """How a tree lies: its lines there, where it touches, where it clears, and the room over the top (mm up and down; None
    where the arch was not traced, below 0 where it is pressed in)."""

    pose: Pose
    lines: tuple[Line, ...]
    touches: tuple[Stretch, ...]
    gaps: tuple[Stretch, ...]
    clearance_mm: float | None


@frozen(kw_only=True)
class Loaded:
    """How a tree lies under a load in a bed of one stiffness, against its unloaded rest: `sinks_mm` of its weight's point,
    `rolls_deg` (positive: down on the left), `shifts_mm` (positive: to the right). Forces upwards, left and right of the
    midline, add up to the load. `most_kpa` is the greatest pressure, in `most_zone`, so far out and down."""

    stiffness_kpa_per_mm: float
    sitting: Sitting
    sinks_mm: float
    rolls_deg: float
    shifts_mm: float
    left_n: float
    right_n: float
    most_kpa: float
    most_zone: Zone
    most_out_mm: float
    most_down_mm: float


@frozen(kw_only=True)
class Laid:
    """One station. `loaded` holds half, once and twice the stiffness of the table, in this order.

    `held_level`: free to roll it would not come to rest, or only far over, unloaded or under the load, as a tree that sits on
    the ridge alone; it was then kept from rolling, as a girth keeps it.
    """

    back: Line
    unloaded: Sitting
    loaded: tuple[Loaded, Loaded, Loaded]
    load_n: float
    held_level: bool
    angles: Angles
    left: SideWord
    right: SideWord
    word: Word


def laid(
    back: tuple[Sequence[tuple[object, object]], Sequence[tuple[object, object]]],
    tree: tuple[Sequence[tuple[object, object]], Sequence[tuple[object, object]]],
    load_kg: float,
    table: Tree,
) -> Laid:
    """Lay a tree on a back and press it in. `back` and `tree` are their left and right: points (out, down) in mm, out from the
    midline. load_kg: rider and saddle, above 0 and up to the table's most. Raises BadInput (MS30-MS36)."""
    if not 0 < load_kg <= table.press.most_kg:
        refuse("MS33", f"a load of {load_kg:g} kg; more than 0 and up to {table.press.most_kg:g} kg was expected.",
               "It is the weight of rider and saddle together.")  # fmt: skip
    on = across(*(side_of(side, f"the {name} of the back") for side, name in zip(back, SIDES, strict=True)))
    left, right = (side_of(side, f"the {name} of the tree") for side, name in zip(tree, SIDES, strict=True))
    pieces = pieces_across(left, right, table.shape.arch_within_mm)
    not_beyond(pieces, on, table.shape.spare_mm, ("on the left", "on the right"))
    # What lies beyond the tracing is a straight continuation, so that nothing can slip off its end.
    under = continued(on, 2 * max(-pieces[0][0][0], pieces[-1][-1][0]))
    weight_at = centroid(pieces)
    load_n = load_kg * float(STANDARD_GRAVITY)
    stiffness = table.press.stiffness_kpa_per_mm
    beds = [Bed(stiffness_kpa_per_mm=stiffness * times, depth_mm=table.press.length_mm) for times in (0.5, 1.0, 2.0)]
    at, rolls = settled(pieces, under, weight_at, radians(table.shape.most_roll_deg))
    try:
        soft, usual, stiff = (_loaded(pieces, under, weight_at, load_n, bed, at, table, rolls) for bed in beds)
    except BadInput as bad:
        if not rolls or any(problem.code != "MS36" for problem in bad.problems):
            raise
        # What the load tips over is held level from the start.
        at, rolls = rest(pieces, under, weight_at, may_roll=False), False
        soft, usual, stiff = (_loaded(pieces, under, weight_at, load_n, bed, at, table, rolls) for bed in beds)
    unloaded = _sitting(pieces, under, at, table)
    found = _angles(unloaded, on, table)
    sides = _side_words(found, table)
    return Laid(
        back=on, unloaded=unloaded, loaded=(soft, usual, stiff), load_n=load_n,
        held_level=not rolls, angles=found, left=sides[0], right=sides[1], word=_word(sides[0], sides[1]),
    )  # fmt: skip


def _sitting(pieces: Sequence[Line], back: Line, at: Pose, table: Tree) -> Sitting:
    lines = tuple(at.of(with_corners(piece, STEP_MM)) for piece in pieces)
    touches: list[Stretch] = []
    gaps: list[Stretch] = []
    top = max(z for _, z in back)
    for line in lines:
        near, under = nearest_on(back, np.array(line))
        away = [0.0 if below else dist(a, b) for a, b, below in zip(line, near.tolist(), under.tolist(), strict=True)]
        marked = [(point, gap, gap <= table.shape.touches_within_mm, zone_of(point[0], table.shape.top_mm))
                  for point, gap in zip(line, away, strict=True)]  # fmt: skip
        for (touching, zone), group in groupby(marked, key=lambda one: (one[2], one[3])):
            part = list(group)
            (touches if touching else gaps).append(_stretch([(p, g) for p, g, _, _ in part], zone, top))
    return Sitting(
        pose=at, lines=lines, touches=tuple(touches), gaps=tuple(gaps), clearance_mm=_room(lines, back, table)
    )


def _stretch(part: Sequence[tuple[Point, float]], zone: Zone, top: float) -> Stretch:
    if zone == "left":
        part = part[::-1]
    (first, _), (last, _) = part[0], part[-1]
    most_at, most = max(part, key=lambda one: one[1])
    return Stretch(
        zone=zone, out_mm=(abs(first[0]), abs(last[0])), down_mm=(top - first[1], top - last[1]), most_mm=most,
        most_at=most_at, line=tuple(point for point, _ in part),
    )  # fmt: skip


def zone_of(x: float, top_mm: float) -> Zone:
    """Where a place lies, seen from behind: left of the top of the back, on it, or right of it."""
    return "left" if x < -top_mm else "right" if x > top_mm else "top"


def _room(lines: Sequence[Line], back: Line, table: Tree) -> float | None:
    """The least height of the tree over the top of the back, or None where no line spans the top."""
    if len(lines) > 1:
        return None
    corners, under = np.array(lines[0]), np.array(back)
    wide = table.shape.top_mm
    places = np.unique(
        np.concatenate([np.linspace(-wide, wide, int(4 * wide) + 1), under[np.abs(under[:, 0]) < wide, 0]])
    )
    room = np.interp(places, corners[:, 0], corners[:, 1]) - np.interp(places, under[:, 0], under[:, 1])
    return float(room.min())


def _loaded(
    pieces: Sequence[Line], back: Line, weight_at: Point, load_n: float, bed: Bed, at: Pose, table: Tree, rolls: bool
) -> Loaded:
    found = pressed(pieces, back, weight_at, load_n, bed, at=at, may_roll=rolls)
    before, after = at.of([weight_at])[0], found.pose.of([weight_at])[0]
    most, (x, z) = max(zip(found.kpa, found.points, strict=True), key=lambda one: one[0])
    left_n, right_n = shares(found)
    return Loaded(
        stiffness_kpa_per_mm=bed.stiffness_kpa_per_mm,
        sitting=_sitting(pieces, back, found.pose, table),
        sinks_mm=before[1] - after[1],
        rolls_deg=float(np.degrees(found.pose.roll_rad - at.roll_rad)),
        shifts_mm=after[0] - before[0],
        left_n=left_n, right_n=right_n, most_kpa=most, most_zone=zone_of(x, table.shape.top_mm),
        most_out_mm=abs(x), most_down_mm=max(height for _, height in back) - z,
    )  # fmt: skip


def shares(found: Pressed) -> tuple[float, float]:
    """The upward force on the left and on the right of the midline (N)."""
    far = 1e9
    return found.force_n(-far, 0.0), found.force_n(0.0, far)


def _angles(sitting: Sitting, back: Line, table: Tree) -> Angles:
    line_of = (sitting.lines[0], sitting.lines[-1])
    left = _bears(-line_of[0][0][0], -line_of[0][-1][0], -back[0][0], table, "left")
    right = _bears(line_of[1][-1][0], line_of[1][0][0], back[-1][0], table, "right")
    touching = [x for stretch in sitting.touches for x, _ in stretch.line]
    both = touching and min(touching) < 0 < max(touching)
    base = max(touching) - min(touching) if both else left[1] + right[1]
    return angles(
        line_of, back, (left, right), error_mm=table.traced.mm, times=table.traced.times,
        roll_base_mm=max(base, table.shape.bears_from_mm),
    )  # fmt: skip


def _bears(outer: float, inner: float, traced: float, table: Tree, side: str) -> tuple[float, float]:
    """The stretch over which one side bears and the back was traced (mm out)."""
    low, high = max(inner, table.shape.bears_from_mm), min(outer, traced)
    if high - low < table.shape.bears_from_mm / 2:
        refuse(
            "MS31",
            f"the {side} of the tree bears from {low:.0f} to {high:.0f} mm out, which is too short to read an angle from.",
            f"Both lines should reach at least {1.5 * table.shape.bears_from_mm:.0f} mm out from the midline.",
        )
    return low, high


def _side_words(found: Angles, table: Tree) -> tuple[SideWord, SideWord]:
    """The word of each side. Where left and right do not differ beyond their error, both take the word of their mean, which
    the roll cannot touch: a wide tree that sits on the ridge may roll a long way either way."""
    if abs(found.apart_deg) <= found.apart_error_deg:
        word = _side_word(found.mean_deg, found.mean_error_deg, table)
        return word, word
    left, right = (_side_word(one.degrees, one.error_deg, table) for one in (found.left, found.right))
    return left, right


def _side_word(degrees: float, error: float, table: Tree) -> SideWord:
    if abs(degrees) <= max(error, table.follows.within_deg):
        return "follows"
    return "narrower" if degrees > 0 else "wider"


def _word(left: SideWord, right: SideWord) -> Word:
    if left == right:
        return left
    if "follows" not in (left, right):
        return "twisted"
    if "narrower" in (left, right):
        return "pinches_left" if left == "narrower" else "pinches_right"
    return "opens_left" if left == "wider" else "opens_right"
