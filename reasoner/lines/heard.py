"""What was heard so far of a line, and how a statement is taken apart.

In: nothing, or a statement of the grammar. Out: `Heard`, and a statement's sides, places and values.
Not here: what a statement means.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from lark import Token, Tree

from reasoner.lines.drafts import Draft
from reasoner.lines.lexicon import Lexicon
from reasoner.lines.model import Finding
from reasoner.lines.said import Said, Spot
from reasoner.lines.words import Word


@dataclass
class LeftOut:
    """What was said not to have been examined. `doubt`: "left" may be the side. `spot` None and no entry: nothing was named."""

    spot: Spot | None
    entry: str
    side: str | None
    first: int
    last: int
    clause: int
    reason: str = ""
    doubt: bool = False
    pronoun: str = ""
    listed: int = 0  # how many clauses on the next of a list may stand; 0: it is no list


@dataclass
class Heard:
    """What was heard so far of a line."""

    lexicon: Lexicon
    looking_at: Spot | None = None
    earlier: tuple[Finding, ...] = ()
    drafts: list[Draft] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    junk: list[tuple[int, int, int]] = field(default_factory=list)
    idle: list[tuple[int, int, int]] = field(default_factory=list)
    withdrawn: list[Finding] = field(default_factory=list)
    group: list[Draft] = field(default_factory=list)
    heading: str | None = None
    standing: bool = False  # the heading was a sentence of its own: it holds for those behind it
    both_ways: int = -1  # the clause in which joined places stood behind a reading
    following: str = ""  # the kind of the statement behind this one
    beside: str = ""  # the same, or "sep" where a pause stands between
    preceding: str = ""  # the kind of the statement before it, or "sep"
    by_itself: bool = False  # this statement is a sentence
    clause: int = 0
    doubt_next: bool = False  # the side was doubted before anything was said of a place
    joined: bool = False
    corrected: bool = False
    handled: set[int] = field(default_factory=set)
    reasons: list[tuple[str, tuple[int, int, int]]] = field(
        default_factory=list
    )  # said before what they are the reason of
    whole_notes: set[int] = field(default_factory=set)  # clauses whose words hold more than their entry can
    words: Sequence[Word] = ()

    def said_before(self, word: int, some: Sequence[str]) -> bool:
        """Whether one of these words stands right before a word."""
        return word > 0 and self.words[word - 1].text in some

    @property
    def spots(self) -> list[Spot]:
        """The place or places that a statement without one is about."""
        last = [d.spot for d in self.group if d.spot is not None]
        return last or ([self.looking_at] if self.looking_at else [])


def tokens_in(tree: Tree[Token]) -> list[Said]:
    """The tokens of a statement in order."""
    found = tree.scan_values(lambda value: isinstance(value, Token))
    return sorted((token.value for token in found), key=lambda said: said.first)


def parts_of(tree: Tree[Token]) -> tuple[list[Said], list[Spot], list[Said]]:
    """The sides, the places and the values of a statement."""
    tokens = tokens_in(tree)
    sides = [t for t in tokens if t.kind == "SIDE"]
    spots = [t.value for t in tokens if t.kind == "PLACE" and isinstance(t.value, Spot)]
    values = [t for t in tokens if t.kind in ("NUMBER", "RANGE", "WORD", "NOTHING", "SORE", "SAME", "WHEN")]
    return sides, spots, values


def span(tokens: Sequence[Said]) -> tuple[int, int]:
    """First and last word of some tokens."""
    return min(t.first for t in tokens), max(t.last for t in tokens)


def narrowed(spot: Spot, looking_at: Spot | None) -> Spot:
    """One word for several places means the one that is open, where it is among them."""
    if looking_at and len(spot.keys) > 1 and looking_at.keys[0] in spot.keys:
        return looking_at
    return spot


def stops(beside: Sequence[Tree[Token]]) -> bool:
    """Whether a sentence ends here: nothing more is said, or a full stop stands."""
    return not beside or (beside[0].data == "sep" and tokens_in(beside[0])[0].kind == "STOP")


def of_something_else(heard: Heard, first: int) -> bool:
    """Whether values from this word on are of what nobody understood: it had a side ("left two, right not much different,
    three"), and it stands between them and the last place."""
    last = max((draft.last for draft in heard.group), default=0)
    between = [(a, b, clause) for a, b, clause in heard.junk if last <= a < first]
    if any(not d.own and d.values.empty and d.clause == clause for d in heard.group for *_, clause in between):
        return True
    said = [
        meaning for a, b, _ in between for word in heard.words[a:b] for meaning in heard.lexicon.meanings(word.text)
    ]
    return any(meaning.kind == "side" for meaning in said)
