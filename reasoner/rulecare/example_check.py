"""What every kind of page asks of one answer: known or not, holding or not, waiting for what.

In: an example and the answer to what it records. Out: `Check`, the questions the four kinds of check share.
Not here: what is expected of a conclusion, a concern, an action or a circumstance (example_kinds).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from reasoner.consult import Answer
from reasoner.explanation.from_record import OTHER
from reasoner.frozen import frozen
from reasoner.inference.record import Record
from reasoner.inference.slots import split
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion, Example
from reasoner.rulebook.vocabulary import Vocabulary, canonical

Page = Conclusion | Concern | Action | Circumstance
Sided = dict[str, str]


@frozen
class Case:
    """One example of one page, as written or in the mirror."""

    page: Page
    example: Example
    mirror: bool

    @property
    def name(self) -> str:
        """The page and the sentence of the example."""
        return f"{self.page.id}: {self.example.name}{' (in the mirror)' if self.mirror else ''}"

    def side(self, side: str) -> str:
        """A side as the example writes it, to the side judged."""
        return OTHER[side] if self.mirror else side

    def sides(self) -> tuple[str, ...]:
        """The sides the page is read for."""
        return ("left", "right") if getattr(self.page, "sides", "none") == "each" else ("",)


def key_of(written: str, words: Vocabulary) -> str:
    """The vocabulary key of a word under waiting_on, or an empty string; a key wins over a name."""
    word = canonical(written)
    if word in words.observations or word in words.places:
        return word
    named = (spellings[word] for spellings in words.spellings_by_section.values() if word in spellings)
    return next(named, words.place_of.get(word, ""))


def keys_of(name: str) -> tuple[str, ...]:
    """The words that fill a slot; "settled under the hand" is written once and read place by place."""
    key, _, quality = split(name)
    return (key, "settled_under_the_hand") if quality == "unsettled" else (key,)


#: A literal read in place of the page's own: (which condition of the page, side, place) to literal.
Instead = Mapping[tuple[str, str, str], int]


class Check:
    """What each kind of page asks of one answer; `instead`, as if one of its conditions had been written otherwise."""

    def __init__(self, case: Case, answer: Answer, instead: Instead | None = None) -> None:
        self.instead = instead or {}
        self.case = case
        self.example = case.example
        self.record: Record = answer.record
        self.answer = answer
        self.meta = answer.record.program.meta
        self.book = answer.ready.book
        self.words = self.book.vocabulary

    def complaints(self) -> Iterator[str]:
        """Everything wrong."""
        raise NotImplementedError

    def expected(self, words: tuple[str, ...]) -> Sided | str:
        """side -> word, the sides already turned for the mirror; or a sentence saying what cannot be read."""
        expect = self.example.expect
        written = {k: v for k, v in expect.items() if k != "line"} if isinstance(expect, Mapping) else None
        if written is None:
            written = dict.fromkeys(self.case.sides(), str(expect))
        if not written or not set(written) <= set(self.case.sides()):
            return f"expect names {sorted(written)}; this page has the sides {list(self.case.sides())}"
        strange = sorted(set(written.values()) - set(words))
        if strange:
            return f"expect reads {strange}; known: {', '.join(words)}"
        return {self.case.side(side): word for side, word in written.items()}

    def named_sides(self) -> tuple[str, ...]:
        """The sides that the example expects something of, as they are judged."""
        expect = self.example.expect
        written = [k for k in expect if k != "line"] if isinstance(expect, Mapping) else self.case.sides()
        return tuple(self.case.side(side) for side in written)

    def literals(self, what: str, side: str, place: str, own: Sequence[int]) -> list[int]:
        """The literals of the page's conditions of one kind ("sign", "wanted", "need", "forbid"), in the order written."""
        return [self.instead.get((f"{what} {n}", side, place), literal) for n, literal in enumerate(own)]

    def known(self, literal: int) -> bool:
        """Whether something below the literal was recorded or concluded."""
        return any(self.record.pair(column << 1) != (0.0, 0.0) for column in self.record.leaves(literal))

    def holds(self, literal: int) -> bool:
        """Whether the literal is supported above the threshold."""
        return self.record.support(literal) > self.record.program.fires_above

    def refuted(self, literal: int) -> bool:
        """Known, and nothing that was left out could still lift it above the threshold."""
        return self.known(literal) and not self.holds(literal) and not self.record.could_rise(literal)

    def listens(self, literal: int, key: str) -> bool:
        """Whether the literal does not hold, still could, and for that waits for this key."""
        return not self.holds(literal) and self.record.could_rise(literal) and key in self.unknown(literal)

    def unknown(self, literal: int) -> set[str]:
        """The keys of the vocabulary below the literal of which nothing is recorded."""
        return {
            key
            for column in self.record.unknown_leaves(literal)
            for name in self.slots(column)
            if name not in self.answer.facts.values
            for key in keys_of(name)
        }

    def leaf_keys(self, literal: int) -> set[str]:
        """The places, observations and conclusions a literal reads."""
        return {key for column in self.record.leaves(literal) for key in self.column_keys(column)}

    def column_keys(self, column: int) -> set[str]:
        """The places or observations an atom reads, or the conclusion a column stands for."""
        entry = self.record.entry(column)
        if entry[0] in ("conclusion", "certainty"):
            return {entry[1]}
        return {key for name in self.slots(column) for key in keys_of(name)}

    def slots(self, column: int) -> list[str]:
        """The slots an atom reads."""
        return [name for name in self.record.entry(column)[1:3] if isinstance(name, str) and "|" in name]

    def speaking(self, literal: int) -> set[str]:
        """The keys of the leaves that carry a literal's support."""
        entry = self.record.entry(literal >> 1)
        if entry[0] in ("all", "any", "kth"):
            turned = literal & 1
            held = [part ^ turned for part in entry[2] if self.record.support(part ^ turned) > 0.0]
            return {key for part in held for key in self.speaking(part)}
        return self.column_keys(literal >> 1)
