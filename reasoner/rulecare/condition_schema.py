"""The schema of a condition, and the other parts that the pages of several kinds share: written once, pointed to often.

In: a rulebook. Out: the schema `parts.schema.json`, and the pointers into it.
Not here: the grammar itself (rulebook.conditions), which alone decides; the pages.
"""

from __future__ import annotations

from reasoner.rulebook.conditions import LIMITS, READINGS, SIDE_WORDS
from reasoner.rulebook.references import DECLARED
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Observation
from reasoner.rulecare.schema_parts import DRAFT, Schema, one_or_list, told, words

_HERE: Schema = {"$ref": "#/$defs/condition"}
CONDITION: Schema = {"$ref": "parts.schema.json#/$defs/condition"}
LINKS: Schema = {"$ref": "parts.schema.json#/$defs/links"}
BASIS: Schema = {"$ref": "parts.schema.json#/$defs/basis"}
_SIDES = SIDE_WORDS[:4]  # a page is written for no side by name


def parts_schema(book: Rulebook) -> Schema:
    """Every place, observation and conclusion of the rulebook to choose from, and what may be asked of each."""
    vocabulary = book.vocabulary
    named: Schema = {
        "all": told({"type": "array", "items": _HERE, "minItems": 1}, "Every one of these."),
        "any": told({"type": "array", "items": _HERE, "minItems": 1}, "At least one of these."),
        "not": told(_HERE, "The opposite was recorded. What nobody recorded answers nothing."),
        "places": told({"$ref": "#/$defs/place_test"}, "Several places of a group or region: group, how_many."),
        "this_place": told({"$ref": "#/$defs/place_test"}, "The place the page is read for, with for_each."),
    }
    pages = {key: page.says for key, page in book.conclusions.items()}
    pages |= {key: page.says for key, page in book.concerns.items()}
    for key, says in pages.items():
        named[key] = told({"$ref": "#/$defs/page_test"}, says)
    for key, observation in vocabulary.observations.items():
        named[key] = told(_observation(observation), observation.question or observation.name)
    for key, place in vocabulary.places.items():
        named[key] = told({"$ref": "#/$defs/place_test"}, place.name)
    linked = [*vocabulary.places, *vocabulary.observations, *book.conclusions]
    return {
        "$schema": DRAFT,
        "title": "A condition, and other parts of pages",
        "$ref": "#/$defs/condition",
        "$defs": {
            "condition": told(
                {"type": "object", "minProperties": 1, "maxProperties": 1, "properties": named},
                "One question, or several joined by all, any, at_least_2_of or not.",
            ),
            "place_test": _place_test(book),
            "page_test": _page_test(book),
            "side": words(_SIDES),
            "links": {"type": "array", "items": {"type": "object", "properties": dict.fromkeys(linked, True)}},
            "basis": one_or_list(words([*DECLARED, *book.sources])),
        },
    }


def _place_test(book: Rulebook) -> Schema:
    def quality(name: str) -> Schema:
        return one_or_list(words(word.key for word in book.vocabulary.qualities.get(name, ())))

    def ramps(of: str) -> list[str]:
        return [key for key, ramp in book.scales.ramps.items() if ramp.of == of]

    soreness: Schema = {"anyOf": [{"enum": ramps("soreness")}, {"type": "number", "exclusiveMinimum": 0, "maximum": 10},
                                  {"type": "string"}]}  # fmt: skip
    groups = {g for place in book.vocabulary.places.values() for g in (*place.groups, place.region)}
    return {
        "type": "object",
        "properties": {
            "side": told(
                {"$ref": "#/$defs/side"}, "this: the side the page is about; other: the far one; both; either."
            ),
            "at_least": told(
                soreness, "A word of the ramps (the higher, the more it counts), or a number from 0 to 10."
            ),
            "more_than_other": told(words(ramps("difference")), "More than on the other side; both must be graded."),
            "response": told(quality("responses"), "What the horse did; any of these words."),
            "felt": told(quality("felt"), "What the hand felt; any of these words."),
            "depth": quality("depth"),
            "touch": quality("touch"),
            "guarded": told(words(["yes"]), "It would not allow touch; a finding, not a gap."),
            "unsettled": words(["yes"]),
            "reading": told(words(READINGS), "Which reading; without it the one before work, settled if there is one."),
            "group": told(words(sorted(groups)), "A group or region of places."),
            "how_many": told({"type": ["integer", "string"]}, "How many places of the group."),
        },
    }


def _observation(observation: Observation) -> Schema:
    if observation.kind in ("choice", "side"):
        known = [word.key for word in observation.readings]
        known += ["this", "other"] if observation.kind == "side" else []
        test: Schema = one_or_list(words(known))
        sided: Schema = {"type": "object", "properties": {"side": {"$ref": "#/$defs/side"}, "is": test}}
        return sided if observation.sides == "each" else {"anyOf": [test, sided]}
    tests = ("within", "longer_ago_than") if observation.kind == "date" else LIMITS
    return {"type": "object", "properties": {"side": {"$ref": "#/$defs/side"}, **dict.fromkeys(tests, True)}}


def _page_test(book: Rulebook) -> Schema:
    certainty: Schema = {"side": {"$ref": "#/$defs/side"}, "at_least": words(book.scales.bands)}
    return {"anyOf": [words([*_SIDES, "yes"]), {"type": "object", "properties": certainty}]}
