"""What a step is expected to change: soreness at places, and what is seen again.

In: an action's page and side, the visit and its facts. Out: what to look for, of what is not yet so today.
Not here: which steps stand, what came of it (records).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from reasoner.facts.table import Facts
from reasoner.inference.slots import slot
from reasoner.plan.model import Expected, LookedFor
from reasoner.rulebook.pages import Action, words_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Side, Visit


def expected_of(page: Action, side: str, facts: Facts, book: Rulebook) -> Iterator[Expected]:
    """The places that should come down, of those that are sorer today than is hoped for."""
    for entry in page.expects:
        place = book.vocabulary.places[entry.place]
        sides = ("",) if place.sides == "midline" else _ends(entry.side, side)
        for at in sides:
            before = facts.values.get(slot(place.key, at, "soreness"))
            # A place that was not found sorer than what is hoped for has nothing to improve.
            if before is not None and before > entry.to:
                yield Expected(place.key, place.name, at, before, entry.to, entry.by_days)


def looked_for(page: Action, side: str, visit: Visit, book: Rulebook) -> Iterator[LookedFor]:
    """The entries that should change, of those that stand otherwise today; what nobody looked at has nothing to improve."""
    for entry in page.looks_for:
        observation = book.vocabulary.observations[entry.entry]
        for at in _ends(entry.side, side) if entry.side else ("",):
            was = visit.noted_value(entry.entry, cast(Side, at) if observation.sides == "each" and at else None)
            here = observation.kind != "side" or was == at
            if isinstance(was, str) and here and was in {word.key for word in observation.readings if word.notable}:
                yield LookedFor(entry.entry, observation.name, at, was, words_of(entry.to), entry.by_days)


def _ends(word: str, side: str) -> tuple[str, ...]:
    if word in ("left", "right"):
        return (word,)
    if side and word in ("this", "other"):
        return (side,) if word == "this" else ({"left": "right", "right": "left"}[side],)
    return ("left", "right")
