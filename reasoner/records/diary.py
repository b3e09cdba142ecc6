"""What is due: which horses are to be seen again, by when, and what was agreed and expected.

In: a connection to the records. Out: `Due`, one a horse, from its latest visit that looked at something: whatever an earlier one
asked for has been answered by coming back. Not here: the clock, calendars, what to check at the visit.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace
from datetime import date
from typing import Any, Literal

from sqlalchemy import Connection, select

from reasoner.frozen import frozen
from reasoner.records.looked_at import beyond_head
from reasoner.records.strictest import AskedBy, Awaited, strictest
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store import tables as t
from reasoner.store.afterwards import done_of
from reasoner.store.edits import changed_steps, out_of
from reasoner.store.history import UNPRESSING
from reasoner.store.reading import KnownVisit, horses, visits

Why = Literal["plan", "call", "named"]
#: A statement takes so many values and no more.
AT_ONCE = 500


@frozen(kw_only=True)
class Agreed:
    """A step of the last plan: its page, side and words, and the day its page asks to look again, if it does."""

    key: str
    side: str
    words: str
    look_again: date | None


@frozen(kw_only=True)
class Due:
    """A horse to be seen again. `visit` is its last that looked at something, with the yard where the horse stands now; `day` the
    first day that anything of it asks for; `word_ends` the last day of a veterinarian's word, where one was given with an end.
    `why`: "plan" by the plan or a word's end; "call" since a pressing call stood and nothing else asks for a day, due on that of
    the visit; "named" where nothing is due and somebody asked for this horse (`day` is then that of the visit)."""

    visit: KnownVisit
    day: date
    steps: tuple[Agreed, ...]
    awaited: tuple[Awaited, ...]
    word_ends: date | None
    why: Why = "plan"


def diary_of(
    connection: Connection,
    book: Rulebook,
    *,
    until: date | None = None,
    since: date | None = None,
    named: Collection[str] = (),
) -> tuple[Due, ...]:
    """What is due up to `until` and from `since` on, overdue included unless `since` leaves it out: calls without an answer
    first, then by day, yard and name. Horses `named` by their uid are there whether due or not. A visit that looked at nothing
    answers nothing: what the one before it asked for stays due."""
    latest, stands = _latest(connection, book), {one.uid: one.yard for one in horses(connection)}
    latest = [replace(visit, yard=stands[visit.horse]) for visit in latest]
    versions = [visit.version for visit in latest]
    steps = _by_version(connection, t.step, versions)
    awaited = _by_version(connection, t.expectation, versions)
    words = _by_version(connection, t.vets_word, versions)
    taken = changed_steps(connection, [visit.uid for visit in latest])
    for visit, out in ((one, taken[one.uid]) for one in latest if one.uid in taken):
        told = {one.step for one in done_of(connection, visit.uid)}  # done all the same, it is looked at again
        gone = {key for key in out_of(steps.get(visit.version, ()), out) if key not in told}
        steps[visit.version] = [row for row in steps.get(visit.version, ()) if row.key not in gone]
        awaited[visit.version] = [row for row in awaited.get(visit.version, ()) if row.step not in gone]
    found = []
    for visit in latest:
        due = _due(visit, steps.get(visit.version, ()), awaited.get(visit.version, ()), words.get(visit.version, ()))
        in_time = due is not None and (until is None or due.day <= until) and (since is None or due.day >= since)
        if due is None and visit.horse in named:
            due = Due(
                visit=visit,
                day=visit.day,
                steps=_agreed(steps.get(visit.version, ())),
                awaited=(),
                word_ends=None,
                why="named",
            )
        if due is not None and (in_time or visit.horse in named):
            found.append(due)
    return tuple(
        sorted(found, key=lambda due: (due.why != "call", due.day, due.visit.yard, due.visit.name, due.visit.uid))
    )


def _latest(connection: Connection, book: Rulebook) -> list[KnownVisit]:
    """The last visit of each horse that looked at something; where none did, the last."""
    every = visits(connection)
    found = {visit.horse: visit for visit in every}
    silent = _silent(connection, [visit.version for visit in found.values()], book)
    passed = {visit.horse for visit in found.values() if visit.version in silent}
    if passed:
        before = [visit for visit in every if visit.horse in passed]
        silent |= _silent(connection, [visit.version for visit in before], book)
        found |= {visit.horse: visit for visit in before if visit.version not in silent}
    return list(found.values())


def _silent(connection: Connection, versions: list[str], book: Rulebook) -> set[str]:
    """Of these versions those that hold nothing beyond which horse, who and when."""
    says: set[str] = set()
    for first in range(0, len(versions), AT_ONCE):
        some = versions[first : first + AT_ONCE]
        for table in (t.touch, t.vets_word, t.outline):
            query = select(table.c.version).where(table.c.version.in_(some)).distinct()
            looked = query.where(t.touch.c.not_examined.is_(None)) if table is t.touch else query
            says |= set(connection.execute(looked).scalars())
        left = [version for version in some if version not in says]
        rows = connection.execute(select(t.noted.c.version, t.noted.c.key).where(t.noted.c.version.in_(left))).all()
        more = beyond_head({row.key for row in rows}, book)
        says |= {row.version for row in rows if row.key in more}
    return set(versions) - says


def _by_version(connection: Connection, table: Any, versions: list[str]) -> dict[str, list[Any]]:
    """The rows of a table by version, in the order told."""
    found: dict[str, list[Any]] = {}
    for first in range(0, len(versions), AT_ONCE):
        some = versions[first : first + AT_ONCE]
        query = select(table).where(table.c.version.in_(some)).order_by(table.c.version, table.c.at)
        for row in connection.execute(query):
            found.setdefault(row.version, []).append(row)
    return found


def _due(visit: KnownVisit, steps: Iterable[Any], awaited: Iterable[Any], words: Iterable[Any]) -> Due | None:
    agreed, words = _agreed(steps), list(words)
    waited = strictest(
        Awaited(
            place=row.place, side=row.side, was=row.was or "", to=row.to, by=date.fromisoformat(row.by),
            asked_by=(AskedBy(step=row.step, side=row.step_side, to=row.to),),
        )
        for row in awaited
    )  # fmt: skip
    ends = min((day for row in words if (day := _day(row.until)) is not None), default=None)
    days = [one.look_again for one in agreed if one.look_again is not None] + [one.by for one in waited]
    if ends is not None:
        days.append(ends)
    if days:
        return Due(visit=visit, day=min(days), steps=agreed, awaited=waited, word_ends=ends)
    # Without an answer it is asked about, however little the plan says: an emergency plans nothing at all.
    answered = any(date.fromisoformat(row.seen) >= visit.day for row in words)
    if visit.level in UNPRESSING or answered:
        return None
    return Due(visit=visit, day=visit.day, steps=agreed, awaited=(), word_ends=None, why="call")


def _agreed(steps: Iterable[Any]) -> tuple[Agreed, ...]:
    return tuple(Agreed(key=row.key, side=row.side, words=row.words, look_again=_day(row.recheck_on)) for row in steps)


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None
