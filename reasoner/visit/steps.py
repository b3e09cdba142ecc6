"""Uneven steps, leg by leg: only what was seen, where, and whether a veterinarian has seen it.

In: the mapping under `uneven steps`. Out: `Noted` entries for each leg, and what was said of that leg alone.
Not here: grades of lameness (only a veterinarian gives one), what is concluded.
"""

from __future__ import annotations

import re
from dataclasses import replace

from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Observation, canonical
from reasoner.visit.model import Noted, Side
from reasoner.visit.noted import Notes, find, read_entry, read_observation, read_value
from reasoner.visit.reader import Reader, Sided, listed, quote, sides_of

STEPS = "uneven_steps"
_GRADE = r"(?:grade\s*)?[0-9](?:\.5)?(?:\s*(?:/|of|out of)\s*[0-9]+)?"


def read_steps(notes: Notes, node: Node) -> None:
    """Every leg under `uneven steps`, and what is said of all of them."""
    reader = notes.reader
    name = "uneven steps"
    if node.text == "":
        return
    if not isinstance(node.value, dict):
        read = quote(node.text) if node.text is not None else "a list"
        reader.say(node.line, "VF20", f"{name}: legs were expected under this heading, and {read} was read.",
                   "Write {left hind: slight}; an even trot is written under in hand.")  # fmt: skip
        return
    for key, key_node, value in node.items():
        leg = _leg(reader, key)
        if leg is None:
            read_entry(notes, STEPS, name, key_node, value)
        elif leg[1] is not None:
            _read_leg(notes, leg[0], leg[1], value)
        elif isinstance(value.value, dict) and any(reader.side(k) for k in value.value):
            for side, each in reader.by_side(value, leg[0].name).items():
                _read_leg(notes, leg[0], side, each)
        else:
            reader.say(key_node.line, "VF08", f"{name}: {quote(key)} names no side; expected left or right before it.",
                       f"Write left {key} or right {key}.")  # fmt: skip
    _said_twice(notes)


def _leg(reader: Reader, key: str) -> tuple[Observation, Sided | None] | None:
    """The step observation a key such as `left hind` names; None if it names no leg."""
    found = find(reader, STEPS, key)
    if found is not None:
        return found if found[0].sides == "each" else None
    limbs = reader.vocabulary.limb_of
    sided, rest = reader.split_side(canonical(key), limbs.__contains__)
    observation = reader.vocabulary.observations.get(f"{limbs.get(rest, '')}_step")
    return (observation, sided) if observation is not None else None


def _read_leg(notes: Notes, step: Observation, sided: Sided, value: Node) -> None:
    """One leg: a bare word, or a mapping of `is`, a note, and what else was seen of this leg."""
    reader = notes.reader
    what = f"uneven steps, {listed(sides_of(sided), 'and')} {step.key.partition('_')[0]}"
    if not isinstance(value.value, dict):
        for noted in _degree(reader, step, value, what, "", sided, value.line):
            notes.add(noted)
        return
    more = {o.key: o for o in reader.vocabulary.observations.values() if o.section == STEPS and o.sides == "none"}
    known = dict.fromkeys(("is", "degree"), "is") | dict.fromkeys(("note", "notes"), "note")
    known |= {word: key for word, key in reader.vocabulary.within(STEPS).items() if key in more}
    parts = reader.mapping(value, known, what)
    note = reader.free_text(parts["note"][1], f"{what}, note") if "note" in parts else ""
    if "is" in parts:
        for noted in _degree(reader, step, parts["is"][1], what, note, sided, value.line):
            notes.add(noted)
    elif len(parts) == len(value.value):
        reader.say(value.line, "VF21", f"{what}: how uneven it was is missing.", "Write {is: slight, ...}.")
    for key, (_, node) in parts.items():
        if key in more:
            for noted in read_observation(reader, more[key], node, None, node.line):
                for side in sides_of(sided):
                    notes.add(replace(noted, about=(step.key, side)))


def _degree(
    reader: Reader, step: Observation, node: Node, what: str, note: str, sided: Sided, line: int
) -> list[Noted]:
    if node.text and re.fullmatch(_GRADE, node.text, re.IGNORECASE):
        reader.say(node.line, "VF22", f"{what}: {quote(node.text)} is a grade, read only as a veterinarian gave it.",
                   "Write it under veterinarian's word; here stand " + _words(step) + ".")  # fmt: skip
        return []
    value = read_value(reader, step, node, what)
    if value is None:
        return []
    written = " ".join((node.text or "").split())
    sides: tuple[Side, ...] = sides_of(sided)
    return [
        Noted(key=step.key, side=s, value=value, written=written, line=node.line or line, note=note, kind=step.kind)
        for s in sides
    ]


def _words(step: Observation) -> str:
    return listed((word.key.replace("_", " ") for word in step.readings), "and")


def _said_twice(notes: Notes) -> None:
    """A thing said once of all legs cannot also be said of one."""
    general = {n.key: n for n in notes.entries if n.about is None}
    for noted in notes.entries:
        if noted.about is not None and noted.key in general:
            name = notes.reader.vocabulary.observations[noted.key].name
            notes.reader.twice(noted.line, name, general[noted.key].line)
