"""Headings whose entries are observations: what was seen, measured or asked.

In: the mapping under a heading. Out: `Noted` entries, each typed by the vocabulary.
Not here: palpation, uneven steps leg by leg, the veterinarian's word.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal

from reasoner.quantities import NotAQuantity, dimension_of, plain, read_quantity, unit_size
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Observation, canonical
from reasoner.visit.dates import read_past_date
from reasoner.visit.model import DateSpan, Noted, Side
from reasoner.visit.reader import Reader, Sided, fields, listed, one_of, quote, sides_of
from reasoner.visit.reader import plain as plain_word

_IS = fields(**{"is": "", "note": "notes"})
#: Anyone who writes these outside the veterinarian's word means a grade.
GRADE_WORDS = frozenset({"grade", "grades", "lameness_grade", "lameness_score", "aaep"})


class Notes:
    """The observations read so far; a second one of the same thing is a mistake."""

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self.entries: list[Noted] = []
        self._lines: dict[tuple[str, Side | None, object], int] = {}

    def add(self, noted: Noted) -> None:
        """Keep an entry, unless the same thing was already noted."""
        claim = (noted.key, noted.side, noted.about)
        if claim in self._lines:
            side = f", {noted.side}" if noted.side else ""
            observation = self.reader.vocabulary.observations.get(noted.key)
            name = observation.name if observation else plain_word(noted.key)
            self.reader.twice(noted.line, name + side, self._lines[claim])
            return
        self._lines[claim] = noted.line
        self.entries.append(noted)


def read_section(notes: Notes, section: str, node: Node) -> None:
    """Every observation under the heading `section`, and under the headings inside it."""
    reader = notes.reader
    name = reader.vocabulary.sections[section].name if section in reader.vocabulary.sections else plain_word(section)
    if node.text == "":
        return  # a heading with nothing under it, as in the blank visit
    if not isinstance(node.value, dict):
        read = quote(node.text) if node.text is not None else "a list"
        reader.say(node.line, "VF20", f"{name}: entries were expected under this heading, and {read} was read.")
        return
    inner = {word: key for key, words in _inside(reader, section) for word in words}
    lines: dict[str, int] = {}
    for key, key_node, value in node.items():
        child = inner.get(canonical(key))
        if child is None:
            read_entry(notes, section, name, key_node, value)
        elif child in lines:
            reader.twice(key_node.line, plain_word(child.rpartition("/")[2]), lines[child])
        else:
            lines[child] = key_node.line
            read_section(notes, child, value)


def _inside(reader: Reader, section: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The headings directly inside another, with their spellings."""
    for child in reader.vocabulary.sections.values():
        if child.key.rpartition("/")[0] == section:
            spellings = (child.key.rpartition("/")[2], child.name, *child.also)
            yield child.key, tuple(canonical(word) for word in spellings)


def read_entry(notes: Notes, section: str, name: str, key_node: Node, value: Node) -> None:
    """One line under a heading."""
    reader = notes.reader
    found = find(reader, section, key_node.text or "")
    if found is None:
        unknown_entry(reader, section, name, key_node)
    else:
        observation, sided = found
        for noted in read_observation(reader, observation, value, sided, key_node.line):
            notes.add(noted)


def find(reader: Reader, section: str, key: str) -> tuple[Observation, Sided | None] | None:
    """The observation a key names, and the side written before it."""
    known = reader.vocabulary.within(section)
    sided, rest = reader.split_side(canonical(key), known.__contains__)
    return (reader.vocabulary.observations[known[rest]], sided) if rest in known else None


def unknown_entry(reader: Reader, section: str, name: str, key_node: Node) -> None:
    """Say that a key is not known under this heading, and where it belongs if it belongs elsewhere."""
    key, word, vocabulary = key_node.text or "", canonical(key_node.text or ""), reader.vocabulary
    if word in GRADE_WORDS:
        reader.say(key_node.line, "VF22", f"{quote(key)}: a grade is read only as a veterinarian gave it.",
                   "Write it under veterinarian's word, with scale and date; your own is uneven steps.")  # fmt: skip
        return
    home = home_of(reader, word, section)
    if home:
        reader.say(key_node.line, "VF27", f"{quote(key)} does not stand under {name}.", f"Write it under {home}.")
        return
    known = [o.name for o in vocabulary.observations.values() if o.section == section]
    sentence = f"{quote(key)} is not an entry of {name}."
    reader.unknown(key_node.line, "VF04", key, sentence, [*vocabulary.within(section), *known])


def home_of(reader: Reader, word: str, not_under: str = "") -> str:
    """The heading under which a word is an entry, by its name; empty if there is none."""
    vocabulary = reader.vocabulary
    for section in sorted({o.section for o in vocabulary.observations.values()} - {not_under}):
        if word in vocabulary.within(section):
            if section == "top":
                return "no heading, at the left edge"
            names = [s.name for s in vocabulary.sections.values() if s.key in (section, section.rpartition("/")[0])]
            return listed((quote(n) for n in names), "and in it") if names else quote(plain_word(section))
    if word in vocabulary.place_of and not_under != "palpation":
        place = vocabulary.places[vocabulary.place_of[word]]
        between = "spinous_spaces" in map(canonical, place.groups)
        return quote("between the spinous processes") if between else quote("palpation")
    return ""


