"""The schema of a visit file, from the vocabulary: headings, entries and places, with their questions and their words.

In: a vocabulary. Out: a JSON Schema.
Not here: reading a visit, which accepts more than an editor can offer: synonyms, Latin, a side before a name, slips.
"""

from __future__ import annotations

from reasoner.rulebook.vocabulary import Observation, Place, Section, Vocabulary
from reasoner.rulecare.schema_parts import DRAFT, Schema, one_or_list, told, words
from reasoner.visit.reader import plain
from reasoner.visit.steps import STEPS
from reasoner.visit.touches import is_space
from reasoner.visit.walk import TOP

_LINE: Schema = {"type": ["string", "number", "boolean", "null"]}
_MORE: Schema = {"type": "object"}
_TRACED = {"back": "over the bare back", "saddle": "under the saddle"}
#: Offered first; these and any other station are read.
_STATIONS = ("withers", "T8", "T10", "T13", "T18")
_TOUCH: Schema = {"$ref": "#/$defs/touch"}


def visit_schema(vocabulary: Vocabulary) -> Schema:
    """Everything a visit may hold, in the words an editor offers first."""
    properties = {o.name: _entry(o) for o in _inside(vocabulary, TOP)}
    for section in vocabulary.sections.values():
        if section.key != TOP and "/" not in section.key:
            properties[section.name] = _heading(vocabulary, section)
    spaces = [p for p in vocabulary.places.values() if is_space(p)]
    places = [p for p in vocabulary.places.values() if not is_space(p)]
    properties["palpation"] = _places(places, "Soreness from 0 (quiet) to 10, before any work.")
    properties["between the spinous processes"] = _places(spaces, "Light touch only.")
    sides = words(["both", "left", "right"])
    properties["quiet"] = told(
        _mapping({plain(region): sides for region in vocabulary.regions}),
        "Regions or places of your own round that were examined and all 0. What is written out wins.",
    )
    properties["worked on"] = told(_some({
        "place": words(p.name for p in vocabulary.places.values()), "side": sides, "how": _LINE, "minutes": _LINE,
        "after": _soreness(), "note": _LINE,
    }), "What was done, where, for how long, and how sore it was afterwards.")  # fmt: skip
    properties["veterinarian's word"] = told(_some(_vets_word(vocabulary)), "Only what a veterinarian said, and when.")
    for of in ("back", "saddle"):
        properties[f"{of} tracings"] = told(
            _tracings(of), f"Lines traced {_TRACED[of]}, each side from the midline outwards."
        )
    return {
        "$schema": DRAFT, "title": "One visit to one horse", "type": "object", "properties": properties,
        "$defs": {"touch": _touch(vocabulary)},
    }  # fmt: skip


def _heading(vocabulary: Vocabulary, section: Section) -> Schema:
    properties: dict[str, Schema] = {}
    for observation in _inside(vocabulary, section.key):
        if section.key == STEPS and observation.sides == "each":
            limb = observation.key.partition("_")[0]
            properties |= {f"{side} {limb}": _one(observation) for side in ("left", "right")}
        else:
            properties[observation.name] = _entry(observation)
    for inner in vocabulary.sections.values():
        if inner.key.rpartition("/")[0] == section.key:
            properties[inner.name] = _heading(vocabulary, inner)
    return told(_mapping(properties), section.says)


def _entry(observation: Observation) -> Schema:
    one = _one(observation)
    if observation.sides != "each":
        return one
    sided: Schema = {"type": "object", "properties": dict.fromkeys(("left", "right", "both"), one)}
    return told({"anyOf": [_LINE, sided]}, f"{observation.question} {observation.how} {observation.safety}")


def _one(observation: Observation) -> Schema:
    known = [plain(word.key) for word in observation.readings]
    if observation.kind == "side":
        known = list(dict.fromkeys(["left", "right", *known]))
    if observation.kind == "date" and observation.none_word:
        known = [observation.none_word]
    offered: list[Schema] = [{"enum": known}] if known else []
    return told({"anyOf": [*offered, _LINE, _MORE]}, f"{observation.question} {observation.how} {observation.safety}")


def _places(places: list[Place], says: str) -> Schema:
    both: Schema = {"type": "object", "properties": dict.fromkeys(("left", "right", "both"), _TOUCH)}
    paired: Schema = {"anyOf": [both, {"type": ["string", "null"]}]}
    return told(
        _mapping({p.name: told(paired if p.sides == "each" else _TOUCH, f"{p.hand} {p.safety}") for p in places}), says
    )


def _touch(vocabulary: Vocabulary) -> Schema:
    def quality(name: str) -> Schema:
        return one_or_list(words(plain(word.key) for word in vocabulary.qualities.get(name, ())))

    again: Schema = {"anyOf": [_soreness(), _MORE]}
    properties = {
        "soreness": _soreness(), "response": quality("responses"), "felt": quality("felt"), "depth": quality("depth"),
        "touch": quality("touch"), "note": _LINE, "once settled": again, "after work": again,
    }  # fmt: skip
    refused = words(["would not allow touch", "not examined - no time"])["anyOf"][0]
    return {"anyOf": [refused, _soreness(), {"type": "object", "properties": properties}]}


def _soreness() -> Schema:
    return {"anyOf": [{"type": "number", "minimum": 0, "maximum": 10}, {"type": ["string", "null"]}]}


def _vets_word(vocabulary: Vocabulary) -> dict[str, Schema]:
    stops = one_or_list(words(plain(word.key) for word in vocabulary.qualities.get("stops", ())))
    return {
        "who": _LINE, "seen": told(_LINE, "The day the veterinarian saw the horse."), "about": one_or_list(_LINE),
        "allows": stops, "forbids": stops, "until": _LINE, "note": _LINE,
        "grade": told(_MORE, "The scale first, then each leg: {scale: .., left hind: 2}."),
    }  # fmt: skip


def _tracings(of: str) -> Schema:
    """Stations with their points; any other word is a station too."""
    pair: Schema = {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}
    points: Schema = {"anyOf": [
        told({"type": "string"}, "out/down from point to point: 0/0 30/4 60/15"),
        {"type": "array", "items": {"anyOf": [pair, {"type": "string"}]}},
    ]}  # fmt: skip
    station: Schema = {
        "type": "object", "properties": {**dict.fromkeys(("left", "right", "both"), points), "note": _LINE},
    }  # fmt: skip
    fixed: dict[str, Schema] = {
        "units": told(words(["mm", "cm", "in"]), "The unit of every point here; mm where it is left out."),
        "file": told(_LINE, "A table beside this file, with the columns of, plane, station, side, out_mm, down_mm."),
        f"along the {of}": told(station, "Backwards from the first point, and down from it."),
    }
    return {
        "type": ["object", "null"], "properties": fixed | dict.fromkeys(_STATIONS, station),
        "additionalProperties": station,
    }  # fmt: skip


def _mapping(properties: dict[str, Schema]) -> Schema:
    return {"type": ["object", "null"], "properties": properties}


def _some(properties: dict[str, Schema]) -> Schema:
    """One mapping, a list of them, or nothing yet."""
    return {"anyOf": [{"type": "null"}, *one_or_list({"type": "object", "properties": properties})["anyOf"]]}


def _inside(vocabulary: Vocabulary, section: str) -> list[Observation]:
    inside = (o for o in vocabulary.observations.values() if o.section == section)
    return sorted(inside, key=lambda o: (o.walk, o.key))
