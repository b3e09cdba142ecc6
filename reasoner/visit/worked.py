"""What was done: places worked on, how, for how long, and how sore they were afterwards.

In: the list under `worked on`. Out: `Worked` entries, and the readings after work as touches.
Not here: what ought to have been done.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from reasoner.quantities import NotAQuantity, read_quantity
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Place
from reasoner.visit.model import Side, Touch, Worked
from reasoner.visit.one_touch import read_score
from reasoner.visit.reader import Reader, Sided, fields, listed, plain, quote, sides_of
from reasoner.visit.touches import Touches, find_place, unknown_place

NAME = "worked on"
FIELDS = fields(place="", side="", how="", minutes="minute", after="after_work", note="notes")
#: Longer on one place is a slip of the pen (own setting).
MOST_MINUTES = 240


def read_worked(reader: Reader, node: Node) -> tuple[Worked, ...]:
    """Every entry in the order written; `both` gives one for each side."""
    if node.text == "":
        return ()
    items = node.value if isinstance(node.value, list) else [node]
    return tuple(worked for item in items for worked in _read_one(reader, item))


def _read_one(reader: Reader, node: Node) -> Iterator[Worked]:
    before = len(reader.problems)
    values = {name: value for name, (_, value) in reader.mapping(node, FIELDS, NAME).items()}
    if len(reader.problems) == before and (missing := [name for name in ("place", "how") if name not in values]):
        reader.say(node.line, "VF24", f"{NAME}: {listed(missing, 'and')} missing in this entry.",
                   "Write {place: .., side: left, how: held, minutes: 4}.")  # fmt: skip
    name = reader.word(values["place"], f"{NAME}, place") if "place" in values else None
    found = find_place(reader, name) if name else None
    if name and found is None:
        unknown_place(reader, values["place"], NAME)
    sides = _sides(reader, found, values, node.line) if found else None
    how = reader.free_text(values["how"], f"{NAME}, how") if "how" in values else ""
    minutes = _minutes(reader, values["minutes"]) if "minutes" in values else None
    after = _after(reader, values["after"]) if "after" in values else None
    note = reader.free_text(values["note"], f"{NAME}, note") if "note" in values else ""
    if found is None or sides is None or len(reader.problems) > before:
        return
    worked = Worked(
        place=found[0].key, side=None, how=how, minutes=minutes, after=after, note=note,
        line=values["after"].line if after is not None else node.line,
    )  # fmt: skip
    for side in sides:
        yield worked if side is None else replace(worked, side=side)


def _sides(
    reader: Reader, found: tuple[Place, Sided | None], values: dict[str, Node], line: int
) -> tuple[Side | None, ...] | None:
    place, before_name = found
    text = reader.word(values["side"], f"{NAME}, side") if "side" in values else None
    if "side" in values and text is None:
        return None
    written = reader.side(text) if text else None
    if text and written is None:
        sentence = f"{NAME}, side: {quote(text)} is no side; expected left, right or both."
        reader.unknown(values["side"].line, "VF24", text, sentence, reader.vocabulary.side_of)
        return None
    sided = before_name or written
    if place.sides == "midline":
        if sided is not None:
            reader.say(
                line, "VF09", f"{NAME}: {place.name} lies on the midline and has no sides.", "Leave the side out."
            )
            return None
        return (None,)
    if sided is None:
        reader.say(
            line,
            "VF08",
            f"{NAME}: {place.name} has two sides, and none is written.",
            "Write side: left, right or both.",
        )
        return None
    if before_name and written and before_name != written:
        reader.say(line, "VF14", f"{NAME}: {before_name} stands before the name and {written} behind it.")
        return None
    return sides_of(sided)


def _minutes(reader: Reader, node: Node) -> Decimal | None:
    text = reader.word(node, f"{NAME}, minutes")
    if text is None:
        return None
    try:
        bare = text.replace(".", "", 1).isdecimal()
        minutes = read_quantity(f"{text} min" if bare else text, "time") / 60
    except NotAQuantity as fault:
        reader.say(node.line, "VF16", f"{NAME}, minutes: {fault.sentence}", fault.hint)
        return None
    if not 0 < minutes <= MOST_MINUTES:
        reader.say(node.line, "VF17", f"{NAME}, minutes: {quote(text)} is not possible; expected up to {MOST_MINUTES}.")
        return None
    return minutes


def _after(reader: Reader, node: Node) -> Decimal | None:
    what = f"{NAME}, after"
    text = reader.word(node, what)
    if text is None:
        return None
    try:
        read_quantity(text.removeprefix("-").replace(".", "", 1), "count")
    except NotAQuantity:
        reader.say(node.line, "VF11", f"{what}: {quote(text)} is not a soreness; expected a number from 0 to 10.")
        return None
    return read_score(reader, node, text, what)


def add_after(touches: Touches, worked: tuple[Worked, ...]) -> None:
    """The readings after work, as second readings of their places.

    Where a place was worked on more than once the highest is kept: nothing that was felt is hidden by a later, easier
    number. A reading written under palpation as well must be the last of them.
    """
    written = {(t.place, t.side): t for t in touches.entries if t.when == "after_work"}
    last: dict[tuple[str, Side | None], Worked] = {}
    highest: dict[tuple[str, Side | None], Worked] = {}
    for entry in worked:
        if entry.after is None:
            continue
        where = (entry.place, entry.side)
        last[where] = entry
        if where not in highest or entry.after > (highest[where].after or 0):
            highest[where] = entry
    for where, entry in highest.items():
        said = written.get(where)
        if said is None:
            touches.add(
                Touch(place=entry.place, side=entry.side, when="after_work", soreness=entry.after, line=entry.line)
            )
        elif said.soreness is not None and said.soreness != last[where].after:
            name = touches.reader.vocabulary.places[entry.place].name
            side = f", {entry.side}" if entry.side else ""
            touches.reader.say(
                last[where].line, "VF10",
                f"{name}{side}: after work is {plain(str(said.soreness))} on line {said.line} and "
                f"{last[where].after} on line {last[where].line}.", "Keep one of them.",
            )  # fmt: skip
