"""An owner's contact data: kept apart, changed, and taken out so that nothing of it stays behind.

In: an opened store, an owner's name. Out: what is kept of how to reach the owner.
Not here: anything about horses. This is the only thing in the records that is ever changed or taken out.
"""

from __future__ import annotations

import contextlib
import sqlite3
import time
from collections.abc import Mapping
from contextlib import closing

from sqlalchemy import Connection, delete, insert, select, update

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.store import opening
from reasoner.store import tables as t
from reasoner.store.names import same_name
from reasoner.store.opening import Store, told

register({"ST37": "no owner of that name in the records", "ST44": "something left of what was taken out"})


@frozen(kw_only=True)
class Contact:
    """How an owner is reached; what is not kept is empty."""

    owner: str
    telephone: str = ""
    mail: str = ""
    address: str = ""


def contact_of(store: Store, owner: str) -> Contact:
    """What is kept of this owner. Raises BadInput (ST37)."""
    with store.reading() as connection:
        uid, name = _owner(connection, owner, store.place.shown)
        return _contact(connection, uid, name)


def keep_contact(store: Store, owner: str, values: Mapping[str, str]) -> Contact:
    """Keep what is given of telephone, mail and address; the rest stays as it was. Raises BadInput (ST37)."""
    with store.writing() as connection:
        uid, name = _owner(connection, owner, store.place.shown)
        table = t.owner_contact
        there = connection.execute(select(table.c.owner).where(table.c.owner == uid)).first()
        if there is None:
            empty = {"telephone": "", "mail": "", "address": ""}
            connection.execute(insert(table).values(owner=uid, **{**empty, **values}))
        else:
            connection.execute(update(table).where(table.c.owner == uid).values(**values))
        return _contact(connection, uid, name)


def erase_contact(store: Store, owner: str) -> Contact:
    """Take the contact data of an owner out, also from what the file has freed. Raises BadInput (ST37, ST44)."""
    with store.writing() as connection:
        uid, name = _owner(connection, owner, store.place.shown)
        connection.execute(delete(t.owner_contact).where(t.owner_contact.c.owner == uid))
    _nothing_left(store)
    return Contact(owner=name)


def copies_beside(store: Store) -> tuple[str, ...]:
    """Copies that an upgrade left beside the file: they still hold what they held."""
    file = store.place.file
    return () if file is None else tuple(sorted(str(f) for f in file.parent.glob(f"{file.name}.before-upgrade-*")))


def _owner(connection: Connection, name: str, shown: str) -> tuple[str, str]:
    every: dict[str, str] = {row.name: row.uid for row in connection.execute(select(t.owner))}
    for known, uid in every.items():
        if same_name(known, name):
            return uid, known
    hint = near_hint(name, every) or (
        "An owner is known once the first visit to a horse that names one is kept, or `reasoner records horse HORSE --owner "
        "NAME` says so."
    )
    raise BadInput([Problem(shown, 0, "ST37", f'no owner called "{name}" is known here.', hint)])


def _contact(connection: Connection, uid: str, name: str) -> Contact:
    row = connection.execute(select(t.owner_contact).where(t.owner_contact.c.owner == uid)).first()
    if row is None:
        return Contact(owner=name)
    return Contact(owner=name, telephone=row.telephone, mail=row.mail, address=row.address)


def _nothing_left(store: Store) -> None:
    """Write the file anew without what was taken out, and empty the log of changes beside it."""
    if store.place.file is None:
        with told(store.place), store.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.exec_driver_sql("VACUUM FULL owner_contact")
        return
    store.close()  # our own connections must not be what stands in the way
    until = time.monotonic() + opening.PATIENCE_S
    while not _emptied(store):
        if time.monotonic() > until:
            raise BadInput([Problem(store.place.shown, 0, "ST44", "the contact data are out of the records, but traces may be "
                                    "left in the file while somebody else reads it.",
                                    "Run the same command again once nobody else is at work.")])  # fmt: skip
        time.sleep(0.1)


def _emptied(store: Store) -> bool:
    """Whether the file could be written anew just now."""
    with (
        told(store.place),
        closing(sqlite3.connect(str(store.place.file), timeout=1, isolation_level=None)) as connection,
        contextlib.suppress(sqlite3.OperationalError),
    ):
        connection.execute("PRAGMA secure_delete=ON")
        connection.execute("VACUUM")
        busy = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
        return not busy
    return False
