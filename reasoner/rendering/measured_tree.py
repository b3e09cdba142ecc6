"""What a tree laid on a traced back says: each station across, the lines along, and where the bearing part ends.

In: the outlines of a visit or of a table of tracings. Out: `Told`, with pictures.
Not here: the solving (measures/contact.py, contact_along.py), single sentences (tree_words.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from math import degrees
from typing import Any

from reasoner.facts.measured_tree import Across, Along, across_at, along_of, end_of_bearing, stations_of, table_of
from reasoner.facts.traced import shown
from reasoner.measures.contact import Laid, Stretch
from reasoner.measures.contact_along import LaidAlong, both_sides, length_word
from reasoner.measures.contact_angle import SideAngle
from reasoner.rendering.amounts import behind
from reasoner.rendering.measured import Told
from reasoner.rendering.tree_along_picture import along_picture
from reasoner.rendering.tree_picture import tree_picture
from reasoner.rendering.tree_words import across_lines, along_lines, along_pressure, end_line, steeper
from reasoner.rulebook.measures.tree import Basis, Tree
from reasoner.rulebook.pages import bases
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Outline, Visit

KEY = "tree"


def told(visit: Visit, book: Rulebook) -> Iterator[Told]:
    """Every station where back and saddle were both traced, the lines along, and the end of the bearing part."""
    table = table_of(book)
    load_kg, given = load_of(visit, table)
    yield from told_of(visit.outlines, load_kg, table, load_given=given)
    ends = end_of_bearing(visit)
    if ends is not None:
        yield told_end(ends[0], table)


def load_of(visit: Visit, table: Tree) -> tuple[float, bool]:
    """The load (kg): the sum of the visit's entries for it, or what is assumed; and whether it was written."""
    written = [visit.noted_value(key) for key in table.load_entries]
    found = [float(value) for value in written if isinstance(value, Decimal)]
    whole = sum(found)
    given = len(found) == len(written) and 0 < whole <= table.press.most_kg
    return (whole, True) if given else (table.press.kg, False)


def told_of(
    outlines: tuple[Outline, ...], load_kg: float, table: Tree, *, station: str = "", load_given: bool = True
) -> Iterator[Told]:
    """The stations (or the one asked for) and, unless one was asked for, the lines along."""
    for one in [station] if station else stations_of(outlines):
        yield told_across(across_at(outlines, one, load_kg, table), table, load_given)
    along = None if station else along_of(outlines, load_kg, table)
    if along is not None:
        yield told_along(along, table, load_given)


def told_across(across: Across, table: Tree, load_given: bool) -> Told:
    """One station."""
    title = f"Tree against back at {at_station(across.station)}"
    laid = across.laid
    if laid is None:
        return _not_laid(title, tuple(f"{p.sentence} {p.hint}".strip() for p in across.wrong), table)
    lines = tuple(across_lines(laid, table))
    known = [one for one in table.known if one.word == laid.word]
    says = " ".join(["Seen from behind, the horse's own left at the left.", *lines[:4]])
    missing = []
    if laid.unloaded.clearance_mm is None:
        missing.append("The arch of the tree was not traced, so the room over the top is not told.")
    if not load_given:
        missing.append(f"Rider and saddle were not weighed; {table.press.kg:g} kg together is assumed.")
    under = [_short_angle("left", laid.angles.left), _short_angle("right", laid.angles.right)]
    return Told(
        key=KEY,
        title=title,
        lines=(*lines, _behind(table), *(one.says for one in known)),
        rests_on=_bases(
            table, [table.traced.basis, table.follows.basis, table.press.basis, *(one.basis for one in known)]
        ),
        cautions=tuple(one.says for one in table.cautions),
        not_measured=tuple(missing),
        picture=tree_picture(laid, table, title, says, under),
        picture_says=says,
        numbers=_numbers(across=across_numbers(across.station, laid)),
    )


def _behind(table: Tree) -> str:
    return behind(table.traced.times, f"the end of a traced line {table.traced.mm:g} mm, own setting, none is in print")


def told_along(along: Along, table: Tree, load_given: bool) -> Told:
    """Both sides along."""
    title = "Tree along the back"
    sides = [(name, one) for name, one in (("left", along.left), ("right", along.right)) if one is not None]
    wrong = tuple(f"{p.sentence} {p.hint}".strip() for p in along.wrong)
    if not sides:
        return _not_laid(title, wrong or ("No side was traced both on the back and under the saddle.",), table)
    lines = list(along_lines(sides, table))
    word = None
    if along.left is not None and along.right is not None:
        word = both_sides(along.left.contact, along.right.contact)
        if word is None:
            lines.append("The sides say different things, so no one word is written for the panel's contact.")
    known = [one for one in table.known if any(one.word == of.contact for _, of in sides)]
    by_side = dict.fromkeys(("left", "right")) | {name: along_numbers(of) for name, of in sides}
    says = " ".join(["Seen from the side, the front at the left.", *lines])
    missing = [f"The {name} was not traced on both." for name in ("left", "right") if name not in dict(sides)]
    if not load_given:
        missing.append(f"Rider and saddle were not weighed; {table.press.kg:g} kg together is assumed.")
    return Told(
        key=KEY,
        title=title,
        lines=(*lines, _behind(table), *(one.says for one in known)),
        more=tuple(along_pressure(name, of) for name, of in sides),
        rests_on=_bases(table, [table.lengthwise.basis, table.press.basis, *(one.basis for one in known)]),
        cautions=tuple(one.says for one in table.cautions),
        not_measured=(*wrong, *missing),
        picture=along_picture(sides, table, title, says, []),
        picture_says=says,
        numbers=_numbers(along={"contact": word, **by_side}),
    )


