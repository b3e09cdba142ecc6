"""Where the account turns: which finding, written otherwise or not looked at, would make another cause lead.

In: an `Answer` and its strands. Out: a `Turning`.
Not here: words. Nothing is reckoned here: written otherwise is questions.overturn, not looked at is the visit judged again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from reasoner.consult import judge
from reasoner.explanation.model import Finding, Key
from reasoner.facts.from_visit import SETTLED
from reasoner.frozen import frozen
from reasoner.questions.changes import Change, changed, spot_of
from reasoner.questions.edits import Edit
from reasoner.questions.overturn import Found, overturned
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.teaching.noticed import walk_of
from reasoner.teaching.threads import Strand

if TYPE_CHECKING:
    from reasoner.consult import Answer

MOST = 3
"""How many turning points are told outright; the others are folded."""
WORK = 20_000
"""How far changes of several readings are tried, in rows of the pass (see questions.overturn): a page is waited for."""


@frozen(kw_only=True)
class Otherwise:
    """One reading written otherwise: what stands in the visit, and the words or scores that each turn the account alike."""

    where: str
    side: str
    when: str
    about: tuple[str, str] | None
    before: str
    afters: tuple[str, ...]
    line: int


@frozen(kw_only=True)
class Turn:
    """A turning point: the readings to be written otherwise together, and `missing`, the finding that turns it as well if nobody
    had looked; either may be all there is. `leads` would lead then (nothing, where it is empty). `side_only`: the same cause,
    on one side of two or on both. `leading`: told outright."""

    otherwise: tuple[Otherwise, ...] = ()
    missing: Finding | None = None
    leads: tuple[Key, ...]
    side_only: bool = False
    leading: bool = False


@frozen(kw_only=True)
class Turning:
    """The turning points, those that lean on findings of the thread first; `found` says how far the search went, and of how many
    readings (`units`)."""

    turns: tuple[Turn, ...]
    found: Found
    units: int


def turning_of(answer: Answer, strands: Sequence[Strand]) -> Turning:
    """Where the account turns."""
    words = answer.ready.book.vocabulary
    told = overturned(answer, work=WORK)
    thread = [f for s in strands if s.leading for item in s.weighed.rules_in for f in item.findings]
    leaning = {f.where for f in thread}
    now = answer.explanation.leading
    every = [replace(turn, side_only=_only_a_side(turn.leads, now)) for turn in _together(told.leading, answer, thread)]
    every.sort(key=lambda turn: (turn.side_only, not leaning & _wheres(turn), *_order(turn, words)))
    first = list(dict.fromkeys(_about(turn) for turn in every if not turn.side_only))[:MOST]
    turns = tuple(replace(turn, leading=_about(turn) in first and not turn.side_only) for turn in every)
    return Turning(turns=turns, found=told.leading, units=told.units)


def _only_a_side(leads: Sequence[Key], now: Sequence[Key]) -> bool:
    """Whether the same cause still leads, on fewer sides or on more."""
    return (
        bool(leads)
        and (set(leads) < set(now) or set(leads) > set(now))
        and {k for k, _ in leads} == {k for k, _ in now}
    )


def _together(found: Found, answer: Answer, thread: Sequence[Finding]) -> list[Turn]:
    """The turning points; what turns alike if it is written otherwise or not looked at is one."""
    turns = _otherwise(found)
    missing = {(f.where, f.side, leads): f for f, leads in _missing(answer, thread)}
    for n, turn in enumerate(turns):
        if len(turn.otherwise) == 1:
            one = turn.otherwise[0]
            turns[n] = replace(turn, missing=missing.pop((one.where, one.side, turn.leads), None))
    return [*turns, *(Turn(missing=finding, leads=leads) for (_, _, leads), finding in missing.items())]


def _otherwise(found: Found) -> list[Turn]:
    """The smallest changes; those of one reading that bring the same are told together."""
    grouped: dict[tuple[object, ...], list[tuple[Edit, ...]]] = {}
    for one in found.changes:
        names = tuple((e.key, e.side, e.when, e.about, e.before, e.line) for e in one.edits)
        afters = () if len(one.edits) == 1 else tuple(e.after for e in one.edits)
        grouped.setdefault((names, afters, one.becomes), []).append(one.edits)
    turns = []
    for (_, _, becomes), sets in grouped.items():
        readings = tuple(
            Otherwise(where=e.key, side=e.side, when=e.when, about=e.about, before=e.before, line=e.line,
                      afters=tuple(dict.fromkeys(edits[n].after for edits in sets)))
            for n, e in enumerate(sets[0])
        )  # fmt: skip
        turns.append(Turn(otherwise=readings, leads=becomes if isinstance(becomes, tuple) else ()))
    return turns


def _missing(answer: Answer, thread: Sequence[Finding]) -> Iterator[tuple[Finding, tuple[Key, ...]]]:
    """The findings of the thread without which something else would lead, one by one, and what that is."""
    written = {spot_of(t) for t in answer.visit.touches} | {spot_of(n) for n in answer.visit.noted}
    now = set(answer.explanation.leading)
    for spot, finding in {(f.where, f.side): f for f in thread}.items():
        if spot in written and finding.where != SETTLED:
            after = judge(changed(answer.visit, Change(without=(spot,))), answer.ready).explanation.leading
            if set(after) != now:
                yield finding, after


def _about(turn: Turn) -> tuple[str, ...]:
    """What is to be looked at a second time, whichever side it is on."""
    return tuple(sorted(_wheres(turn)))


def _wheres(turn: Turn) -> set[str]:
    return {one.where for one in turn.otherwise} or ({turn.missing.where} if turn.missing is not None else set())


def _order(turn: Turn, words: Vocabulary) -> tuple[object, ...]:
    """Few readings first, then in the order of the walk; of one entry what is written otherwise before what is missing."""
    walks = sorted((walk_of(where, words), where) for where in _wheres(turn))
    sides = tuple(one.side for one in turn.otherwise) or ((turn.missing.side,) if turn.missing is not None else ())
    return max(len(turn.otherwise), 1), walks, not turn.otherwise, turn.leads, sides
