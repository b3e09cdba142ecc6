"""The shapes of tokens, and what a single piece says of a place.

In: a piece. Out: `Spot`, `SideSaid`, `Said`.
Not here: which token a piece is in its place (tokens.py).
"""

from __future__ import annotations

from collections.abc import Sequence

from reasoner.frozen import frozen
from reasoner.lines.pieces import Piece
from reasoner.lines.words import Word

#: The kinds of meaning that are a place under the hand, and those that are a word for what was found there.
SPOTS = ("place", "several", "region", "legs")
ANSWER_WORDS = ("response", "felt", "depth", "touch", "either")


@frozen
class Spot:
    """Where a hand lay: the places it may be (one, or several to ask about), and the region of that name, if there is one.
    `legs` are the places meant where the word is said of something left out."""

    keys: tuple[str, ...]
    region: str = ""
    said: str = ""
    legs: tuple[str, ...] = ()
    limb: bool = False


@frozen
class SideSaid:
    """A side as it was said. `bare`: one word, which may be filler or verb; `heading`: "on the left", "left side", which holds
    for what follows; `opens`: a bare one at the start of a sentence; `one`: "the left one"."""

    side: str
    bare: bool = False
    heading: bool = False
    opens: bool = False
    one: bool = False


@frozen
class Said:
    """A token: its kind in the grammar, what it holds, the words it stands on, and the pause before it."""

    kind: str
    value: object
    first: int
    last: int
    pause: str = ""


def spot_of(piece: Piece, words: Sequence[Word]) -> Spot | None:
    """The places that a piece names: one, several to ask about, a region, or legs left out; None where it names none."""
    place, several, region, legs = (piece.may_be(kind) for kind in SPOTS)
    said = " ".join(word.text for word in words[piece.first : piece.last])
    legs_keys = legs.keys if legs else ()
    if several:
        limb = legs is not None or piece.may_be("entry") is not None
        return Spot(several.keys, region.key if region else "", said, legs_keys, limb)
    if place:
        keys = tuple(m.key for m in piece.meanings if m.kind == "place")
        return Spot(keys, region.key if region else "", said)
    if region:
        return Spot(region.keys, region.key, said, legs_keys)
    return Spot(legs_keys, "", said, legs_keys) if legs else None


def the_before(piece: Piece, words: Sequence[Word]) -> bool:
    """Whether "the", "his" or the like stands before it in one breath."""
    return piece.first > 0 and words[piece.first - 1].text in ("the", "his", "her", "its") and not piece.pause


def this_clause(before: Sequence[Said]) -> list[Said]:
    """The tokens since the last pause."""
    out: list[Said] = []
    for token in reversed(before):
        if token.kind in ("PAUSE", "STOP"):
            break
        out.append(token)
    return out
