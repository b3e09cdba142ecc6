"""One finding is one reason to call: a milder concern is told with the more pressing one that it yields to.

In: every concern raised, with what a veterinarian's word opened of it. Out: the concerns to list.
Not here: which are raised, and the level: both are settled before anything is folded, so that folding lowers neither.

INVARIANT: what stands stopped before stands stopped after, and no word opens more of the two together than of each alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TypeVar

from reasoner.explanation.model import Finding
from reasoner.plan.concerns import Folded, RaisedConcern
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import canonical

Spot = tuple[str, str, str]
Thing = TypeVar("Thing")


def folded(raised: Sequence[RaisedConcern], book: Rulebook) -> tuple[RaisedConcern, ...]:
    """The concerns to list, in the order given; those that yield are told with the one they yield to."""
    standing = {_spot(concern): concern for concern in raised}
    under: dict[Spot, list[RaisedConcern]] = {}
    for concern in raised:
        head = _head(concern, standing, book)
        if head is not concern:
            under.setdefault(_spot(head), []).append(concern)
    below = {_spot(concern) for many in under.values() for concern in many}
    return tuple(_told_with(c, under.get(_spot(c), ())) for c in raised if _spot(c) not in below)


def _spot(concern: RaisedConcern) -> Spot:
    return concern.key, concern.side, concern.place


def _head(concern: RaisedConcern, standing: dict[Spot, RaisedConcern], book: Rulebook) -> RaisedConcern:
    """The concern it is told with: up from page to page, each more pressing than the last; itself where none stands."""
    order = list(book.scales.calls)
    keys = (canonical(key) for key in book.concerns[concern.key].yields_to)
    above = [
        standing[key, concern.side, concern.place] for key in keys if (key, concern.side, concern.place) in standing
    ]
    if not above:
        return concern
    return _head(max(above, key=lambda c: (order.index(c.call), c.key)), standing, book)


def _told_with(head: RaisedConcern, milder: Sequence[RaisedConcern]) -> RaisedConcern:
    if not milder:
        return head
    standing = [stop for concern in milder for stop in concern.standing_stops]
    said = set(map(_where, head.findings))
    own = [c for c in milder if not set(map(_where, c.findings)) <= said]
    return replace(
        head,
        stops=_each((*head.stops, *standing)),
        # A word opens what every one of them that stops it has opened.
        released=tuple(stop for stop in head.released if stop not in standing),
        signs=_each((*head.signs, *(sign for concern in own for sign in concern.signs))),
        findings=tuple(sorted(_findings((head, *milder)), key=lambda f: (f.line, f.where, f.side))),
        tell_the_vet=_each((*head.tell_the_vet, *(line for concern in milder for line in concern.tell_the_vet))),
        folds=tuple(Folded(c.key, c.call, c.words, c.file, c.line) for c in milder),
        riding_says=next((c.riding_says for c in (head, *milder) if c.riding_says), ""),
    )


def _where(finding: Finding) -> tuple[str, str]:
    return finding.where, finding.side


def _findings(concerns: Iterable[RaisedConcern]) -> Iterator[Finding]:
    """What they rest on, each place or observation once."""
    yield from {_where(f): f for concern in reversed(tuple(concerns)) for f in concern.findings}.values()


def _each(things: Iterable[Thing]) -> tuple[Thing, ...]:
    return tuple(dict.fromkeys(things))
