"""Open the records: a connection that keeps what it has acknowledged, at the version this program knows.

In: a `Place`. Out: a `Store`, with transactions for reading and for writing.
Not here: what is read and written. A store of an older version is brought up to date only when asked; one of a newer version,
or a damaged one, is refused with a sentence, and nothing in it is touched.
"""

from __future__ import annotations

import contextlib
import sqlite3
import time
from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, inspect, select
from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.pool import NullPool

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.store.held_back import held_back_from
from reasoner.store.place import Place
from reasoner.store.standing import HELD_BACK
from reasoner.store.tables import META
from reasoner.store.write_protected import mark_of, read_only_address, stands, still, why_protected

register(
    {
        "ST02": "there are no records there yet",
        "ST03": "records of an older version",
        "ST04": "records of a newer version",
        "ST05": "records that cannot be read",
        "ST06": "records that cannot be written",
        "ST07": "somebody else is writing",
        "ST33": "records that are not empty, where empty ones were expected",
    }
)

PATIENCE_S = 20
"""How long a writer waits for another one (seconds)."""
_PAUSE_S = 0.01
#: The name under which writers to one database on a server take turns; any number, the same for all.
_TURN = 560_114
_BUSY = ("database is locked", "lock timeout", "could not obtain lock", "deadlock")
_FULL = ("full", "no space", "disk i/o")
_READ_ONLY = ("readonly", "read-only", "permission denied", "unable to open")
_DAMAGED = ("malformed", "not a database", "corrupt")


