"""A veterinarian's word: who saw the horse when, about what, what is allowed and forbidden, until when, which grade.

In: one mapping under `veterinarian's word`, or a list of them. Out: `VetsWord` entries.
Not here: which reasons a word releases, and whether it still holds.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import cast

from reasoner.problems import register
from reasoner.rulebook.grade_scales import grade_scales, grades_of, nearest_scale, on_scale, read_grade
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import canonical
from reasoner.visit.dates import read_day, read_past_date
from reasoner.visit.model import Grade, Limb, Side, VetsWord
from reasoner.visit.reader import Reader, fields, listed, one_of, plain, quote, sides_of

register({"MS47": "a scale of grades that is not in the table"})

NAME = "veterinarian's word"
FIELDS = fields(
    who="veterinarian",
    seen="on",
    about="",
    allows="allowed",
    forbids="forbidden",
    until="",
    grade="grades",
    note="notes",
)
STEPS = "uneven_steps"


def read_vets_words(reader: Reader, node: Node) -> tuple[VetsWord, ...]:
    """Every word given, in the order written."""
    if node.text == "":
        return ()
    items = node.value if isinstance(node.value, list) else [node]
    words = (_read_one(reader, item) for item in items)
    return tuple(word for word in words if word is not None)


def _read_one(reader: Reader, node: Node) -> VetsWord | None:
    before = len(reader.problems)
    parts = reader.mapping(node, FIELDS, NAME)
    values = {name: value for name, (_, value) in parts.items()}
    if len(reader.problems) == before:
        missing = [name for name in ("who", "seen") if name not in values]
        if missing:
            reader.say(
                node.line, "VF23", f"{NAME}: {listed(missing, 'and')} missing; who saw the horse, and on which day?"
            )
        if not values.keys() & {"allows", "forbids", "grade"}:
            reader.say(node.line, "VF23", f"{NAME}: it says nothing; expected allows, forbids or grade.")
        if "allows" in values and "about" not in values:
            reader.say(node.line, "VF23", f"{NAME}: what it is about is missing; nothing is allowed without a reason.",
                       "Write about: [uneven steps], or whatever was looked at.")  # fmt: skip
    who = reader.free_text(values["who"], f"{NAME}, who") if "who" in values else ""
    seen = _seen(reader, values["seen"]) if "seen" in values else None
    until = read_day(reader, values["until"], f"{NAME}, until") if "until" in values else None
    _check_until(reader, values, seen, until)
    about = list(_about(reader, values["about"])) if "about" in values else []
    allows = _stops(reader, values, "allows")
    forbids = _stops(reader, values, "forbids")
    for both in sorted(set(allows) & set(forbids)):
        reader.say(values["forbids"].line, "VF14", f"{NAME}: {quote(plain(both))} is both allowed and forbidden.")
    grades = tuple(_grades(reader, values["grade"])) if "grade" in values else ()
    note = reader.free_text(values["note"], f"{NAME}, note") if "note" in values else ""
    if seen is None or len(reader.problems) > before:
        return None
    return VetsWord(
        who=who, seen=seen, about=tuple(key for key, _, _ in about), sides=tuple(side for _, side, _ in about),
        degrees=tuple(degree for _, _, degree in about), allows=allows, forbids=forbids, until=until, grades=grades,
        line=node.line, note=note,
    )  # fmt: skip


def _seen(reader: Reader, node: Node) -> date | None:
    before = len(reader.problems)
    day = read_day(reader, node, f"{NAME}, seen")
    if day is not None and len(reader.problems) == before:
        span = read_past_date(reader, node, f"{NAME}, seen")
        return span.first if span else None
    return None


def _check_until(reader: Reader, values: dict[str, Node], seen: date | None, until: date | None) -> None:
    if until is None:
        return
    if seen is not None and until < seen:
        reader.say(values["until"].line, "VF19", f"{NAME}, until: {until} lies before the day it was given ({seen}).")
    elif until < reader.day:
        reader.warn(values["until"].line, "VF29", f"{NAME}: it ended on {until}, before this visit.")


def _texts(reader: Reader, node: Node, what: str) -> Iterator[tuple[Node, str]]:
    """One word or a list of words; an empty list is nothing."""
    for item in node.value if isinstance(node.value, list) else [node]:
        text = reader.word(item, what)
        if text is not None:
            yield item, text


def _about(reader: Reader, node: Node) -> Iterator[tuple[str, Side | None, str | None]]:
    """Each reason with the side it was limited to, and the step as it was that day where the word says it.

    `left hind` is the steps of that leg and of no other; `left hind marked` says that they were marked.
    """
    vocabulary = reader.vocabulary
    known: dict[str, str] = dict(vocabulary.within(STEPS))
    for observation in vocabulary.observations.values():
        known |= dict.fromkeys((canonical(observation.name), observation.key), observation.key)
    known |= vocabulary.place_of
    known |= {region: region for region in vocabulary.regions}
    known |= {canonical(g): canonical(g) for place in vocabulary.places.values() for g in place.groups}
    known |= {word: key for word, key in vocabulary.section_of.items() if key != "top"}
    known |= dict.fromkeys(("between_the_spinous_processes", "spinous_spaces"), "spinous_spaces")
    known |= vocabulary.quality("reasons_to_call") if "reasons_to_call" in vocabulary.qualities else {}
    for item, text in _texts(reader, node, f"{NAME}, about"):
        spoken, degree = _degree(reader, canonical(text), known)
        sided, rest = reader.split_side(spoken, lambda word: word in known or word in vocabulary.limb_of)
        key = known.get(rest)
        if key is None:
            because = reader.refusal(text)
            if because:
                reader.say(item.line, "VF07", f"{quote(text)} is not read here: {because}.")
            else:
                sentence = f"{NAME}, about: {quote(text)} is no reason to call, place, region, heading or entry."
                reader.unknown(item.line, "VF28", text, sentence, known)
            continue
        for side in (None,) if sided in (None, "both") else sides_of(sided):
            yield key, side, degree


def _degree(reader: Reader, text: str, known: Mapping[str, str]) -> tuple[str, str | None]:
    """`left_hind_marked` or `marked_left_hind` into ("left_hind", "marked"); anything else as it is, with None."""
    vocabulary = reader.vocabulary
    legs = {key for key in vocabulary.within(STEPS).values() if vocabulary.observations[key].sides == "each"}
    degrees = {word: key for leg in sorted(legs) for word, key in vocabulary.observations[leg].reading_of.items()}
    # The longest first: "not_bearing_weight" before any shorter word it may end in.
    for word in sorted(degrees, key=len, reverse=True) if text not in known else ():
        for rest in (text.removesuffix(f"_{word}"), text.removeprefix(f"{word}_")):
            _, named = reader.split_side(rest, known.__contains__)
            if rest != text and known.get(named) in {STEPS, *legs}:
                return rest, degrees[word]
    return text, None


def _stops(reader: Reader, values: dict[str, Node], field: str) -> tuple[str, ...]:
    if field not in values:
        return ()
    known = reader.vocabulary.quality("stops")
    keys: dict[str, None] = {}
    for item, text in _texts(reader, values[field], f"{NAME}, {field}"):
        key = known.get(canonical(text))
        if key is None:
            expected = one_of(plain(k) for k in dict.fromkeys(known.values()))
            sentence = f"{NAME}, {field}: {quote(text)} is not known; expected {expected}."
            reader.unknown(item.line, "VF23", text, sentence, known)
        else:
            keys[key] = None
    return tuple(keys)


def _grades(reader: Reader, node: Node) -> Iterator[Grade]:
    """`{scale: .., left hind: 2}`: the scale first, for a number alone means something else on each."""
    what = f"{NAME}, grade"
    if not isinstance(node.value, dict):
        read = quote(node.text) if node.text is not None else "a list"
        reader.say(
            node.line, "VF23", f"{what}: {read} lacks the scale and the leg.", "Write {scale: .., left hind: 2}."
        )
        return
    scale, legs = "", []
    for key, key_node, value in node.items():
        if canonical(key) == "scale":
            scale = reader.free_text(value, f"{what}, scale")
        else:
            legs.append((key, key_node, value))
    if node.get("scale") is None and not any(canonical(key) == "scale" for key in node.value):
        reader.say(
            node.line, "VF23", f"{what}: the scale is missing; the same number means another thing on another scale."
        )
    if not legs:
        reader.say(node.line, "VF23", f"{what}: the leg is missing; expected such as left hind: 2.")
    limbs = reader.vocabulary.limb_of
    scales = grade_scales(reader.vocabulary)
    grades = grades_of(scale, scales)
    if scale and scales and not grades:
        reader.warn(node.line, "MS47", f"{what}: {quote(scale)} is not in the table of scales; the grade is kept as it was "
                    "written, and is compared with no other.", nearest_scale(scale, scales))  # fmt: skip
    lines: dict[tuple[str, Side], int] = {}
    for key, key_node, value in legs:
        sided, rest = reader.split_side(canonical(key), limbs.__contains__)
        if sided is None:
            sentence = (
                f"{what}: {quote(key)} is no leg; expected scale, left fore, right fore, left hind or right hind."
            )
            names = [f"{side} {limb}" for side in ("left", "right") for limb in ("fore", "hind")]
            reader.unknown(key_node.line, "VF23", key, sentence, names)
            continue
        text = reader.word(value, f"{what}, {key}")
        found = read_grade(text) if text else None
        leg = plain(canonical(key))
        if text and found is None:
            reader.say(value.line, "VF23", f"{what}, {leg}: {quote(text)} is not a grade; expected a number as the "
                       "veterinarian gave it, such as 2 or 2/5.")  # fmt: skip
        elif text and found and grades and not on_scale(found, grades):
            (low, first), *_, (high, last) = grades
            reader.say(value.line, "VF23", f"{what}, {leg}: {quote(text)} is not on the {scale} scale, which runs from "
                       f"{low} ({first}) to {high} ({last}).",
                       "Write the grade and the scale as the veterinarian gave them.")  # fmt: skip
        elif text:
            for side in sides_of(sided):
                limb = cast(Limb, limbs[rest])
                if (limb, side) in lines:
                    reader.twice(key_node.line, f"{what}, {side} {limb}", lines[limb, side])
                    continue
                lines[limb, side] = key_node.line
                yield Grade(scale=scale, limb=limb, side=side, grade=text, line=value.line)
