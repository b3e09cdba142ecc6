"""What a visit asks for, in the order of one walk round the horse: head to tail, the back late.

In: the vocabulary. Out: headings and their lines as data, for a blank file or a printed sheet.
Not here: the text of either, and what was written down on any day.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Literal

from reasoner.frozen import frozen
from reasoner.rulebook.vocabulary import Observation, Place, Section, Vocabulary
from reasoner.visit.reader import plain
from reasoner.visit.steps import STEPS
from reasoner.visit.touches import PALPATION, SPACES, is_space

TOP = "top"


@frozen(kw_only=True)
class Line:
    """One thing to write. `words` are the readings to choose from; `sides` "each" asks for left and right. `key` is the entry's
    or place's; of a leg, `side` is its side. `from_records`: the records fill it in, nobody looks for it."""

    key: str
    name: str
    kind: Literal["word", "number", "count", "date", "text", "touch", "leg"]
    sides: Literal["none", "each", "midline"] = "none"
    words: tuple[str, ...] = ()
    unit: str = ""
    ask: str = ""
    how: str = ""
    safety: str = ""
    region: str = ""
    side: str = ""
    from_records: bool = False


@frozen(kw_only=True)
class Heading:
    """A heading and what stands under it; `inner` headings stand inside it. Lines of `top` stand under no heading."""

    key: str
    name: str
    walk: int
    says: str = ""
    lines: tuple[Line, ...] = ()
    inner: tuple[Heading, ...] = ()


def walk_round(vocabulary: Vocabulary) -> tuple[Heading, ...]:
    """Every heading of a visit in walking order; lines of no heading are gathered where the walk meets them."""
    blocks = [*_top(vocabulary), *_sections(vocabulary, ""), *_hands(vocabulary)]
    blocks.sort(key=lambda block: block.walk)  # stable: equal walks stay in the order above
    joined: list[Heading] = []
    for is_top, group in groupby(blocks, key=lambda block: block.key == TOP):
        some = list(group)
        if is_top:
            lines = tuple(line for block in some for line in block.lines)
            some = [Heading(key=TOP, name=some[0].name, walk=some[0].walk, says=some[0].says, lines=lines)]
        joined += some
    return tuple(joined)


def _top(vocabulary: Vocabulary) -> Iterator[Heading]:
    section = vocabulary.sections.get(TOP, Section(key=TOP, name="the visit"))
    for observation in _inside(vocabulary, TOP):
        yield Heading(key=TOP, name=section.name, walk=observation.walk, says=section.says, lines=(_line(observation),))


def _sections(vocabulary: Vocabulary, parent: str) -> Iterator[Heading]:
    """The headings directly inside `parent` (empty: at the left edge)."""
    for section in sorted(vocabulary.sections.values(), key=lambda s: (s.walk, s.key)):
        if section.key == TOP or section.key.rpartition("/")[0] != parent:
            continue
        inside = _inside(vocabulary, section.key)
        lines = _legs(vocabulary, inside) if section.key == STEPS else map(_line, inside)
        yield Heading(
            key=section.key, name=section.name, walk=section.walk, says=section.says, lines=tuple(lines),
            inner=tuple(_sections(vocabulary, section.key)),
        )  # fmt: skip


def _inside(vocabulary: Vocabulary, section: str) -> list[Observation]:
    inside = (o for o in vocabulary.observations.values() if o.section == section)
    return sorted(inside, key=lambda o: (o.walk, o.key))


def _line(observation: Observation) -> Line:
    words = tuple(plain(word.key) for word in observation.readings)
    if observation.kind == "side":
        words = tuple(dict.fromkeys(("left", "right", *words)))
    elif observation.kind == "date" and observation.none_word:
        words = (observation.none_word,)
    kinds: dict[str, Literal["word", "number", "count", "date", "text"]] = {
        "choice": "word", "side": "word", "number": "number", "count": "count", "date": "date", "text": "text",
    }  # fmt: skip
    return Line(
        key=observation.key, name=observation.name, kind=kinds[observation.kind], sides=observation.sides, words=words,
        unit=observation.unit, ask=observation.question, how=observation.how, safety=observation.safety,
        from_records=observation.from_records,
    )  # fmt: skip


def _legs(vocabulary: Vocabulary, inside: Iterable[Observation]) -> Iterator[Line]:
    """One line a leg, both sides named, and what is asked of whichever leg it was."""
    for observation in inside:
        line = _line(observation)
        if observation.sides == "each":
            limb = observation.key.partition("_")[0]
            for side in ("left", "right"):
                yield Line(
                    key=observation.key, name=f"{side} {limb}", kind="leg", words=line.words, ask=line.ask, how=line.how,
                    safety=line.safety, side=side,
                )  # fmt: skip
        else:
            yield line


def _hands(vocabulary: Vocabulary) -> Iterator[Heading]:
    places = sorted(vocabulary.places.values(), key=lambda p: (p.walk, p.key))
    for key, name, some in (
        (PALPATION, "palpation", [p for p in places if not is_space(p)]),
        (SPACES, "between the spinous processes", [p for p in places if is_space(p)]),
    ):
        if some:
            lines = tuple(_place_line(place) for place in some)
            yield Heading(key=key, name=name, walk=some[0].walk, lines=lines)


def _place_line(place: Place) -> Line:
    return Line(
        key=place.key, name=place.name, kind="touch", sides=place.sides, how=place.hand, safety=place.safety, region=place.region,
    )  # fmt: skip
