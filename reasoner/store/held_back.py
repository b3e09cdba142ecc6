"""Visits graded blind: held back from everybody but the hand that wrote them until the other hand's visit of that day is in.

In: a connection, who reads and at what moment. Out: the visits this reader may not see yet; what waits for whom.
Not here: leaving them out (standing.here does it for whoever looks for visits), saying so on a page.

A visit says it by its own entry `graded blind beside: NAME`, so that nothing is kept apart from the visit itself: it stays so
over restarts, backups and copies, and its writer ends it by a correction without that entry. Nothing is hidden for ever: after
the hours of the table it opens by itself. Commands on the own machine read as nobody, and see everything.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import UTC, date, datetime, timedelta

from sqlalchemy import ColumnElement, Connection, Table, and_, func, select

from reasoner.frozen import frozen
from reasoner.store import tables as t
from reasoner.store.names import same_name
from reasoner.store.standing import HELD_BACK, here

#: The entry of a visit that says beside whom it was graded blind.
MARK = "graded_blind_beside"


@frozen(kw_only=True)
class Reader:
    """Who reads (empty: somebody who has not said who they are), at what moment, and after how long a visit opens that waits for
    one that never comes."""

    name: str
    now: datetime
    opens_after: timedelta


READER: ContextVar[Reader | None] = ContextVar("READER", default=None)


@frozen(kw_only=True)
class Graded:
    """A visit to a horse on a day: whose hand, who handed its first version over and when, and beside whom it was blind (empty:
    it was not, or says so no more). `versions` counts its wordings, `since` is the moment of the newest."""

    visit: str
    horse: str
    day: date
    part: int
    hand: str
    beside: str
    by: str
    at: datetime
    versions: int
    since: datetime
    level: str


@frozen(kw_only=True)
class Waiting:
    """A visit that is in and held back, and when it opens though the other never comes."""

    graded: Graded
    opens: datetime

    def written_by(self, name: str) -> bool:
        """Whether this is the hand that wrote it, or who handed it over."""
        return _wrote(name, self.graded)


@contextmanager
def read_by(reader: Reader | None) -> Iterator[None]:
    """Whatever is read meanwhile is read by this person; None: by a command, which sees everything."""
    token = READER.set(reader)
    try:
        yield
    finally:
        READER.reset(token)


def held_back_from(connection: Connection) -> frozenset[str]:
    """The visits that whoever reads just now (READER) may not see yet."""
    reader = READER.get()
    if reader is None:
        return frozenset()
    return frozenset(one.graded.visit for one in waiting(connection, reader) if not one.written_by(reader.name))


def waiting(connection: Connection, reader: Reader, *, horse: str | None = None) -> tuple[Waiting, ...]:
    """Every visit that waits for the other hand at the reader's moment, of one horse or of all; the oldest day first."""
    found = []
    for one in (same_days := graded_blind(connection, horse=horse, since=reader.now - reader.opens_after)):
        if not one.beside:
            continue
        others = [o for o in same_days if (o.horse, o.day) == (one.horse, one.day) and o.visit != one.visit]
        opens = one.at + reader.opens_after
        if reader.now < opens and not any(same_name(other.hand, one.beside) for other in others):
            found.append(Waiting(graded=one, opens=opens))
    return tuple(sorted(found, key=lambda each: (each.graded.day, each.graded.at)))


def graded_blind(
    connection: Connection, *, horse: str | None = None, since: datetime | None = None
) -> Sequence[Graded]:
    """Every visit that says it was graded blind, with all others to the same horse on the same day, in the order handed over;
    with `since` those of which something was handed over after that moment."""
    token = HELD_BACK.set(frozenset())  # what is asked here is what to leave out
    try:
        now = here()
    finally:
        HELD_BACK.reset(token)
    version = t.version.c
    says = (
        select(now.c.horse, now.c.day).distinct()
        .select_from(t.noted).join(t.version, version.uid == t.noted.c.version).join(now, now.c.uid == version.visit)
        .where(t.noted.c.key == MARK, _is_newest(t.version))
    )  # fmt: skip
    if horse is not None:
        says = says.where(now.c.horse == horse)
    if since is not None:
        says = says.where(version.saved_at >= since.astimezone(UTC).isoformat())
    if connection.execute(says.limit(1)).first() is None:  # nearly always, and every request asks
        return ()
    days = says.subquery("days")
    first = t.version.alias("first")
    query = (
        select(now.c.uid, now.c.horse, now.c.day, now.c.part, t.examiner.c.name.label("hand"), t.noted.c.value.label("beside"),
               first.c.saved_by, first.c.saved_at, version.number, version.saved_at.label("since"), version.level)
        .select_from(now).join(t.version, and_(version.visit == now.c.uid, _is_newest(t.version)))
        .join(first, and_(first.c.visit == now.c.uid, first.c.number == 1))
        .outerjoin(t.examiner, version.examiner == t.examiner.c.uid)
        .outerjoin(t.noted, and_(t.noted.c.version == version.uid, t.noted.c.key == MARK))
        .join(days, and_(days.c.horse == now.c.horse, days.c.day == now.c.day))
        .order_by(first.c.saved_at, now.c.part)
    )  # fmt: skip
    return tuple(
        Graded(
            visit=row.uid, horse=row.horse, day=date.fromisoformat(row.day), part=row.part, hand=row.hand or "",
            beside=row.beside or "", by=row.saved_by, at=_moment(row.saved_at), versions=row.number,
            since=_moment(row.since), level=row.level,
        )
        for row in connection.execute(query)
    )  # fmt: skip


def _is_newest(version: Table) -> ColumnElement[bool]:
    """Whether a row is the newest version of its visit."""
    other = t.version.alias("other")
    last = select(func.max(other.c.number)).where(other.c.visit == version.c.visit).correlate(version).scalar_subquery()
    return version.c.number == last


def _wrote(name: str, one: Graded) -> bool:
    return bool(name) and (same_name(name, one.hand) or same_name(name, one.by))


def _moment(text: str) -> datetime:
    found = datetime.fromisoformat(text)
    return found if found.tzinfo is not None else found.replace(tzinfo=UTC)
