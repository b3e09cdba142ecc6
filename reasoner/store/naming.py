"""Names put into the records for the first time: people, yards, tack, a horse, and where a horse stands.

In: a connection whose turn it is to write, names as written. Out: rows, each with its seal; a name known already is used again.
Not here: which horse a file means (meant.py), whether it may be said (stays.py).
"""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import Connection, Table, func, select

from reasoner.problems import BadInput, Problem
from reasoner.store import tables as t
from reasoner.store.fresh import new_uid, now_utc
from reasoner.store.names import plain, same_name
from reasoner.store.sealing import add
from reasoner.store.standing import here, stays_of


def added(connection: Connection, table: Table, **values: Any) -> str:
    """Add a row under a fresh name, with its seal; its name."""
    uid = new_uid()
    add(connection, table, uid=uid, **values)
    return uid


def named(connection: Connection, table: Table, name: str) -> str | None:
    """The row of this name, whatever its capitals, made if there is none; None for no name."""
    name = plain(name)
    if not name:
        return None
    found = _known(connection, table, name)
    return found[0] if found is not None else added(connection, table, name=name)


def kept_spelling(connection: Connection, table: Table, name: str) -> str:
    """The name as it is kept in this table, whatever its capitals; as written, without needless blanks, where it is not kept."""
    name = plain(name)
    found = _known(connection, table, name)
    return found[1] if found is not None else name


def _known(connection: Connection, table: Table, name: str) -> tuple[str, str] | None:
    """The row of a name and its spelling there; other capitals are no other person, and a database folds them each in its own
    way, so that they are compared here."""
    columns = select(table.c.uid, table.c.name)
    found = connection.execute(columns.where(table.c.name == name)).first()
    if found is None:
        every = connection.execute(columns.order_by(table.c.name)).all()
        found = next((row for row in every if same_name(row.name, name)), None)
    return None if found is None else (str(found.uid), str(found.name))


def make_horse(connection: Connection, shown: str, name: str, yard: str, owner: str, born: str) -> str:
    """A horse kept for the first time. Raises BadInput (ST11) where one of that very name, yard and year was and has moved on."""
    where, whose = named(connection, t.yard, yard), named(connection, t.owner, owner)
    h = t.horse.c
    there = connection.execute(select(h.uid).where(h.name == name, h.yard == where, h.born == born)).first()
    if there is not None:
        raise BadInput([Problem(shown, 0, "ST11", f'a horse called "{name}" was kept at {yard} before and has moved.',
                                "Write born: and the year, so that the two are told apart.")])  # fmt: skip
    return added(connection, t.horse, name=name, yard=where, owner=whose, born=born)


def add_stay(
    connection: Connection, horse: str, *, yard: str, owner: str, since: date, who: str, why: str, moment: datetime | None
) -> None:  # fmt: skip
    """Add the row, within a transaction that holds the turn to write."""
    s = t.stay.c
    last = connection.execute(select(func.max(s.number)).where(s.horse == horse)).scalar() or 0
    add(
        connection, t.stay, uid=new_uid(), horse=horse, number=last + 1, yard=named(connection, t.yard, yard),
        owner=named(connection, t.owner, owner), since=since.isoformat(), who=who, why=why,
        saved_at=moment.astimezone(UTC).isoformat() if moment is not None else now_utc(),
    )  # fmt: skip


def stands_as_written(
    connection: Connection, horse: str, *, yard: str, owner: str, day: date, by: str, moment: datetime | None
) -> None:
    """That a horse stands where a visit of a day says, from that day on; nothing where the visit names no yard."""
    if yard:
        h, now = t.horse.c, here()
        later = select(func.min(now.c.day)).where(now.c.horse == horse, now.c.day > day.isoformat())
        after = connection.execute(later).scalar()
        first = connection.execute(
            select(t.yard.c.name).join(t.horse, h.yard == t.yard.c.uid).where(h.uid == horse)
        ).scalar()
        if after is not None:  # an old visit kept late: where the horse stood at the next one stays as it was
            then_on = date.fromisoformat(after)
            then = stays_of(connection).yard(horse, first or "", then_on)
            add_stay(connection, horse, yard=then, owner="", since=then_on, who=by,
                     why="so it was kept before an earlier visit elsewhere was", moment=moment)  # fmt: skip
        add_stay(connection, horse, yard=yard, owner=owner, since=day, who=by,
                 why="the visit file of that day says so", moment=moment)  # fmt: skip
