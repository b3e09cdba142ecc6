"""`quiet:`, the places of the examiner's own round that were examined and were 0.

In: the mapping of regions under `quiet`, and every reading written out. Out: a `Touch` of 0 for each left over.
Not here: which places belong to the round (it is data), readings written out (they always win).
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from reasoner.frozen import frozen
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Place, canonical
from reasoner.visit.model import Side, Touch
from reasoner.visit.reader import Reader, Sided, listed, plain, quote, sides_of
from reasoner.visit.touches import Touches


@frozen
class _Quiet:
    place: Place
    sided: Sided
    line: int


def add_quiet(touches: Touches, node: Node) -> None:
    """The places `quiet:` marks as examined and 0.

    INVARIANT: only places of the examiner's own round, and never a place and side that is written out, whatever is
    written there. Called last, when every written reading is known.
    """
    written = {(place, side) for place, side, _ in touches.claims}
    for entry in _quiet_entries(touches.reader, node):
        if entry.place.sides == "midline":
            sides: tuple[Side | None, ...] = (None,) if entry.sided == "both" else ()
        else:
            sides = sides_of(entry.sided)
        for side in sides:
            if (entry.place.key, side) not in written:
                written.add((entry.place.key, side))
                touches.add(
                    Touch(place=entry.place.key, side=side, soreness=Decimal(0), quiet_list=True, line=entry.line)
                )


def _quiet_entries(reader: Reader, node: Node) -> Iterator[_Quiet]:
    if node.text == "":
        return
    if not isinstance(node.value, dict):
        read = quote(node.text) if node.text is not None else "a list"
        reader.say(node.line, "VF20", f"quiet: regions with their sides were expected, and {read} was read.",
                   "Write {neck: both, croup: left}.")  # fmt: skip
        return
    lines: dict[tuple[str, Side], int] = {}
    for key, key_node, value in node.items():
        places = _quiet_places(reader, key, key_node)
        text = reader.word(value, f"quiet, {plain(canonical(key[:60]))}")
        if not places or text is None:
            continue
        sided = reader.side(text)
        midline = all(place.sides == "midline" for place in places)
        if sided is None:
            sentence = f"quiet, {plain(canonical(key[:60]))}: {quote(text)} is no side; expected left, right or both."
            reader.unknown(value.line, "VF15", text, sentence, reader.vocabulary.side_of)
        elif midline and sided != "both":
            reader.say(value.line, "VF09", f"quiet: {quote(key)} lies on the midline and has no {sided} side.",
                       "Write both.")  # fmt: skip
        else:
            same = "+".join(place.key for place in places)
            for side in sides_of(sided):
                if (same, side) in lines:
                    reader.twice(key_node.line, f"quiet, {key}", lines[same, side])
                    break
                lines[same, side] = key_node.line
            for place in places:
                yield _Quiet(place, sided, key_node.line)


def _quiet_places(reader: Reader, key: str, key_node: Node) -> list[Place]:
    """The places of the round in a region, or the one place, named by `key`; none, and a problem, if there are none."""
    vocabulary, word = reader.vocabulary, canonical(key)
    region = vocabulary.regions.get(word)
    if region is not None:
        places = [vocabulary.places[p] for p in region if p in vocabulary.round]
        if not places:
            reader.say(key_node.line, "VF15", f"quiet: no place of your round lies in {quote(key)}.",
                       "Write its places one by one under palpation.")  # fmt: skip
        return places
    found = reader.place_key(word)
    if found is None:
        sentence = (
            f"quiet: {quote(key)} is neither a region nor a place; regions are {listed(vocabulary.regions, 'and')}."
        )
        reader.unknown(key_node.line, "VF15", key, sentence, [*vocabulary.regions, *vocabulary.place_of])
        return []
    if found not in vocabulary.round:
        reader.say(key_node.line, "VF15", f"quiet: {quote(key)} is not a place of your round.",
                   "Write it as 0 under palpation, if you had a hand on it.")  # fmt: skip
        return []
    return [vocabulary.places[found]]
