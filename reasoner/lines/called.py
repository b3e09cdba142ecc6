"""What the places of a line were called in it, and how much of the horse a name may mean.

In: the pieces of a line; what was not examined. Out: the word said for a place, where its own name does not hold it;
the other places of a region that bears the name said.
Not here: which place a name is (lexicon.py), showing it.
"""

from __future__ import annotations

from collections.abc import Sequence

from reasoner.lines.model import PassedOver
from reasoner.lines.pieces import Piece
from reasoner.lines.words import Word, joined
from reasoner.rulebook.vocabulary import Place, Vocabulary


def called_in(pieces: Sequence[Piece], words: Sequence[Word], vocabulary: Vocabulary) -> tuple[tuple[str, str], ...]:
    """(key, what it was called) of each place that was named otherwise than the vocabulary names it: "trap, trapezius" for the
    withers. The second word is another of its names that begins with the one said, so that a short name is heard in full."""
    out: dict[str, str] = {}
    for piece in pieces:
        said = " ".join(word.text for word in words[piece.first : piece.last])
        for meaning in piece.meanings:
            if meaning.kind == "place" and (more := _otherwise(said, vocabulary.places[meaning.key])):
                out.setdefault(meaning.key, more)
    return tuple(out.items())


def rest_of_region(one: PassedOver, vocabulary: Vocabulary) -> tuple[str, ...]:
    """The other places of the region whose name was said of this one: "the poll" is the name of one place and of a whole region,
    and only the one is marked. Empty where the place's own longer name was said, or the region has no other place."""
    if one.kind != "place":
        return ()
    place = vocabulary.places[one.key]
    region = place.region.replace("_", " ")
    said = joined(one.words)
    if joined(region) not in said or (joined(place.name) in said and joined(place.name) != joined(region)):
        return ()
    return tuple(key for key in vocabulary.regions.get(place.region, ()) if key != one.key)


def _otherwise(said: str, place: Place) -> str:
    letters = joined(said).removesuffix("s")
    if not letters or letters in joined(place.name):
        return ""
    longer = [
        n for n in place.also if joined(n).startswith(letters) and len(joined(n)) > len(letters) + 1 and " " not in n
    ]
    return ", ".join([said, *sorted(longer, key=len)[:1]])
