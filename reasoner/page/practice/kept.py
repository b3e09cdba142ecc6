"""The file of practice sessions and records of practice: beside the records and not in them, readable by this account alone.

In: the place of the records. Out: transactions on a small database, in a folder with mode 0700, and the key beside it.
Not here: what a row means (sessions). No horse's record is in it, and no export or backup of the records takes it along. A
session that has not ended stands there enciphered, as in a session file.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from reasoner.page.doors.kept import own_folder
from reasoner.problems import BadInput, Problem, register
from reasoner.store.place import PRACTICE, Place
from reasoner.teaching.session_key import NAME, SessionKey, key_in

register({"PG60": "the file of practice sessions cannot be used"})

_TABLES = (
    """CREATE TABLE IF NOT EXISTS session (
    uid TEXT PRIMARY KEY, person TEXT NOT NULL, tap TEXT NOT NULL, begun TEXT NOT NULL, ended TEXT NOT NULL DEFAULT '',
    file TEXT NOT NULL, sheet TEXT NOT NULL DEFAULT '')""",
    "CREATE UNIQUE INDEX IF NOT EXISTS one_of_a_tap ON session (person, tap) WHERE ended = ''",
    "CREATE TABLE IF NOT EXISTS record (person TEXT PRIMARY KEY, file TEXT NOT NULL)",
    """CREATE TABLE IF NOT EXISTS handed_out (
    uid TEXT PRIMARY KEY, marks INTEGER NOT NULL, rules TEXT NOT NULL, work TEXT NOT NULL,
    put INTEGER NOT NULL DEFAULT 0)""",
)
_PATIENCE_S = 10


def folder_of(place: Place) -> Path:
    """The folder of practice: beside the file of the records; for a server, in this machine's own place."""
    return place.beside(PRACTICE)


class Kept:
    """The file. Every turn opens it anew, so that it is whole on the disk when a turn is over, whatever falls then."""

    def __init__(self, place: Place) -> None:
        self.folder = folder_of(place)

    @contextlib.contextmanager
    def turn(self) -> Iterator[sqlite3.Connection]:
        """One transaction; nobody else writes meanwhile, and what fails changes nothing. Raises BadInput (PG60)."""
        with _told(self.folder):
            own_folder(self.folder)
            path = self.folder / "sessions.db"
            os.close(os.open(path, os.O_RDWR | os.O_CREAT, 0o600))
            connection = sqlite3.connect(path, timeout=_PATIENCE_S, isolation_level=None)
            try:
                connection.row_factory = sqlite3.Row
                connection.execute("PRAGMA secure_delete=ON")
                connection.execute("BEGIN IMMEDIATE")
                for table in _TABLES:
                    connection.execute(table)
                try:
                    yield connection
                except BaseException:
                    connection.execute("ROLLBACK")
                    raise
                connection.execute("COMMIT")
            finally:
                connection.close()

    def key(self) -> SessionKey:
        """The key of the sessions in this file. Raises BadInput (TE71)."""
        return key_in(self.folder / NAME)


@contextlib.contextmanager
def _told(folder: Path) -> Iterator[None]:
    try:
        yield
    except (OSError, sqlite3.Error) as fault:
        why = (getattr(fault, "strerror", None) or str(fault) or "no reason given").lower()
        hint = f'It lies in the folder "{folder.name}" beside the records; no visit is in it.'
        said = f"the file of practice sessions cannot be used: {why}."
        raise BadInput([Problem("practice", 0, "PG60", said, hint)]) from None
