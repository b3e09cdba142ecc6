"""What was found, in the order of the walk round the horse, and what each finding makes one think of.

In: an `Answer` and the conclusions the lesson weighs. Out: `Noticed`, one an entry of the visit, both sides together.
Not here: words, whether a conclusion holds.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from reasoner.explanation.model import Finding, Item, Key
from reasoner.frozen import frozen
from reasoner.questions.next_check import EMERGENCY
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.teaching.threads import Weighed

if TYPE_CHECKING:
    from reasoner.consult import Answer

MOST = 6
"""How many findings are told outright; the others are folded."""


@frozen(kw_only=True)
class Thought:
    """What a finding makes one think of, or turns one away from: a conclusion, and the rules of its page that speak so because
    of this finding, the loudest first. `supported`: the conclusion stands at the end."""

    key: Key
    speaks_for: bool
    items: tuple[Item, ...]
    supported: bool


@frozen(kw_only=True)
class Noticed:
    """One entry of the visit with what was found on each side.

    `asks`: it asks for an explanation by itself. `calls`: a reason to call the veterinarian rests on it. `leading`: told
    outright. `thoughts`: what stands at the end first, of those what speaks for before what speaks against, then the loudest.
    """

    where: str
    findings: tuple[Finding, ...]
    asks: bool
    calls: bool
    leading: bool
    thoughts: tuple[Thought, ...]


def noticed(answer: Answer, thread: Sequence[Weighed], told: Sequence[Weighed]) -> tuple[tuple[Noticed, ...], int]:
    """(what was found, how many more entries speak only against something, or for what does not stand).

    Told outright are the entries that weigh most on the `thread`; without one, what asks for an explanation, or else calls.
    Folded is the rest of what asks for one, calls, or bears on `told` or on anything that stands. At an emergency what calls is
    folded as well: it is told with the call.
    """
    explanation, words = answer.explanation, answer.ready.book.vocabulary
    asks = {f.where for f in explanation.notable}
    calls = {f.where for concern in answer.referral.concerns for f in concern.findings}
    supported = {(c.key, c.side) for c in explanation.supported()}
    bears = {one.key for one in told} | supported
    heard = dict(_heard(answer))
    found: dict[str, dict[tuple[str, str], Finding]] = {}
    for finding in _every(answer, heard):
        found.setdefault(finding.where, {}).setdefault((finding.side, finding.value), finding)
    entries = sorted(found, key=lambda where: (walk_of(where, words), where))
    thoughts = {where: _thoughts(heard.get(where, ()), supported) for where in entries}
    kept = [
        where for where in entries
        if where in asks | calls or any(one.key in bears and (one.speaks_for or one.key in supported)
                                        for one in thoughts[where])
    ]  # fmt: skip
    weight = {where: _weight(thoughts[where], {one.key for one in thread}) for where in kept}
    heavy = [where for where in kept if any(weight[where]) or where in asks]
    first = sorted(heavy, key=lambda w: (*(-share for share in weight[w]), walk_of(w, words), w))
    if answer.referral.level == EMERGENCY:
        first = [where for where in first if where not in calls]
    elif not first:
        first = sorted(kept, key=lambda w: (w not in calls, walk_of(w, words), w))
    leading = set(first[:MOST])
    return tuple(
        Noticed(where=where, findings=tuple(found[where].values()), asks=where in asks, calls=where in calls,
                leading=where in leading, thoughts=thoughts[where])
        for where in kept
    ), len(entries) - len(kept)  # fmt: skip


def _heard(answer: Answer) -> Iterator[tuple[str, list[tuple[Key, Item]]]]:
    """Every entry with the rules that count and rest on it, and the conclusions they speak for or against."""
    found: dict[str, list[tuple[Key, Item]]] = {}
    for key, concluded in answer.explanation.concluded.items():
        for item in (*concluded.supporting, *concluded.opposing):
            if item.share:
                for where in dict.fromkeys(f.where for f in item.findings):
                    found.setdefault(where, []).append((key, item))
    yield from found.items()


def _every(answer: Answer, heard: dict[str, list[tuple[Key, Item]]]) -> Iterator[Finding]:
    """Every finding that is told: what asks for an explanation, what calls, and what a rule that counts rests on."""
    yield from answer.explanation.notable
    yield from answer.explanation.mild
    for concern in answer.referral.concerns:
        yield from concern.findings
    for where, rules in heard.items():
        for _, item in rules:
            yield from (f for f in item.findings if f.where == where)


def _thoughts(heard: Sequence[tuple[Key, Item]], supported: set[Key]) -> tuple[Thought, ...]:
    by: dict[tuple[Key, bool], list[Item]] = {}
    for key, item in heard:
        by.setdefault((key, item.share > 0.0), []).append(item)
    thoughts = [
        Thought(key=key, speaks_for=speaks_for, supported=key in supported,
                items=tuple(sorted(items, key=lambda item: (-abs(item.share), item.rule))))
        for (key, speaks_for), items in by.items()
    ]  # fmt: skip
    loud = {(one.key, one.speaks_for): sum(abs(item.share) for item in one.items) for one in thoughts}
    return tuple(
        sorted(
            thoughts,
            key=lambda one: (not one.supported, not one.speaks_for, -loud[one.key, one.speaks_for], one.key),
        )
    )


def _weight(thoughts: Sequence[Thought], thread: set[Key]) -> tuple[float, float]:
    """How much an entry weighs on the thread, in counted weight: (for it, against it)."""
    shares = [item.share for one in thoughts if one.key in thread for item in one.items]
    return round(sum(s for s in shares if s > 0.0), 9), round(-sum(s for s in shares if s < 0.0), 9)


def walk_of(where: str, words: Vocabulary) -> int:
    """Where on the walk round the horse an entry comes."""
    place, observation = words.places.get(where), words.observations.get(where)
    return place.walk if place is not None else observation.walk if observation is not None else 0