def told_end(behind_mm: float, table: Tree) -> Told:
    """Where the bearing part ends against the last rib."""
    word = length_word(behind_mm, table)
    known = [one for one in table.known if one.word == word]
    return Told(
        key=KEY,
        title="Length against the last rib",
        lines=(end_line(behind_mm, table), *(one.says for one in known)),
        rests_on=_bases(table, [table.last_rib.basis, *(one.basis for one in known)], cautions=False),
        cautions=(table.last_rib.says,),
        numbers=_numbers(
            end={"behind_the_last_rib_mm": behind_mm, "error_mm": table.last_rib.error_mm, "length": word}
        ),
    )


def at_station(station: str) -> str:
    """A station within a sentence: T13, the withers."""
    name = shown(station)
    return name if name.isupper() else f"the {name}"


def across_numbers(station: str, laid: Laid) -> dict[str, Any]:
    """One station for programs."""
    return {
        "station": station,
        "word": laid.word,
        "left": _side_numbers(laid.left, laid.angles.left),
        "right": _side_numbers(laid.right, laid.angles.right),
        "mean_deg": laid.angles.mean_deg,
        "mean_error_deg": laid.angles.mean_error_deg,
        "shifted_mm": laid.unloaded.pose.shift_mm,
        "rolled_deg": degrees(laid.unloaded.pose.roll_rad),
        "held_level": laid.held_level,
        "clearance_mm": laid.unloaded.clearance_mm,
        "touches": [_stretch_numbers(one) for one in laid.unloaded.touches],
        "gaps": [_stretch_numbers(one) for one in laid.unloaded.gaps],
        "load_n": laid.load_n,
        "loaded": [
            {
                "stiffness_kpa_per_mm": one.stiffness_kpa_per_mm,
                "sinks_mm": one.sinks_mm,
                "rolls_deg": one.rolls_deg,
                "shifts_mm": one.shifts_mm,
                "left_n": one.left_n,
                "right_n": one.right_n,
                "most_kpa": one.most_kpa,
                "most_zone": one.most_zone,
                "most_out_mm": one.most_out_mm,
                "most_down_mm": one.most_down_mm,
                "clearance_mm": one.sitting.clearance_mm,
            }
            for one in laid.loaded
        ],
    }


def along_numbers(laid: LaidAlong) -> dict[str, Any]:
    """One side along for programs."""
    return {
        "contact": laid.contact,
        "carries_mm": list(laid.carries_mm),
        "gaps": [{"part": one.part, "most_mm": one.most_mm, "behind_mm": one.behind_mm} for one in laid.gaps],
        "bridge_mm": laid.bridge_mm,
        "bridge_error_mm": laid.bridge_error_mm,
        "rocks_deg": laid.rocks_deg,
        "rocks_error_deg": laid.rocks_error_deg,
        "lifts_mm": laid.lifts_mm,
        "load_n": laid.load_n,
        "loaded": [
            {"sinks_mm": sinks, "front_kpa": kpa[0], "middle_kpa": kpa[1], "rear_kpa": kpa[2]}
            for sinks, kpa in zip(laid.sinks_mm, laid.kpa, strict=True)
        ],
        "closes": laid.closes,
    }


def _side_numbers(word: str, of: SideAngle) -> dict[str, Any]:
    return {
        "word": word,
        "steeper_deg": of.degrees,
        "error_deg": of.error_deg,
        "tree_deg": of.tree_deg,
        "back_deg": of.back_deg,
        "from_mm": of.from_mm,
        "to_mm": of.to_mm,
    }


def _stretch_numbers(one: Stretch) -> dict[str, Any]:
    return {"zone": one.zone, "out_mm": list(one.out_mm), "down_mm": list(one.down_mm), "most_mm": one.most_mm}


def _short_angle(side: str, of: SideAngle) -> str:
    return f"{side}: {steeper(of.degrees)} than the back, ± {of.error_deg:.1f}°"


def _not_laid(title: str, why: Sequence[str], table: Tree) -> Told:
    return Told(
        key=KEY,
        title=title,
        lines=("The tree could not be laid down.",),
        rests_on=_bases(table, [table.shape.basis]),
        not_measured=tuple(why),
        cautions=tuple(one.says for one in table.cautions),
        numbers=_numbers(),
    )


def _numbers(
    *, across: dict[str, Any] | None = None, along: dict[str, Any] | None = None, end: dict[str, Any] | None = None
) -> dict[str, Any]:
    """Every key is always there."""
    return {"across": across, "along": along, "end": end}


def _bases(table: Tree, more: Sequence[Basis], *, cautions: bool = True) -> tuple[str, ...]:
    every = [*more, *((one.basis for one in table.cautions) if cautions else ())]
    return tuple(dict.fromkeys(one for basis in every for one in bases(basis)))
