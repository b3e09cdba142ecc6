"""The page of `reasoner why`: what lies behind one sore place, each step down to the line in the visit and in the rule.

In: a `WhyHere` and the answer it came from. Out: lines for the terminal, or plain text.
Not here: finding the reasons. This path starts cold in a terminal, so nothing slow may be imported here.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.explanation.model import Concluded, Key
from reasoner.explanation.why import Reason, WhyHere
from reasoner.rendering import phrases, shared_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.text_page import GAP, USUAL, Line, plain_text

WHY_HERE = "why is it sore here: "


def why_text(why: WhyHere, answer: Answered, width: int = USUAL) -> str:
    """The page as plain text."""
    return plain_text(why_lines(why, answer), width)


def why_lines(why: WhyHere, answer: Answered) -> Iterator[Line]:
    """The page, line by line."""
    yield from place_head(why, answer)
    for number, reason in enumerate(why.reasons):
        yield GAP
        yield from _reason(reason, answer, also=number > 0)
    if not why.reasons:
        yield GAP
        yield Line(phrases.NO_REASON_HERE)
    others = [c for c in why.others if c.upper_band not in ("none", "against")]
    if others:
        yield GAP
        yield Line("not told yet; what was not checked could bring it up:", "strong")
    for concluded in others:
        words = wording.conclusion_words(answer.explanation, concluded.key, concluded.side)
        yield Line(words, indent=2, mark="-", tail=f"up to {phrases.pointers(concluded.upper_band)}")
        yield from shared_text.left_open(concluded, answer, 4)
    yield GAP
    yield from concerns_here(why, answer)
    yield Line(phrases.NOT_A_PROBABILITY, "faint")


def place_head(why: WhyHere, answer: Answered) -> Iterator[Line]:
    """The place and what was found there."""
    name = phrases.at_side(wording.full_name(why.where, why.name, answer.ready.book.vocabulary), why.side)
    found = why.finding
    if found is not None and not found.degree:  # quiet is a finding too, and nothing to ask the reason of
        doubt, words = answer.explanation.doubtful_quiet, answer.ready.book.vocabulary
        yield Line(f"{name}: {found.value}", "title", tail=f"{found.file}:{found.line}")
        in_doubt = phrases.QUIET_HERE_IN_DOUBT.format(circumstances=wording.findings(doubt, words))
        yield Line(in_doubt if doubt else phrases.QUIET_HERE, "faint", 2)
    elif found is not None:
        yield Line(f"{WHY_HERE}{name}: {found.value}", "title", tail=f"{found.file}:{found.line}")
        if not why.notable:
            yield Line(phrases.ASKS_FOR_NOTHING, "faint", 2)
    elif why.not_examined:
        reason = phrases.plain(why.not_examined)
        yield Line(f"{name}: could not be examined ({reason}), which says nothing either way", "title")
    else:
        yield Line(f"{name}: nothing was written down for it", "title", tail=answer.visit.file)


def _reason(reason: Reason, answer: Answered, *, also: bool) -> Iterator[Line]:
    concluded = reason.concluded
    before = "behind that, " if len(reason.path) > 1 else "also possible, " if also else ""
    yield Line(f"{before}{shared_text.how_firm(concluded)}: {concluded.words}", "strong", 2, tail=concluded.file)
    if len(reason.path) > 1:
        yield Line(_by_way(reason.path, answer), indent=4)
    yield from shared_text.evidence(concluded, answer.ready.book, 4, bases=True)
    yield from shared_text.left_open(concluded, answer, 4)
    yield from _silent(concluded, answer)
    if concluded.can_mislead:
        yield Line(f"can mislead: {concluded.can_mislead}", "faint", 4)


def _by_way(path: tuple[Key, ...], answer: Answered) -> str:
    steps = [wording.conclusion_words(answer.explanation, *key) for key in path[1:]]
    return "it leads here by way of: " + " -> ".join(map(phrases.clause, steps))


def _silent(concluded: Concluded, answer: Answered) -> Iterator[Line]:
    """Rules that were known and too weak to speak; they are named so that silence is not mistaken for absence."""
    below = [rule.name for rule in concluded.silent if rule.state == "below"]
    if below:
        yield Line("looked at and not met: " + "; ".join(below), "faint", 4)


def concerns_here(why: WhyHere, answer: Answered) -> Iterator[Line]:
    """A reason to call the veterinarian that stands on this very place is never left out of its why."""
    for concern in answer.referral.concerns:
        if any((f.where, f.side) == (why.where, why.side) for f in concern.findings):
            yield Line(phrases.called(concern.call, concern.when) + f": {concern.words}", "alarm",
                       tail=f"{concern.file}:{concern.line}")  # fmt: skip
