"""The schemas of rule pages, from their dataclasses, the vocabulary and the scales.

In: a rulebook and the text of rules/README.md. Out: name of a schema to schema.
Not here: visit files (visit_schema), writing them to rules/schema (schema_files).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reasoner.rulebook.loading_words import QUALITIES
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion, Source
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Observation, Place, Section, Word
from reasoner.rulecare.condition_schema import BASIS, CONDITION, LINKS, parts_schema
from reasoner.rulecare.schema_parts import DRAFT, TEXT, Schema, described, entries, record, told, words
from reasoner.rulecare.schema_words import TOLD

#: Each kind of page: its shape, and the heading of rules/README.md that tells of its keys.
KINDS: dict[str, tuple[Any, str]] = {
    "conclusion": (Conclusion, "Pages for what may be going on"),
    "concern": (Concern, "Concerns"),
    "action": (Action, "Actions"),
    "circumstance": (Circumstance, "Circumstances"),
    "source": (Source, "Sources"),
}


def page_schemas(book: Rulebook, readme: str) -> dict[str, Schema]:
    """The schema of every kind of page, of the parts they share, and of the files of the vocabulary."""
    out = {kind: _page(kind, book, readme) for kind in KINDS}
    return {**out, "parts": parts_schema(book), "vocabulary": _vocabulary(book)}


def says_of(kind: str, readme: str) -> Mapping[str, str]:
    """What is said of each key of a kind of page: rules/README.md first."""
    return {**TOLD[kind], **described(readme, KINDS[kind][1])}


def _page(kind: str, book: Rulebook, readme: str) -> Schema:
    shape, _ = KINDS[kind]
    if kind == "source":
        return {"$schema": DRAFT, "title": "A source", **record(shape, {}, says_of(kind, readme), top=True)}
    stops = words(word.key.replace("_", " ") for word in book.scales.stops)
    strength = words(book.scales.strengths)
    several: Schema = {"type": "array", "items": CONDITION}
    special: dict[str, Schema] = {
        "when": CONDITION, "unless": CONDITION, "only_if": CONDITION, "need": CONDITION, "wanted_by": several,
        "points": strength, "against": strength,
        "basis": BASIS,
        "stops": {"type": "array", "items": stops},
        "accounts_for": LINKS, "leads_to": LINKS, "works_on": LINKS, "place": words(book.vocabulary.places),
    }  # fmt: skip
    if kind == "action":  # an example of an action may be stopped by anything; the action itself by stops
        special["stopped_by"] = {"type": "array", "items": stops}
    schema = record(shape, special, says_of(kind, readme), top=True)
    return {"$schema": DRAFT, "title": f"A page: {kind}", **schema}


def _vocabulary(book: Rulebook) -> Schema:
    says = TOLD["vocabulary"]
    word = {"anyOf": [{"type": "null"}, record(Word, {"notable": words(["yes", "no"])}, says)]}
    readings: Schema = {"anyOf": [entries(word), {"type": "array", "items": TEXT}]}
    place = record(Place, {"region": words(book.vocabulary.regions)}, says)
    mark: Schema = {"type": "object", "required": ["view", "at"], "properties": {
        "view": told(TEXT, says["view"]), "at": told({"type": "array", "items": {"type": "number"}}, says["at"])}}  # fmt: skip
    observation = record(Observation, {"readings": readings, "section": words(book.vocabulary.sections)}, says)
    for schema, key in ((place, "view"), (place, "at")):
        schema["properties"].pop(key)
    spellings: Schema = entries({"type": "array", "items": TEXT})
    tables: Schema = {
        "places": told(entries({"anyOf": [place, mark]}), "Where the hand goes, place by place."),
        "observations": told(entries(observation), "What is looked at, measured or asked."),
        "sections": told(entries(record(Section, {}, says)), "The headings of a visit file."),
        "sides": spellings,
        "limbs": spellings,
        "round": {"type": "object", "required": ["places"]},
        "refused": {"type": "array", "items": {"type": "object", "required": ["words", "because"]}},
        **dict.fromkeys(QUALITIES, readings),
    }
    return {"$schema": DRAFT, "title": "Words a visit may record", "type": "object", "properties": tables}
