"""What a visit looked at: whether it holds anything beyond its head, and whether it looked at what a conclusion listens to.

In: a visit as read or as kept, and the rulebook. Out: yes or no.
Not here: whether a conclusion follows (inference), refusing to keep an empty visit (cli).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from reasoner.records.course import table_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Vocabulary, canonical
from reasoner.visit.model import Visit

HEADS = ("top", "horse")
#: The question of a condition that is put to a group of places (rulebook.conditions).
GROUPED = "places"


def words_in(condition: Any) -> Iterator[str]:
    """Every word of a condition as it is written on a page: keys and values alike, canonical."""
    if isinstance(condition, Mapping):
        for key, value in condition.items():
            yield canonical(str(key))
            yield from words_in(value)
    elif isinstance(condition, (list, tuple)):
        for part in condition:
            yield from words_in(part)
    elif isinstance(condition, str):
        yield canonical(condition)


def examined(visit: Visit) -> bool:
    """Whether any place was examined by hand, refused or not."""
    return any(touch.not_examined is None for touch in visit.touches)


def noted_beyond_head(visit: Visit, book: Rulebook) -> frozenset[str]:
    """The entries noted that say more than which horse, who and when."""
    return beyond_head((noted.key for noted in visit.noted), book)


def beyond_head(keys: Iterable[str], book: Rulebook) -> frozenset[str]:
    """Of these entries those that say more than which horse, who and when."""
    head, known = table_of(book).stays.entries, book.vocabulary.observations
    return frozenset(
        key for key in keys if key not in head and (key not in known or known[key].section not in HEADS)
    )  # fmt: skip


def is_empty(visit: Visit, book: Rulebook) -> bool:
    """Whether nothing was examined, measured, done, noted or told by a veterinarian: head entries alone."""
    holds = visit.vets_words or visit.outlines or visit.worked or visit.beside
    return not (holds or examined(visit) or noted_beyond_head(visit, book))


def looked_at(key: str, visit: Visit, book: Rulebook) -> bool:
    """Whether the visit examined a place, or noted an entry, that the conclusion, or one below it, listens to."""
    looked = {touch.place for touch in visit.touches if touch.not_examined is None}
    return bool(listens_to(key, book) & (looked | {noted.key for noted in visit.noted}))


def places_in(condition: Any, vocabulary: Vocabulary) -> Iterator[str]:
    """Every place that a condition asks about, by itself or as one of a group."""
    if isinstance(condition, Mapping):
        for key, value in condition.items():
            word = canonical(str(key))
            if word in vocabulary.place_of:
                yield vocabulary.place_of[word]
            elif word == GROUPED and isinstance(value, Mapping):
                yield from vocabulary.group(canonical(str(value.get("group", ""))))
            yield from places_in(value, vocabulary)
    elif isinstance(condition, (list, tuple)):
        for part in condition:
            yield from places_in(part, vocabulary)


def listens_to(key: str, book: Rulebook) -> frozenset[str]:
    """The words that the evidence of a conclusion names, and the places it asks about, those of the conclusions it listens to
    included."""
    found: set[str] = set()
    open_, seen = [key], set[str]()
    while open_:
        page = book.conclusions.get(one := open_.pop())
        if one in seen or page is None:
            continue
        seen.add(one)
        named = {word for evidence in page.evidence for word in words_in(evidence.when)}
        found |= named | {
            key for key, seen_as in book.vocabulary.observations.items() if canonical(seen_as.name) in named
        }
        found |= {place for evidence in page.evidence for place in places_in(evidence.when, book.vocabulary)}
        open_ += named
    return frozenset(found)
