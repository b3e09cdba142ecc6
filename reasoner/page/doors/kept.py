"""The file of who may come in: beside the records and not in them, readable by this account alone.

In: the place of the records. Out: a small database of people and sessions, in a folder with mode 0700.
Not here: what the rows mean. Passwords and sessions stand in no export and no backup of the records, and unlike records they may
be changed and ended.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from reasoner.problems import BadInput, Problem, register
from reasoner.store.place import ACCESS, Place

register({"PG06": "the file of who may come in cannot be used"})

_TABLES = """
CREATE TABLE IF NOT EXISTS person (
    uid TEXT PRIMARY KEY, name TEXT NOT NULL, folded TEXT NOT NULL, role TEXT NOT NULL, horse TEXT,
    secret TEXT NOT NULL, since TEXT NOT NULL, closed TEXT NOT NULL DEFAULT '');
CREATE UNIQUE INDEX IF NOT EXISTS one_of_a_name ON person (folded) WHERE closed = '';
CREATE TABLE IF NOT EXISTS session (
    sha TEXT PRIMARY KEY, uid TEXT NOT NULL UNIQUE, person TEXT REFERENCES person (uid), label TEXT NOT NULL,
    since TEXT NOT NULL, last TEXT NOT NULL, idle INTEGER NOT NULL, ends TEXT NOT NULL, ended TEXT NOT NULL DEFAULT '');
"""
_PATIENCE_S = 5


def folder_of(place: Place) -> Path:
    """The folder for what nobody else may read: beside the file of the records; for a server, in this machine's own place."""
    return place.beside(ACCESS)


class Kept:
    """The opened file; one thread at a time."""

    def __init__(self, place: Place) -> None:
        self.folder = folder_of(place)
        self._turn = threading.Lock()
        with _told(self.folder):
            own_folder(self.folder)
            path = self.folder / "people.db"
            os.close(os.open(path, os.O_RDWR | os.O_CREAT, 0o600))
            self._connection = sqlite3.connect(path, timeout=_PATIENCE_S, check_same_thread=False, isolation_level=None)
            self._connection.row_factory = sqlite3.Row
            self._connection.execute("PRAGMA secure_delete=ON")
            self._connection.executescript(_TABLES)

    def rows(self, query: str, *values: Any) -> list[sqlite3.Row]:
        """What a query finds."""
        with self._turn, _told(self.folder):
            return self._connection.execute(query, values).fetchall()

    def do(self, deed: str, *values: Any) -> int:
        """Do one thing, on the disk when this returns; how many rows it touched. Raises sqlite3.IntegrityError."""
        with self._turn, _told(self.folder):
            return self._connection.execute(deed, values).rowcount

    def close(self) -> None:
        """Let go of it."""
        with self._turn:
            self._connection.close()


def own_folder(folder: Path) -> None:
    """A folder that only this account may look into. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    os.chmod(folder, 0o700)


@contextlib.contextmanager
def _told(folder: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.IntegrityError:
        raise
    except (OSError, sqlite3.Error) as fault:
        why = (getattr(fault, "strerror", None) or str(fault) or "no reason given").lower()
        raise BadInput([Problem(str(folder), 0, "PG06", f"the list of who may come in cannot be used: {why}.",
                                "No visit is in that folder: without it, people are added anew.")]) from None  # fmt: skip
