"""A line spoken or typed on the page: what is sent of it, and what was understood, as its script reads it.

In: JSON from a telephone; an `Understood`. Out: the lines and answers to read; finds, what was left out, questions, kept pieces.
Not here: understanding a line, entering anything (the telephone does, after a yes).
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, Field, StringConstraints

from reasoner.lines import Finding, PassedOver, Question, Understood, answered, understood
from reasoner.lines.called import rest_of_region
from reasoner.lines.words import MOST_LETTERS
from reasoner.lines.writing import Plain, plain_readings
from reasoner.page.drafts import Exact, Key
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.rulebook import Rulebook

register({"LN10": "an answer to a question that the line does not ask"})

Line = Annotated[str, StringConstraints(min_length=1, max_length=MOST_LETTERS)]
Answer = Annotated[str, StringConstraints(min_length=1, max_length=80)]
Kind = Literal["verb", "place", "side", "reading"]
#: What a visit's draft calls a refusal: a word among the answers, and no reading beside it.
_REFUSED: Plain = {"response": "would not allow"}


class Answered(Exact):
    """An answer to a question of the line: the question by its kind and by what it is about, and one of its offers."""

    about: list[Line] = Field(min_length=1, max_length=20)
    kind: Kind
    answer: Answer


class LineIn(Exact):
    """A line; the place that was open when it was said; the visit's last lines that were said yes to, the last of them last; and
    the answers given to its questions so far, in order."""

    line: Line
    looking_at: Key | None = None
    earlier: list[Line] = Field(default_factory=list, max_length=5)
    answers: list[Answered] = Field(default_factory=list, max_length=40)


class Find(BaseModel):
    """A reading of a place (`at`) or of an entry. `side`: left, right, middle, or nothing for an entry without sides."""

    at: str | None = None
    entry: str | None = None
    side: Literal["left", "right", "middle"] | None = None
    reading: str | dict[str, str | list[str]]


class Passed(BaseModel):
    """A place, a region or an entry that was not examined; `reason` is a word of the vocabulary, or empty. `rest`: the other
    places of a region that bears the same name; they are marked only where somebody says that they are meant as well."""

    at: str | None = None
    region: str | None = None
    entry: str | None = None
    side: Literal["left", "right", "both", "middle"] | None = None
    reason: str
    rest: list[str] | None = None


class Ask(BaseModel):
    """A question that has to be answered before anything of it is entered. Without offers it can only be kept as a note."""

    kind: Kind
    about: list[str]
    offers: list[str]


class Told(BaseModel):
    """Everything a line gives. `withdrawn` are findings of the earlier lines that it takes back; `called` what a place was called
    in the line, where its own name does not hold that."""

    finds: list[Find]
    not_examined: list[Passed]
    asks: list[Ask]
    kept: list[str]
    withdrawn: list[Find]
    called: dict[str, str]


def told_by(said: LineIn, book: Rulebook) -> Told:
    """The line with its answers taken in. Raises BadInput: LN07 a place that is none, LN02 an answer that is none, LN10 an answer
    to what was not asked."""
    told = understood(said.line, book, said.looking_at, _entered(said.earlier, book))
    for answer in said.answers:
        told = answered(told, _asked(told, answer), answer.answer, book)
    return Told(
        finds=_finds(told.findings), not_examined=[_passed(one, book) for one in told.not_examined], kept=list(told.kept),
        asks=[Ask(kind=one.ask, about=list(one.about), offers=list(one.offers)) for one in told.questions],
        withdrawn=_finds(told.withdrawn), called=dict(told.called),
    )  # fmt: skip


def _entered(earlier: list[str], book: Rulebook) -> tuple[Finding, ...]:
    """What the earlier lines entered. How the questions of one were answered is not sent, and what one left out is no finding:
    what was entered before it is then no longer the last thing said, and is not offered to a correction that means something
    else."""
    out: tuple[Finding, ...] = ()
    for line in earlier:
        told = understood(line, book, None, out)
        kept = tuple(one for one in out if one not in told.withdrawn)
        out = () if told.questions or told.not_examined else (*kept, *told.findings)
    return out


def _asked(told: Understood, answer: Answered) -> Question:
    for question in told.questions:
        if question.ask == answer.kind and list(question.about) == answer.about:
            return question
    open_now = [f"{one.ask} of {', '.join(one.about)}" for one in told.questions]
    raise BadInput([Problem("the answer", 0, "LN10", f'"{", ".join(answer.about)[:60]}" is not asked of this line.',
                            f"Asked now: {'; '.join(open_now)[:200]}." if open_now else "Nothing is asked now.")])  # fmt: skip


def _finds(findings: tuple[Finding, ...]) -> list[Find]:
    spots: dict[tuple[str, str, str | None], list[Finding]] = {}
    for finding in findings:
        spots.setdefault((finding.kind, finding.key, finding.side), []).append(finding)
    return [_find(some) for some in spots.values()]


def _find(some: list[Finding]) -> Find:
    first = some[0]
    reading = plain_readings(some)
    if first.kind == "entry":
        return Find(entry=first.key, side=first.side, reading=reading)
    if any(one.reading.refused for one in some):
        reading = _REFUSED
    return Find(at=first.key, side=first.side or "middle", reading=reading)


def _passed(one: PassedOver, book: Rulebook) -> Passed:
    at, region, entry = (one.key if one.kind == kind else None for kind in ("place", "region", "entry"))
    side = one.side or ("middle" if one.kind == "place" else None)
    rest = list(rest_of_region(one, book.vocabulary)) or None
    return Passed(at=at, region=region, entry=entry, side=side, reason=one.reason, rest=rest)
