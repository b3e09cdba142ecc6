"""The chain from a conclusion to its places agrees with what the engine grounds, side by side.

In: the shipped rules. Out: failures where the picture and the engine differ.
Not here: the drawing.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from reasoner.inference.from_rulebook import ground
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulecare.chains import Link, chain_of

BOOK = load_rulebook()
NETWORK = ground(BOOK)
ENDS = {"this": ("left",), "other": ("right",), "both": ("left", "right"), "": ("",)}


def below(link: Link) -> Iterator[Link]:
    yield link
    for after in link.leads:
        yield from below(after)


@pytest.mark.parametrize("key", BOOK.conclusions)
def test_the_picture_holds_what_the_engine_leads_to(key: str) -> None:
    """Taken for the left, the chain reaches exactly the ground conclusions that the engine's links reach."""
    start = key, "left" if BOOK.conclusions[key].sides == "each" else ""
    reached, stack = set(), [start]
    while stack:
        at = stack.pop()
        if at not in reached:
            reached.add(at)
            stack += NETWORK.leads.get(at, ())
    drawn = {(link.key, side) for link in below(chain_of(key, BOOK)) for side in ENDS[link.side]}
    assert drawn == reached


@pytest.mark.parametrize("key", BOOK.conclusions)
def test_the_spots_are_what_the_engine_accounts_for(key: str) -> None:
    start = "left" if BOOK.conclusions[key].sides == "each" else ""
    accounted = NETWORK.accounts.get((key, start), ())
    places = {(a.key, a.side) for a in accounted if a.key in BOOK.vocabulary.places}
    drawn = {(s.key, side) for s in chain_of(key, BOOK).spots if s.kind == "place" for side in ENDS[s.side]}
    assert drawn == places
    others = {a.key for a in accounted} - set(BOOK.vocabulary.places)
    assert {s.key for s in chain_of(key, BOOK).spots if s.kind == "observation"} == others


def test_nothing_is_drawn_twice() -> None:
    for key in BOOK.conclusions:
        drawn = [(link.key, link.side) for link in below(chain_of(key, BOOK)) if not link.again]
        assert len(drawn) == len(set(drawn))


def test_the_saddle_side_is_turned_along_the_chain() -> None:
    """A lead preferred on this side drops the weight on the other fore, and the saddle comes to that other side."""
    sides = {(link.key, link.side) for link in below(chain_of("prefers_lead", BOOK))}
    assert {("weight_on_one_fore", "other"), ("saddle_to_one_side", "other"), ("hind_pushes_off_less", "this")} <= sides
