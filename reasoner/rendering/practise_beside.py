"""The choices of an ended practice session beside the reasoner's, a row each: the referral first, then causes, then steps.

In: `Marked`. Out: rows of words.
Not here: why (practise_marks_text).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from reasoner.explanation.from_record import OTHER, filled
from reasoner.frozen import frozen
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.marked import Cause, Marked
from reasoner.teaching.session import NONE

NOTHING = "not named"
BY_THE_STORY = "the case was made from it, and the rules do not begin with it"
How = Literal[
    "the same", "off", "too late", "too early", "stopped", "not named by you", "only named by you", "the other side"
]


@frozen(kw_only=True)
class Beside:
    """What it is about, what the apprentice chose, what the rules have there, and how the two lie to each other."""

    about: str
    yours: str
    rules: str
    how: How


def beside(marks: Marked, book: Rulebook) -> Iterator[Beside]:
    """Every choice of the session, and every one of the rules that was not made. Looks are not among them: each has its value."""
    said = marks.referral
    words = {NONE: "no call", **{key: f"{key}, {when}" for key, when in book.scales.calls.items()}}
    degrees = tuple(words)
    open_to_see = degrees[max(degrees.index(said.said), degrees.index(said.seen)) + said.not_seen]
    yield Beside(about="the veterinarian", yours=words[said.said], rules=words[open_to_see if said.not_seen else said.seen],
                 how="too late" if said.low or said.not_seen else "too early" if said.high else "the same")  # fmt: skip
    for cause in marks.found:
        begins = (cause.key, cause.side) in {(one.key, one.side) for one in marks.starting_points}
        yield _cause(cause, _held(cause), cause.words if begins else BY_THE_STORY, "the same" if begins else "off")
    for cause in marks.other_side:
        other = filled(book.conclusions[cause.key].says, OTHER[cause.side])
        yield _cause(cause, _held(cause), other, "the other side")
    for cause in marks.missed:
        yield _cause(cause, NOTHING, cause.words, "not named by you")
    for cause in marks.on_the_way:
        yield _cause(cause, _held(cause), "part of the same chain, and not where it begins", "off")
    for cause in marks.supported:
        yield _cause(cause, _held(cause), "something speaks for it, and the account does without", "off")
    for cause in marks.jumped_to:
        yield _cause(cause, _held(cause), "nothing speaks for it", "only named by you")
    for step in marks.steps_stopped:
        yield Beside(about="a step", yours=step.words, rules="stopped by something that stands", how="stopped")
    for step in marks.steps_right:
        yield Beside(about="a step", yours=step.words, rules=step.words, how="the same")
    for step in marks.steps_other:
        yield Beside(about="a step", yours=step.words, rules="not in their plan", how="only named by you")
    for step in marks.steps_missed:
        yield Beside(about="a step", yours=NOTHING, rules=step.words, how="not named by you")


def _cause(cause: Cause, yours: str, rules: str, how: How) -> Beside:
    return Beside(about="a cause", yours=yours, rules=rules, how=how)


def _held(cause: Cause) -> str:
    return f"{cause.words.rstrip('.')}, {cause.share:.0%}"
