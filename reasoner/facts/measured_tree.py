"""A tree laid on a traced back becomes entries: the angle of each side, what the panel touches, where the bearing part ends.

In: the outlines of a visit and its distances from the last rib. Out: `Noted` entries with the line of the saddle's tracing.
Not here: the geometry (measures/contact.py, contact_along.py), what an entry means, sentences for a page.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from functools import lru_cache
from typing import cast

from reasoner.frozen import frozen
from reasoner.measures.contact import SIDES, Laid, laid
from reasoner.measures.contact_along import LaidAlong, behind_the_rib, both_sides, laid_along, length_word
from reasoner.problems import BadInput, Problem
from reasoner.rulebook.measures.tree import Tree
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Noted, Outline, Side, Visit

BEHIND, BEFORE = "ends_behind_the_last_rib", "ends_before_the_last_rib"


@frozen(kw_only=True)
class Across:
    """A station where back and saddle were both traced: what came of it, or what stood in the way."""

    station: str
    line: int
    laid: Laid | None
    wrong: tuple[Problem, ...] = ()


@frozen(kw_only=True)
class Along:
    """Both lines along, side by side; a side is missing where it was not traced."""

    line: int
    left: LaidAlong | None
    right: LaidAlong | None
    wrong: tuple[Problem, ...] = ()


def table_of(book: Rulebook) -> Tree:
    """The table of this measure."""
    return cast(Tree, book.measures["tree"])


def stations_of(outlines: tuple[Outline, ...]) -> tuple[str, ...]:
    """The stations where both back and saddle were traced across, in the order of the back's."""
    saddles = {o.station for o in outlines if o.of == "saddle" and o.plane == "across"}
    return tuple(o.station for o in outlines if o.of == "back" and o.plane == "across" and o.station in saddles)


@lru_cache(maxsize=64)  # a question judges the same tracing in many rows, and nothing in it can have changed
def across_at(outlines: tuple[Outline, ...], station: str, load_kg: float, table: Tree) -> Across:
    """The tree laid down at one station of `stations_of`."""
    back, saddle = (_one(outlines, of, "across", station) for of in ("back", "saddle"))
    try:
        found = laid((back.left, back.right), (saddle.left, saddle.right), load_kg, table)
    except BadInput as bad:
        return Across(station=station, line=saddle.line, laid=None, wrong=bad.problems)
    return Across(station=station, line=saddle.line, laid=found)


@lru_cache(maxsize=64)
def along_of(outlines: tuple[Outline, ...], load_kg: float, table: Tree) -> Along | None:
    """Both sides along, each carrying half of the load; None where back or saddle was not traced along."""
    if not all(any(o.of == of and o.plane == "along" for o in outlines) for of in ("back", "saddle")):
        return None
    back, saddle = (_one(outlines, of, "along", "") for of in ("back", "saddle"))
    found: list[LaidAlong | None] = []
    wrong: list[Problem] = []
    for side in SIDES:
        on, under = getattr(back, side), getattr(saddle, side)
        if not on or not under:
            found.append(None)
            continue
        try:
            found.append(laid_along(on, under, load_kg / 2, table, side))
        except BadInput as bad:
            wrong += bad.problems
            found.append(None)
    return Along(line=saddle.line, left=found[0], right=found[1], wrong=tuple(wrong))


def end_of_bearing(visit: Visit) -> tuple[float, Noted] | None:
    """Where the bearing part ends (mm behind the last rib, below 0 in front) and the entry it stands in; None where nothing
    was written, or both ways round."""
    written = [noted for noted in visit.noted if noted.key in (BEHIND, BEFORE) and isinstance(noted.value, Decimal)]
    if len(written) != 1:
        return None
    value = float(cast(Decimal, written[0].value))
    return behind_the_rib(*((value, None) if written[0].key == BEHIND else (None, value))), written[0]


def front_station(outlines: tuple[Outline, ...], table: Tree) -> str:
    """The station that tells the width in front, or an empty string."""
    traced = stations_of(outlines)
    return next((station for station in table.front_stations if station in traced), "")


def worked_out(visit: Visit, book: Rulebook) -> Iterator[Noted]:
    """Everything that follows. What is within its own error is the middle reading; what cannot be laid down says nothing."""
    table = table_of(book)
    yield from _front(visit, table)
    along = along_of(visit.outlines, table.press.kg, table)
    if along is not None and along.left is not None and along.right is not None:
        yield from _contact(along, along.left, along.right)
    ends = end_of_bearing(visit)
    if ends is not None:
        behind, noted = ends
        word = length_word(behind, table)
        where = f"{abs(behind):.0f} mm {'behind' if behind > 0 else 'before'} it" if behind else "at it"
        written = (
            f"{word.replace('_', ' ')}: {where}, and a rib found by hand may be {table.last_rib.error_mm:g} mm off"
        )
        yield Noted(key="saddle_length", value=word, written=written, line=noted.line)


def _front(visit: Visit, table: Tree) -> Iterator[Noted]:
    station = front_station(visit.outlines, table)
    if not station:
        return
    across = across_at(visit.outlines, station, table.press.kg, table)
    if across.laid is None:
        return
    found = across.laid
    for side, word, angle in (("left", found.left, found.angles.left), ("right", found.right, found.angles.right)):
        way = "steeper" if angle.degrees > 0 else "flatter"
        written = f"{word}: the tree is {abs(angle.degrees):.1f} degrees {way} than the back, give or take {angle.error_deg:.1f}"
        yield Noted(key="tree_angle_by_tracing", side=cast(Side, side), value=word, written=written, line=across.line)
    room = found.unloaded.clearance_mm
    if found.word == "wider" and room is not None and room <= table.shape.touches_within_mm:
        written = "touches: laid down on the tracing it sits on the top"
        yield Noted(key="clearance", value="touches", written=written, line=across.line)


def _contact(along: Along, left: LaidAlong, right: LaidAlong) -> Iterator[Noted]:
    word = both_sides(left.contact, right.contact)
    if word is not None:
        said = ", ".join(f"{side} {_along_words(one)}" for side, one in (("left", left), ("right", right)))
        yield Noted(key="panel_contact", value=word, written=f"{word.replace('_', ' ')}: {said}", line=along.line)


def _along_words(one: LaidAlong) -> str:
    """What one side does, with the number it rests on."""
    if one.contact == "bridges":
        return f"bridges by {one.bridge_mm:.0f} mm, give or take {one.bridge_error_mm:.0f}"
    if one.contact == "rocks":
        return f"rocks by {one.rocks_deg:.1f} degrees, give or take {one.rocks_error_deg:.1f}"
    return one.contact.replace("_", " ")


def _one(outlines: tuple[Outline, ...], of: str, plane: str, station: str) -> Outline:
    return next(o for o in outlines if (o.of, o.plane, o.station) == (of, plane, station))
