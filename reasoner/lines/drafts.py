"""What a statement says before it is known whether it may be entered: a place or an entry, a side, values.

In: value tokens. Out: `Draft` and `Values`, which the reader of a line changes as it goes on.
Not here: questions, findings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import cast

from reasoner.lines.lexicon import Meaning
from reasoner.lines.model import Finding, Reading
from reasoner.lines.said import Said, Spot
from reasoner.lines.tokens import NO_ANSWER
from reasoner.visit.model import When


@dataclass
class Values:
    """What was said of one spot. `maybe` are numbers of which it is one, `sore` that it hurts and nobody said how much."""

    numbers: list[Decimal] = field(default_factory=list)
    maybe: list[Decimal] = field(default_factory=list)
    responses: list[str] = field(default_factory=list)
    felt: list[str] = field(default_factory=list)
    depth: str = ""
    touch: str = ""
    nothing: bool = False
    sore: bool = False
    same: bool = False
    more: bool = False  # sore, said as more or less than something
    either: list[tuple[str, tuple[str, ...]]] = field(default_factory=list)
    unanswered: bool = False  # nothing, said as "no reaction": beside a number it is the answer, and no second number
    later: dict[When, Values] = field(default_factory=dict)

    @property
    def counted(self) -> bool:
        """Whether a number, or nothing at all, was said."""
        return bool(self.numbers or self.maybe or self.nothing)

    @property
    def empty(self) -> bool:
        """Whether nothing was said."""
        return not (
            self.counted
            or self.responses
            or self.felt
            or self.depth
            or self.touch
            or self.sore
            or self.same
            or self.either
            or self.later
        )

    def add(self, other: Values) -> None:
        """What else was said of the same spot."""
        self.numbers += [n for n in other.numbers if n not in self.numbers]
        self.maybe += [n for n in other.maybe if n not in self.maybe]
        self.responses += [w for w in other.responses if w not in self.responses]
        self.felt += [w for w in other.felt if w not in self.felt]
        self.either += other.either
        for when, values in other.later.items():
            self.later.setdefault(when, Values()).add(values)
        self.depth, self.touch = other.depth or self.depth, other.touch or self.touch
        plain = (self.nothing and not self.unanswered) or (other.nothing and not other.unanswered)
        self.nothing, self.sore, self.same = (
            self.nothing or other.nothing,
            self.sore or other.sore,
            self.same or other.same,
        )
        self.unanswered = self.nothing and not plain

    def instead(self, other: Values) -> Values:
        """These values, corrected: what `other` says stands in the place of its like."""
        out = replace(self, responses=[*self.responses], felt=[*self.felt], numbers=[*self.numbers], maybe=[*self.maybe],
                      either=[*self.either],
                      later={when: values.copy() for when, values in self.later.items()})  # fmt: skip
        if other.counted or other.sore:
            out.numbers, out.maybe, out.nothing = [*other.numbers], [*other.maybe], other.nothing
        out.responses = [*other.responses] or out.responses
        out.felt = [*other.felt] or out.felt
        out.depth, out.touch = other.depth or out.depth, other.touch or out.touch
        return out

    def copy(self) -> Values:
        """Another of the same."""
        return self.instead(Values())

    def reading(self) -> Reading:
        """As a reading; a number only where there is exactly one."""
        responses = self.responses
        if self.unanswered and self.numbers:
            responses = [*responses, *([NO_ANSWER] if NO_ANSWER not in responses else [])]
        number = self.numbers[0] if len(self.numbers) == 1 and not self.maybe else None
        if self.nothing and not self.numbers and not self.maybe:
            number = Decimal(0)
        return Reading(
            soreness=number, responses=tuple(responses), felt=tuple(self.felt), depth=self.depth, touch=self.touch
        )


def values_of(tokens: Sequence[Said]) -> Values:
    """The values that these tokens say. Behind "once settled" stands what was read then; with nothing behind, what is before."""
    at = next((n for n, token in enumerate(tokens) if token.kind == "WHEN"), None)
    if at is not None:
        held = tokens[at].value
        before, after = tokens[:at], tokens[at + 1 :]
        out = values_of(before) if after else Values()
        if isinstance(held, Meaning):
            out.later[cast(When, held.key)] = values_of(after or before)
        return out
    out = Values()
    for token in tokens:
        held = token.value
        if token.kind == "NUMBER" and isinstance(held, Decimal):
            out.numbers += [held] if held not in out.numbers else []  # "the left one one" says one number
        elif token.kind == "RANGE" and isinstance(held, tuple):
            out.maybe += list(held)
        elif token.kind == "NOTHING":
            out.nothing = True
            out.unanswered = isinstance(held, Meaning) and held.kind == "response"
        elif token.kind == "SORE":
            out.sore, out.more = True, token.value is None
        elif token.kind == "SAME":
            out.same = True
        elif isinstance(held, Meaning) and held.kind in ("either", "either_counted"):
            out.either.append((held.key, held.keys))
        elif isinstance(held, Meaning):
            _add_word(out, held)
    return out


def _add_word(values: Values, word: Meaning) -> None:
    if word.kind == "response":
        values.responses.append(word.key)
    elif word.kind == "felt":
        values.felt.append(word.key)
    elif word.kind == "depth":
        values.depth = word.key
    elif word.kind == "touch":
        values.touch = word.key


@dataclass(eq=False)
class Draft:
    """One spot or entry with what was said of it. `own`: the name was said in this very statement. `asked`: the side is in doubt,
    whatever was said. `before`: its side stood right before its name. `origin` is a finding of an earlier line it replaces.
    `torn`: which of its numbers belongs to which side cannot be told. `of_both`: it was said of both sides at once."""

    spot: Spot | None
    side: str | None
    values: Values
    first: int
    last: int
    clause: int
    entry: str = ""
    value: str = ""
    own: bool = True
    opens: bool = False
    asked: bool = False
    before: bool = False
    verb: bool = False
    unread: bool = False
    torn: bool = False
    of_both: bool = False
    origin: Finding | None = None

    @property
    def about(self) -> tuple[str, ...]:
        """What it is of, to be compared with another's."""
        return (self.entry,) if self.entry or self.spot is None else self.spot.keys