@frozen
class Store:
    """Opened records; `protected` is why nothing may be written to them, "" where it may; `begun`: none were there."""

    place: Place
    engine: Engine
    protected: str = ""
    begun: bool = False

    @contextlib.contextmanager
    def reading(self) -> Iterator[Connection]:
        """A transaction that sees one moment, without the visits that are held back from whoever reads."""
        # SQLite always does; a server shows each query its own moment unless it is asked not to.
        ways = {} if self.place.file is not None else {"isolation_level": "REPEATABLE READ"}
        with (
            told(self.place), self.untouched(), self.engine.connect().execution_options(**ways) as connection,
            connection.begin(),
        ):  # fmt: skip
            held = HELD_BACK.set(held_back_from(connection))
            try:
                yield connection
            finally:
                HELD_BACK.reset(held)

    @contextlib.contextmanager
    def untouched(self) -> Iterator[None]:
        """Raises BadInput (RE71) at the end where somebody wrote into records that are read without locking them."""
        file = self.place.file if self.protected else None
        before = mark_of(file) if file is not None else None
        try:
            yield
        except (DBAPIError, sqlite3.Error):
            if file is not None and before is not None:
                still(file, before)  # that is why, and it is not damaged
            raise
        if file is not None and before is not None:
            still(file, before)

    @contextlib.contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction that is kept whole once it ends, or not at all; one at a time. Raises BadInput (ST05 to ST07)."""
        self.may_be_written()
        with told(self.place), self.engine.connect().execution_options(writing=True) as connection, connection.begin():
            if self.place.file is None:  # SQLite takes its turn at BEGIN
                connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_TURN})")
            yield connection

    def may_be_written(self) -> None:
        """Raises BadInput (ST06) where nothing may be written."""
        if self.protected:
            raise BadInput([Problem(self.place.shown, 0, "ST06", f"these records may be read here and not be written: "
                                    f"{self.protected}. Nothing was changed.", "Whoever owns it can allow it. A copy elsewhere "
                                    "can be written, and is then records of its own.")])  # fmt: skip

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()


def open_store(place: Place, *, make: bool = False) -> Store:
    """The records at a place; with `make` they are begun where there are none. Raises BadInput (ST02 to ST06)."""
    fresh = place.file is not None and not stands(place.file)
    if fresh and not make:
        raise BadInput([Problem(place.shown, 0, "ST02", "there are no records here yet.",
                                "The first `reasoner records save` begins them.")])  # fmt: skip
    if fresh and place.file is not None:
        _folder_for(place)
    store = _store(place)
    with told(place):
        found, wanted = _version_of(store), _Steps().newest
        if found == wanted:
            return store
        if found is None and make:
            upgrade(store)
            return replace(store, begun=True)
    store.close()
    if found is None:
        raise BadInput([Problem(place.shown, 0, "ST02", "this database holds no records.",
                                "The first `reasoner records save` begins them.")])  # fmt: skip
    if found in _Steps().all:
        raise BadInput([Problem(place.shown, 0, "ST03", "these records were made by an older version of the reasoner.",
                                "`reasoner records upgrade` brings them up to date and keeps a copy.")])  # fmt: skip
    raise BadInput([Problem(place.shown, 0, "ST04", "these records were made by a newer version of the reasoner.",
                            "Use that version, or a backup made by this one. Nothing was touched.")])  # fmt: skip


def open_to_upgrade(place: Place) -> Store:
    """The records at a place, whatever version of the past they are. Raises BadInput (ST02, ST04, ST05)."""
    if place.file is not None and not stands(place.file):
        raise BadInput([Problem(place.shown, 0, "ST02", "there are no records here yet.")])
    store = _store(place)
    with told(place):
        found = _version_of(store)
    if found is not None and found not in _Steps().all:
        store.close()
        raise BadInput([Problem(place.shown, 0, "ST04", "these records were made by a newer version of the reasoner.",
                                "Use that version, or a backup made by this one. Nothing was touched.")])  # fmt: skip
    return store


def is_newest(store: Store) -> bool:
    """Whether these tables are those of this program."""
    with told(store.place):
        return _version_of(store) == _Steps().newest


def upgrade(store: Store) -> None:
    """Bring the tables to the newest step, in one transaction: all steps or none."""
    with store.writing() as connection:
        upgrade_within(connection)


def upgrade_within(connection: Connection, to: str = "head") -> None:
    """Bring the tables to a step, the newest unless one is named, within a transaction of the caller."""
    from alembic import command

    config = _Steps().config
    config.attributes["connection"] = connection
    command.upgrade(config, to)


def steps_known() -> frozenset[str]:
    """Every step of the tables this program knows."""
    return _Steps().all


def open_empty(place: Place) -> tuple[Store, str | None]:
    """A place where no records are yet, and the step of its tables (None: it has none; the file is then not made before
    something is written). Raises BadInput (ST03 to ST06, ST33)."""
    if place.file is not None and not stands(place.file):
        _folder_for(place)
        return _store(place), None
    store = _store(place)
    with told(place):
        found = _version_of(store)
    if found is None:
        return store, None
    store.close()
    store = open_store(place)
    with store.reading() as connection:
        held = [table.name for table in META.sorted_tables if connection.execute(select(table).limit(1)).first()]
    if held:
        store.close()
        raise BadInput([Problem(place.shown, 0, "ST33", "there are records here already; nothing was read in.",
                                "Name a place where none are yet: --store NEW.")])  # fmt: skip
    return store, found


class _Steps:
    """The steps of migrations/, as alembic lists them."""

    @cached_property
    def config(self) -> Any:
        from alembic.config import Config

        config = Config()
        config.set_main_option("script_location", "reasoner.store:migrations")
        return config

    @cached_property
    def all(self) -> frozenset[str]:
        from alembic.script import ScriptDirectory

        return frozenset(step.revision for step in ScriptDirectory.from_config(self.config).walk_revisions())

    @property
    def newest(self) -> str:
        return NEWEST


#: The newest step of migrations/versions; a test holds it against alembic, which only an upgrade imports.
NEWEST = "0008"


def _version_of(store: Store) -> str | None:
    with store.engine.connect() as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        found = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()
    return None if found is None else str(found)


def _folder_for(place: Place) -> None:
    assert place.file is not None
    try:
        place.file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        why = (fault.strerror or "it cannot be made").lower()
        raise BadInput([Problem(str(place.file.parent), 0, "ST06", f"the folder cannot be made: {why}.")]) from None


def _store(place: Place) -> Store:
    protected = why_protected(place.file) if place.file is not None and stands(place.file) else ""
    if place.file is None or not protected:
        return Store(place, _engine(place))
    file = place.file
    read_only_address(file)  # what cannot be read is said at once

    def connected() -> sqlite3.Connection:
        return sqlite3.connect(read_only_address(file), uri=True, timeout=PATIENCE_S, check_same_thread=False)

    # No pool: what such a connection has once read it never looks at again, and somebody may begin to write meanwhile.
    engine = create_engine("sqlite://", creator=connected, poolclass=NullPool)
    _begins(engine, "foreign_keys=ON")
    return Store(place, engine, protected)


def _engine(place: Place) -> Engine:
    if place.file is None:
        return create_engine(place.url, pool_pre_ping=True, connect_args={"options": f"-c lock_timeout={PATIENCE_S}s"})
    # Written apart: a name may hold "?" or "%", which would mean something in an address.
    engine = create_engine(URL.create("sqlite", database=str(place.file)), connect_args={"timeout": PATIENCE_S})

    # secure_delete: what is taken out is overwritten, not only forgotten.
    _begins(engine, "journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "secure_delete=ON")
    return engine


def _begins(engine: Engine, *lines: str) -> None:
    """How a connection to a file begins, and how its transactions do."""

    @event.listens_for(engine, "connect")
    def _connected(connection: Any, _: Any) -> None:
        connection.isolation_level = None  # transactions are begun below, not by the driver
        for line in lines:
            _says_so(connection, f"PRAGMA {line}")

    @event.listens_for(engine, "begin")
    def _begun(connection: Connection) -> None:
        # A writer asks for its turn at the start: two that read first and write later could never both go on.
        now = " IMMEDIATE" if connection.get_execution_options().get("writing") else ""
        connection.exec_driver_sql(f"BEGIN{now}")


def _says_so(connection: Any, pragma: str) -> None:
    """Turning to WAL is refused at once where another begins the same file: SQLite's own patience does not cover it."""
    until = time.monotonic() + PATIENCE_S
    while True:
        try:
            connection.execute(pragma).close()
            return
        except sqlite3.OperationalError as fault:
            if time.monotonic() > until or not any(sign in str(fault).casefold() for sign in _BUSY):
                raise
            time.sleep(_PAUSE_S)


