"""The handbook's entries for words: places by region, things to look at by heading, scales, sources.

In: a `Rulebook` and its links. Out: plain data for the template, in the order of the walk round the horse.
Not here: pages (book_pages.py), layout.
"""

from __future__ import annotations

from typing import Any

from reasoner.rendering.book_links import Links, also
from reasoner.rendering.phrases import plain
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Observation, Place

Entry = dict[str, Any]
Part = tuple[str, str, list[Entry]]
_SIDES = {"each": "one on each side", "midline": "on the midline"}
#: How the anatomy was seen, for a reader who wants to know how far to trust it.
_SEEN = {"seen": "read in the sources named", "from_memory": "written from memory of the books named"}


def places(book: Rulebook, links: Links) -> list[Part]:
    """Every place to feel, region by region, in the order of one walk round the horse."""
    by_key = book.vocabulary.places
    return [
        (plain(region).capitalize(), "", [_place(by_key[key], links) for key in keys])
        for region, keys in book.vocabulary.regions.items()
    ]


def _place(place: Place, links: Links) -> Entry:
    return {
        "id": links.anchor("place", place.key), "name": links.name("place", place.key), "latin": place.latin,
        "synonyms": place.also, "sides": _SIDES[place.sides],
        "belongs": [plain(word) for word in (place.region, *place.groups)], "hand": place.hand, "safety": place.safety,
        "anatomy": [
            (label, text)
            for label, text in (("From", place.origin), ("To", place.insertion), ("Does", place.action))
            if text
        ],
        "seen": _SEEN.get(place.anatomy_seen, plain(place.anatomy_seen)),
        "basis": [links.link("source", one) for one in place.anatomy_basis if one in links.book.sources],
        "groups": links.groups("place", place.key), "file": place.file, "line": place.line,
        "also": also(place.key, place.latin, place.also),
    }  # fmt: skip


def signs(book: Rulebook, links: Links) -> list[Part]:
    """Everything looked at, measured or asked, under the headings of a visit file."""
    words = book.vocabulary
    by_section: dict[str, list[Observation]] = {}
    for one in sorted(words.observations.values(), key=lambda o: (o.walk, o.key)):
        by_section.setdefault(one.section, []).append(one)
    order = sorted(by_section, key=lambda key: (words.sections[key].walk if key in words.sections else 0, key))
    out = []
    for key in order:
        section = words.sections.get(key)
        heading = section.name if section else plain(key)
        out.append((heading[:1].upper() + heading[1:], section.says if section else "",
                    [_sign(one, links) for one in by_section[key]]))  # fmt: skip
    return out


def _sign(one: Observation, links: Links) -> Entry:
    readings = [(plain(word.key), word.says) for word in one.readings]
    if one.kind in ("number", "count") and one.range:
        readings = [(f"{one.range[0]:g} to {one.range[1]:g} {'' if one.unit == 'count' else one.unit}".strip(), "")]
    return {
        "id": links.anchor("observation", one.key), "name": links.name("observation", one.key), "synonyms": one.also,
        "kind": {"choice": "one of these", "side": "a side"}.get(one.kind, f"a {one.kind}"), "readings": readings,
        "sides": "left and right apart" if one.sides == "each" else "", "question": one.question, "how": one.how,
        "safety": one.safety, "groups": links.groups("observation", one.key), "file": one.file, "line": one.line,
        "also": also(one.key, one.also, [w for word in one.readings for w in (word.key, *word.also)]),
    }  # fmt: skip


def words_of_the_hand(book: Rulebook) -> list[tuple[str, list[tuple[str, str, str]]]]:
    """What the horse may answer and the hand may feel: heading to (word, what it says, other spellings)."""
    wanted = (("responses", "How the horse answers"), ("felt", "What the hand feels"), ("depth", "How deep"))
    return [
        (heading, [(plain(w.key), w.says, ", ".join(w.also)) for w in book.vocabulary.qualities[key]])
        for key, heading in wanted
        if key in book.vocabulary.qualities
    ]


def scales(book: Rulebook) -> Entry:
    """The written scales."""
    scale = book.scales
    return {
        "strengths": list(scale.strengths.items()), "bands": list(scale.bands.items()),
        "fires_above": scale.fires_above,
        "ramps": [(ramp.key, ramp.of, ramp.none_at, ramp.full_at, ramp.says) for ramp in scale.ramps.values()],
        "calls": list(scale.calls.items())[::-1], "cautions": [caution.says for caution in scale.cautions],
    }  # fmt: skip


def sources(book: Rulebook, links: Links) -> list[Entry]:
    """The bibliography, by author."""
    every = sorted(book.sources.values(), key=lambda s: (s.authors.casefold(), s.year, s.id))
    return [
        {
            "id": links.anchor("source", one.id), "name": links.name("source", one.id), "authors": one.authors,
            "year": one.year, "title": one.title, "where": one.where, "doi": one.doi, "seen": plain(one.seen),
            "trust": one.trust, "why": one.why, "used_for": one.used_for, "citing": links.citing(one.id),
            "file": one.file, "line": one.line, "also": also(one.id),
        }
        for one in every
    ]  # fmt: skip
