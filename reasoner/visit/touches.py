"""What the hand found: places under `palpation`, and the spaces between the spinous processes.

In: the mapping under those headings. Out: `Touch` entries; each place, side and time at most once.
Not here: `quiet:` (its own module), the words for what was felt (they are data), judgement.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Place, canonical
from reasoner.visit.model import Side, Touch, When
from reasoner.visit.noted import home_of
from reasoner.visit.one_touch import FIELDS, read_touch
from reasoner.visit.reader import Reader, Sided, listed, quote, sides_of

PALPATION, SPACES = "palpation", "between_the_spinous_processes"
#: The group of places that has a heading of its own.
SPACE_GROUP = "spinous_spaces"


class Touches:
    """The readings so far. `claims` holds the line of each place, side and time."""

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self.entries: list[Touch] = []
        self.claims: dict[tuple[str, Side | None, When], int] = {}
        self._named: dict[str, tuple[int, str]] = {}

    def add(self, touch: Touch) -> None:
        """Keep a reading, unless this place, side and time already has one."""
        claim = (touch.place, touch.side, touch.when)
        if claim in self.claims:
            name = self.reader.vocabulary.places[touch.place].name
            when = "" if touch.when == "first" else f", {'once settled' if touch.when == 'settled' else 'after work'}"
            self.reader.twice(touch.line, (f"{name}, {touch.side}" if touch.side else name) + when,
                              self.claims[claim])  # fmt: skip
            return
        self.claims[claim] = touch.line
        self.entries.append(touch)

    def name(self, place: Place, key: str, line: int) -> bool:
        """Note that a whole place is written here; False (and a problem) if it already was, by this or another name."""
        if place.key in self._named:
            first, word = self._named[place.key]
            self.reader.say(line, "VF10", f"{quote(key)} and {quote(word)} are the same place ({place.name}), written "
                            f"on line {first} and on line {line}.", "Keep one of them.")  # fmt: skip
            return False
        self._named[place.key] = (line, key)
        return True


def is_space(place: Place) -> bool:
    """Whether a place is written under its own heading, between the spinous processes."""
    return SPACE_GROUP in map(canonical, place.groups)


def read_palpation(touches: Touches, node: Node) -> None:
    """Every place under `palpation`."""
    _read_places(touches, node, "palpation", spaces=False)


def read_spaces(touches: Touches, node: Node) -> None:
    """Every space under `between the spinous processes`."""
    _read_places(touches, node, "between the spinous processes", spaces=True)


def find_place(reader: Reader, key: str) -> tuple[Place, Sided | None] | None:
    """The place a key names, and the side written before it."""
    sided, rest = reader.split_side(canonical(key), reader.vocabulary.place_of.__contains__)
    if rest not in reader.vocabulary.place_of:
        sided, rest = reader.split_side(rest, lambda word: reader.place_key(word) is not None)
    found = reader.place_key(rest)
    return (reader.vocabulary.places[found], sided) if found else None


def unknown_place(reader: Reader, key_node: Node, heading: str, spaces: bool = False) -> None:
    """Say that a name is no place, and what it is if it is something else."""
    key, vocabulary = key_node.text or "", reader.vocabulary
    region = vocabulary.regions.get(canonical(key))
    if region:
        names = listed((vocabulary.places[p].name for p in region[:4]), "and")
        reader.say(key_node.line, "VF05", f"{quote(key)} is a region with several places ({names}...).",
                   "Write one place, or the region under quiet.")  # fmt: skip
        return
    home = home_of(reader, canonical(key), "palpation")
    if home:
        reader.say(key_node.line, "VF27", f"{quote(key)} does not stand under {heading}.", f"Write it under {home}.")
        return
    known = [p.name for p in vocabulary.places.values() if is_space(p)] if spaces else vocabulary.place_of
    reader.unknown(key_node.line, "VF05", key, f"{quote(key)} is not a place of the vocabulary.", known)


def _read_places(touches: Touches, node: Node, heading: str, *, spaces: bool) -> None:
    reader = touches.reader
    if node.text == "":
        return
    if not isinstance(node.value, dict):
        read = quote(node.text) if node.text is not None else "a list"
        reader.say(node.line, "VF20", f"places were expected under {heading}, and {read} was read.")
        return
    for key, key_node, value in node.items():
        found = find_place(reader, key)
        if found is None:
            unknown_place(reader, key_node, heading, spaces)
            continue
        place, sided = found
        if is_space(place) is not spaces:
            other = "palpation" if spaces else "between the spinous processes"
            reader.say(key_node.line, "VF27", f"{quote(key)} does not stand under {heading}.",
                       f'Write it under "{other}".')  # fmt: skip
        elif sided is not None or touches.name(place, key, key_node.line):
            for touch in _place(reader, place, sided, value, key_node.line):
                touches.add(touch)


def _place(reader: Reader, place: Place, sided: Sided | None, value: Node, line: int) -> Iterator[Touch]:
    """The readings of one place: bare on the midline, side by side elsewhere."""
    has_sides = isinstance(value.value, dict) and any(reader.side(key) for key in value.value)
    if place.sides == "midline":
        if sided is not None or has_sides:
            reader.say(line, "VF09", f"{place.name} lies on the midline and has no sides.",
                       f"Write {place.name}: and the reading.")  # fmt: skip
        else:
            yield from _touches(reader, value, place, (None,), place.name)
    elif sided is not None:
        if has_sides:
            reader.say(line, "VF09", f"{place.name}: the side already stands before the name, and again behind it.")
        else:
            yield from _touches(reader, value, place, sides_of(sided), f"{place.name}, {sided}")
    elif has_sides:
        for side, node in reader.by_side(value, place.name).items():
            yield from _touches(reader, node, place, (side,), f"{place.name}, {side}")
    elif isinstance(value.value, dict) and value.value and not any(canonical(k) in FIELDS for k in value.value):
        reader.by_side(value, place.name)  # says which keys are no sides
    else:
        read = quote(value.text) if value.text else "no side"
        reader.say(line, "VF08", f"{place.name} has two sides: expected left, right or both, and {read} was read.",
                   "Write {left: .., right: ..} or {both: ..}.")  # fmt: skip


def _touches(reader: Reader, node: Node, place: Place, sides: tuple[Side | None, ...], what: str) -> Iterator[Touch]:
    for touch in read_touch(reader, node, place.key, what):
        for side in sides:
            yield touch if side is None else replace(touch, side=side)
