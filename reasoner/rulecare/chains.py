"""The chain from a conclusion to the places it makes sore, written for this side and the other.

In: a `Rulebook` and a conclusion. Out: `Link`s, a tree without repetition.
Not here: any visit, drawing (rendering.book_chain).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from reasoner.frozen import frozen
from reasoner.rulebook.pages import Conclusion
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import canonical

#: A side as seen from the start of the chain. "" has no side: the midline, or a page read once.
TURNED = {"this": "other", "other": "this", "both": "both", "": ""}


@frozen
class Spot:
    """Something a conclusion accounts for: a place or an observation, on which side, at what depth or with which words."""

    kind: str
    key: str
    side: str
    detail: str = ""


@frozen
class Link:
    """One conclusion of a chain: its side seen from the start, what it accounts for, and what it leads to.

    `again` says that it stands higher up already: there its spots and what follows are not repeated.
    """

    key: str
    side: str
    spots: tuple[Spot, ...] = ()
    leads: tuple[Link, ...] = ()
    again: bool = False


def chain_of(key: str, book: Rulebook) -> Link:
    """The chain that begins with this conclusion."""
    page = book.conclusions[key]
    return _link(page, "this" if page.sides == "each" else "", book, set())


def _link(page: Conclusion, side: str, book: Rulebook, seen: set[tuple[str, str]]) -> Link:
    if (page.id, side) in seen:
        return Link(page.id, side, again=True)
    seen.add((page.id, side))
    spots = tuple(dict.fromkeys(spot for entry in page.accounts_for for spot in _spots(entry, side, book)))
    nexts = [(canonical(k), str(word)) for entry in page.leads_to for k, word in entry.items() if k != "line"]
    leads = []
    for target, word in nexts:
        onto = book.conclusions[target]
        leads.append(_link(onto, _seen_from(word, side) if onto.sides == "each" else "", book, seen))
    return Link(page.id, side, spots, tuple(leads))


def _seen_from(word: str, side: str) -> str:
    """A side word of a page that itself stands on `side` of the start."""
    plain = canonical(word)
    if plain == "this":
        return side or "both"
    if plain == "other":
        return TURNED[side] or "both"
    return "both"


def _spots(entry: Mapping[str, Any], side: str, book: Rulebook) -> Iterator[Spot]:
    for written, body in entry.items():
        if written == "line":
            continue
        key = canonical(written)
        detail = {canonical(k): v for k, v in body.items() if k != "line"} if isinstance(body, Mapping) else {}
        word = str(detail.get("side", body if isinstance(body, str) else "both"))
        if key in book.vocabulary.places:
            sided = book.vocabulary.places[key].sides == "each"
            yield Spot("place", key, _seen_from(word, side) if sided else "", str(detail.get("depth", "")))
            continue
        observation = book.vocabulary.observations[key]
        asked = detail.get("is", "" if isinstance(body, Mapping) else body)
        words = [str(w) for w in asked] if isinstance(asked, (list, tuple)) else [str(asked)]
        if observation.sides == "each":
            yield Spot("observation", key, _seen_from(word, side), " or ".join(w for w in words if w))
        elif observation.kind == "side" and {canonical(w) for w in words} <= {"this", "other"}:
            # A thing that goes to a side, such as a saddle, is told on the side it goes to.
            at = _seen_from(words[0], side) if len(words) == 1 else "both"
            yield Spot("observation", key, at, {"this": "this side", "other": "the other side"}.get(at, "either side"))
        else:
            yield Spot("observation", key, "", " or ".join(w.replace("_", " ") for w in words if w))
