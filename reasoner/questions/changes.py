"""A visit with some of its readings written otherwise.

In: a `Visit` and a `Change`. Out: the visit as it would stand in the edited file.
Not here: reading the new words (written), what they do to the answer.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TypeVar

from reasoner.frozen import frozen
from reasoner.visit.model import Noted, Touch, Visit

AFTER_WORK = "after_work"
Entry = TypeVar("Entry", Touch, Noted)
Spot = tuple[str, str]
"""A place or observation and its side, "" where it has none."""


@frozen
class Change:
    """Readings written in place of what the visit says of the same thing, side and time, or beside it.

    `without` takes out what was written of these spots before any work: they are then not examined. It comes before what
    is written. A reading after work stands on a line of its own and stays.
    """

    touches: tuple[Touch, ...] = ()
    noted: tuple[Noted, ...] = ()
    without: tuple[Spot, ...] = ()

    @property
    def spots(self) -> tuple[Spot, ...]:
        """Every place or observation this is about, each once, in order."""
        found = [*self.without, *(spot_of(t) for t in self.touches), *(spot_of(n) for n in self.noted)]
        return tuple(dict.fromkeys(found))

    def __add__(self, other: Change) -> Change:
        """This change and then the other."""
        gone = set(other.without)
        replaced = {_touched(t) for t in other.touches}
        renoted = {_said(n) for n in other.noted}
        kept = (t for t in self.touches if spot_of(t) not in gone or t.when == AFTER_WORK)
        return Change(
            (*(t for t in kept if _touched(t) not in replaced), *other.touches),
            (*(n for n in self.noted if _said(n) not in renoted and spot_of(n) not in gone), *other.noted),
            tuple(dict.fromkeys((*self.without, *other.without))),
        )


def changed(visit: Visit, change: Change) -> Visit:
    """The visit with the change made: what is written anew about a spot stands on the line of what stood there; what stood
    nowhere has line 0."""
    gone = set(change.without)
    lines = {spot_of(n): n.line for n in visit.noted} | {spot_of(t): t.line for t in visit.touches}
    touches = {_touched(t): t for t in visit.touches if spot_of(t) not in gone or t.when == AFTER_WORK}
    noted = {_said(n): n for n in visit.noted if spot_of(n) not in gone}
    touches |= {_touched(t): _on(t, lines.get(spot_of(t), 0)) for t in change.touches}
    noted |= {_said(n): _on(n, lines.get(spot_of(n), 0)) for n in change.noted}
    return replace(visit, touches=tuple(touches.values()), noted=tuple(noted.values()))


def spot_of(entry: Touch | Noted) -> Spot:
    """What an entry is about."""
    return (entry.place if isinstance(entry, Touch) else entry.key), entry.side or ""


def by_spot(entries: Iterable[Entry]) -> dict[Spot, list[Entry]]:
    """Entries gathered by what they are about."""
    found: dict[Spot, list[Entry]] = {}
    for entry in entries:
        found.setdefault(spot_of(entry), []).append(entry)
    return found


def _on(entry: Entry, line: int) -> Entry:
    return entry if entry.line == line else replace(entry, line=line)


def _touched(touch: Touch) -> tuple[str, str, str]:
    return touch.place, touch.side or "", touch.when


def _said(noted: Noted) -> tuple[str, str, object]:
    return noted.key, noted.side or "", noted.about
