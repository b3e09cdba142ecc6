"""What differs between two answers to one visit: under two rulebooks, or as it stands and as it is supposed.

In: the answer before and the answer after. Out: `Change`s, a pure comparison.
Not here: reading visits, judging them, wording (rendering.impact_text, rendering.suppose_text).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, TypeVar

from reasoner.frozen import frozen

if TYPE_CHECKING:
    from reasoner.consult import Answer
    from reasoner.explanation.model import Chain
    from reasoner.plan.concerns import RaisedConcern
    from reasoner.plan.model import StepOf, Withheld

#: What is compared, in the order it is told: the most pressing first.
KINDS = ("level", "concern", "riding", "step", "order", "withheld", "starting_points", "conclusion", "reading")
Key = TypeVar("Key")
Thing = TypeVar("Thing")


@frozen
class Had:
    """How one of the two answers has it: `words` for people; `value` one word or number of the answer, empty if absent."""

    value: str
    words: str = ""


@frozen
class Change:
    """One difference. `key` and `side` name the thing; for level, riding, order and starting points the key is empty."""

    kind: str
    key: str
    side: str
    name: str
    before: Had
    after: Had


ABSENT = Had("", "")


def changes_between(before: Answer, after: Answer) -> tuple[Change, ...]:
    """Every difference that a practitioner would see, in the order of `KINDS`; empty if the answers agree."""
    return (
        *_level(before, after),
        *_concerns(before, after),
        *_riding(before, after),
        *_steps(before, after),
        *_withheld(before, after),
        *_starting_points(before, after),
        *_conclusions(before, after),
    )


def reads_only_with(after: bool, fault: str) -> Change:
    """A visit that only one of the two rulebooks can read; `fault` is the first thing the other finds wrong with it."""
    reads, does_not = Had("reads", "reads"), Had("does not read", fault)
    return Change("reading", "", "", "the visit file", *((does_not, reads) if after else (reads, does_not)))


def _level(before: Answer, after: Answer) -> Iterator[Change]:
    one, two = before.referral.level, after.referral.level
    if one != two:
        yield Change("level", "", "", "when to call the veterinarian", Had(one, one), Had(two, two))


def _concerns(before: Answer, after: Answer) -> Iterator[Change]:
    def told(concern: RaisedConcern) -> Had:
        stopped = ", ".join(concern.standing_stops)
        said = stopped.replace("_", " ").replace("hands on", "hands-on") or "nothing"
        return Had(f"{concern.call}: {stopped}", f"{concern.call}; stops {said}")

    one = {(c.key, c.place, c.side): c for c in before.referral.concerns}
    two = {(c.key, c.place, c.side): c for c in after.referral.concerns}
    for (key, place, side), old, new, some in _pairs(one, two):
        was, is_ = (told(c) if c else ABSENT for c in (old, new))
        if was != is_:
            yield Change("concern", f"{key}/{place}" if place else key, side, some.words, was, is_)


def _riding(before: Answer, after: Answer) -> Iterator[Change]:
    one, two = before.plan.riding.answer, after.plan.riding.answer
    if one != two:
        yield Change("riding", "", "", "may it be ridden", Had(one, one), Had(two, two))


def _steps(before: Answer, after: Answer) -> Iterator[Change]:
    def told(step: StepOf) -> Had:
        return Had("step", " ".join(part for part in (step.words, step.dose) if part))

    one = {(s.key, s.side): s for s in before.plan.steps}
    two = {(s.key, s.side): s for s in after.plan.steps}
    for (key, side), old, new, some in _pairs(one, two):
        was, is_ = (told(s) if s else ABSENT for s in (old, new))
        if was != is_:
            yield Change("step", key, side, some.words, was, is_)
    kept = [[k for k in steps if k in one and k in two] for steps in (one, two)]
    if kept[0] != kept[1]:
        was, is_ = (Had("; ".join(" ".join(k).strip() for k in row)) for row in kept)
        yield Change("order", "", "", "the order of the steps", Had(was.value, was.value), Had(is_.value, is_.value))


def _withheld(before: Answer, after: Answer) -> Iterator[Change]:
    def told(held: Withheld) -> Had:
        return Had("withheld", " ".join(held.because))

    one = {(w.key, w.side): w for w in before.plan.withheld}
    two = {(w.key, w.side): w for w in after.plan.withheld}
    for (key, side), old, new, some in _pairs(one, two):
        was, is_ = (told(w) if w else ABSENT for w in (old, new))
        if was != is_:
            yield Change("withheld", key, side, some.words, was, is_)


def _starting_points(before: Answer, after: Answer) -> Iterator[Change]:
    def told(answer: Answer) -> Had:
        account = answer.explanation.account
        points = [_point(chain, answer) for chain in account.starting_points]
        keys = [f"{chain.key} {chain.side}".strip() for chain in account.starting_points]
        if account.too_little:
            points, keys = [*points, "too little to say"], [*keys, "too little to say"]
        return Had("; ".join(keys), " ".join(points) or "none")

    one, two = told(before), told(after)
    if one.value != two.value:
        yield Change("starting_points", "", "", "the account's starting points", one, two)


def _point(chain: Chain, answer: Answer) -> str:
    return answer.explanation.concluded[chain.key, chain.side].words


def _conclusions(before: Answer, after: Answer) -> Iterator[Change]:
    one, two = before.explanation.concluded, after.explanation.concluded
    for (key, side), old, new, some in _pairs(one, two):
        was, is_ = (Had(c.band, f"{c.certainty:.2f}") if c else ABSENT for c in (old, new))
        # A page the other rulebook does not have says nothing; that is no change where this one says nothing either.
        if (was.value or "none") != (is_.value or "none"):
            yield Change("conclusion", key, side, some.words, was, is_)


def _pairs(
    one: Mapping[Key, Thing], two: Mapping[Key, Thing]
) -> Iterator[tuple[Key, Thing | None, Thing | None, Thing]]:
    """Every key of either, with what each has, and whichever is there: in the order of the new one, then what is gone."""
    for key in dict.fromkeys([*two, *one]):
        yield key, one.get(key), two.get(key), two[key] if key in two else one[key]
