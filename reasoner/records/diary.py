"""What is due: which horses are to be seen again, by when, and what was agreed and expected.

In: a connection to the records. Out: `Due`, one a horse, from its latest visit alone: whatever an earlier one asked for has been
answered by coming back. Not here: the clock, calendars, what to check at the visit.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from sqlalchemy import Connection, select

from reasoner.frozen import frozen
from reasoner.store import tables as t
from reasoner.store.reading import KnownVisit, visits


@frozen(kw_only=True)
class Agreed:
    """A step of the last plan: its page, side and words, and the day its page asks to look again, if it does."""

    key: str
    side: str
    words: str
    look_again: date | None


@frozen(kw_only=True)
class Awaited:
    """What a step was expected to change: the soreness at a place, what it was (as written, or empty) and what it should be."""

    place: str
    side: str
    was: str
    to: str
    by: date


@frozen(kw_only=True)
class Due:
    """A horse to be seen again. `day` is the first day that anything of the last visit asks for; `word_ends` the last day of
    a veterinarian's word, where one was given with an end."""

    visit: KnownVisit
    day: date
    steps: tuple[Agreed, ...]
    awaited: tuple[Awaited, ...]
    word_ends: date | None


def diary_of(connection: Connection, *, until: date | None = None, since: date | None = None) -> tuple[Due, ...]:
    """What is due up to `until` and from `since` on, overdue included unless `since` leaves it out; by day, yard and name."""
    latest = _latest(visits(connection))
    versions = [visit.version for visit in latest]
    steps = _by_version(connection, t.step, versions)
    awaited = _by_version(connection, t.expectation, versions)
    words = _by_version(connection, t.vets_word, versions)
    found = []
    for visit in latest:
        due = _due(visit, steps.get(visit.version, ()), awaited.get(visit.version, ()), words.get(visit.version, ()))
        if due is not None and (until is None or due.day <= until) and (since is None or due.day >= since):
            found.append(due)
    return tuple(sorted(found, key=lambda due: (due.day, due.visit.yard, due.visit.name, due.visit.uid)))


def _latest(every: Iterable[KnownVisit]) -> list[KnownVisit]:
    """The last visit of each horse; they come in the order of their days."""
    return list({visit.horse: visit for visit in every}.values())


def _by_version(connection: Connection, table: Any, versions: list[str]) -> dict[str, list[Any]]:
    """The rows of a table by version, in the order told."""
    found: dict[str, list[Any]] = {}
    for first in range(0, len(versions), 500):  # a statement takes so many values and no more
        some = versions[first : first + 500]
        query = select(table).where(table.c.version.in_(some)).order_by(table.c.version, table.c.at)
        for row in connection.execute(query):
            found.setdefault(row.version, []).append(row)
    return found


def _due(visit: KnownVisit, steps: Iterable[Any], awaited: Iterable[Any], words: Iterable[Any]) -> Due | None:
    agreed = tuple(
        Agreed(key=row.key, side=row.side, words=row.words, look_again=_day(row.recheck_on)) for row in steps
    )
    waited = _strictest(
        Awaited(place=row.place, side=row.side, was=row.was or "", to=row.to, by=date.fromisoformat(row.by))
        for row in awaited
    )
    ends = min((day for row in words if (day := _day(row.until)) is not None), default=None)
    days = [one.look_again for one in agreed if one.look_again is not None] + [one.by for one in waited]
    if ends is not None:
        days.append(ends)
    return Due(visit=visit, day=min(days), steps=agreed, awaited=waited, word_ends=ends) if days else None


def _strictest(every: Iterable[Awaited]) -> tuple[Awaited, ...]:
    """Of several expectations of one place by one day the strictest, which implies the others; in the order told."""
    found: dict[tuple[str, str, date], Awaited] = {}
    for one in every:
        key = (one.place, one.side, one.by)
        if key not in found or float(one.to) < float(found[key].to):
            found[key] = one
    return tuple(found.values())


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None