def read_observation(
    reader: Reader, observation: Observation, value: Node, sided: Sided | None, line: int
) -> Iterator[Noted]:
    """One observation's value, or that of each side."""
    name = observation.name
    if observation.sides == "none":
        if sided is not None:
            reader.say(
                line, "VF09", f"{name} has no sides, and {quote(sided)} stands before it.", _side_hint(observation)
            )
            return
        if isinstance(value.value, dict) and any(reader.side(key) for key in value.value):
            reader.say(line, "VF09", f"{name} has no sides, and {quote(next(iter(value.value)))} stands in it.",
                       _side_hint(observation))  # fmt: skip
            return
        yield from _one(reader, observation, value, (None,), name)
        return
    if sided is not None:
        yield from _one(reader, observation, value, sides_of(sided), f"{name}, {sided}")
    elif not isinstance(value.value, dict) or not any(reader.side(key) for key in value.value):
        read = quote(value.text) if value.text is not None else "no side"
        reader.say(line, "VF08", f"{name} is written for each side: expected left, right or both, and {read} was read.",
                   "Write {left: .., right: ..} or {both: ..}.")  # fmt: skip
    else:
        for side, node in reader.by_side(value, name).items():
            yield from _one(reader, observation, node, (side,), f"{name}, {side}")


def _side_hint(observation: Observation) -> str:
    return f"Write {observation.name}: left (or right)." if observation.kind == "side" else ""


def _one(
    reader: Reader, observation: Observation, node: Node, sides: tuple[Side | None, ...], what: str
) -> Iterator[Noted]:
    note = ""
    if isinstance(node.value, dict):
        parts = reader.mapping(node, _IS, what, "is and note")
        if "note" in parts:
            note = reader.free_text(parts["note"][1], f"{what}, note")
        if "is" not in parts:
            if set(map(canonical, node.value)) <= set(_IS):
                reader.say(node.line, "VF21", f"{what}: nothing is written but a note.", "Write {is: .., note: ..}.")
            return
        node = parts["is"][1]
    value = read_value(reader, observation, node, what)
    if value is None:
        return
    written = " ".join((node.text or "").split())
    if observation.kind != "text" and value in ("left", "right"):
        written = str(value)  # near and off are kept as left and right, so that a visit and its mirror image match
    noted = Noted(
        key=observation.key, side=None, value=value, written=written, line=node.line,
        note=note, kind=observation.kind,
    )  # fmt: skip
    for side in sides:
        yield noted if side is None else replace(noted, side=side)


def read_value(reader: Reader, observation: Observation, node: Node, what: str) -> str | Decimal | DateSpan | None:
    """The value of one observation by its kind; None (and a problem) if it is none."""
    kind = observation.kind
    if kind == "text":
        return reader.free_text(node, what) or None
    if kind == "date":
        return read_past_date(reader, node, what, earliest=observation.earliest, none_word=observation.none_word)
    text = reader.word(node, what)
    if text is None:
        return None
    if kind in ("number", "count"):
        return _number(reader, observation, node, text, what)
    readings = observation.reading_of
    key = readings.get(canonical(text))
    if key is None and kind == "side":
        side = reader.side(text)
        key = side if side in ("left", "right") else None
    if key is None:
        _not_a_reading(reader, observation, node, text, what, readings)
    return key


def _number(reader: Reader, observation: Observation, node: Node, text: str, what: str) -> Decimal | None:
    dimension = "count" if observation.kind == "count" else dimension_of(observation.unit)
    try:
        amount = read_quantity(text, dimension)
    except NotAQuantity as fault:
        reader.say(node.line, "VF16", f"{what}: {fault.sentence}", fault.hint)
        return None
    if observation.range is not None:
        low, high = (Decimal(str(end)) for end in observation.range)  # base units
        if not low <= amount <= high:
            size = unit_size(observation.unit) if dimension != "count" else Decimal(1)
            possible = f"{plain(low / size)} to {plain(high / size)} {observation.unit}".rstrip()
            sentence = f"{what}: {quote(text)} is outside what is possible, {possible}."
            reader.say(node.line, "VF17", sentence)
            return None
    return amount


def _not_a_reading(
    reader: Reader, observation: Observation, node: Node, text: str, what: str, readings: Mapping[str, str]
) -> None:
    words = [plain_word(word.key) for word in observation.readings]
    if observation.kind == "side":
        words = [*dict.fromkeys(("left", "right", *words))]
    hint = ""
    if canonical(text).startswith("not_examined"):
        hint = "Leave the line out: what is not written counts as not looked at."
    sentence = f"{what}: {quote(text)} is not a reading; expected {one_of(words)}."
    spellings = [*readings, *(reader.vocabulary.side_of if observation.kind == "side" else ())]
    reader.unknown(node.line, "VF06", text, sentence, spellings, hint)