@contextlib.contextmanager
def told(place: Place) -> Iterator[None]:
    """What a database says is wrong, in one sentence."""
    try:
        yield
    except DBAPIError as fault:
        problem = _problem(place, str(fault.orig if fault.orig is not None else fault), fault)
        raise BadInput([problem]) from None
    except sqlite3.Error as fault:  # while connecting, before SQLAlchemy listens
        raise BadInput([_problem(place, str(fault), fault)]) from None


def _problem(place: Place, text: str, fault: Exception) -> Problem:
    said = text.strip().splitlines()[0] if text.strip() else type(fault).__name__
    word = said.casefold()
    if any(sign in word for sign in _BUSY):
        return Problem(
            place.shown, 0, "ST07", "somebody else is writing to these records; nothing was changed.", "Try again."
        )
    if any(sign in word for sign in _FULL):
        return Problem(place.shown, 0, "ST06", "the disk is full; nothing was changed.", "Make room and try again.")
    if any(sign in word for sign in _READ_ONLY):
        return Problem(place.shown, 0, "ST06", "these records cannot be written here; nothing was changed.",
                       "The file or its folder does not allow it.")  # fmt: skip
    if any(sign in word for sign in _DAMAGED):
        return Problem(place.shown, 0, "ST05", f"this file is damaged or holds no records ({said}).",
                       "Nothing was changed. Restore a backup to another name: `reasoner records restore`.")  # fmt: skip
    if isinstance(fault, OperationalError | sqlite3.OperationalError):
        return Problem(place.shown, 0, "ST05", f"the records cannot be reached: {said}.")
    raise fault
