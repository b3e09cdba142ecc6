"""What each person pushed on a floor scale, kept beside the records and not in them.

In: the place of the records, whose hand, pushes. Out: a small database in the folder that only this account may look into.
Not here: reading what was typed, working it out (teaching.press), any horse: nothing here speaks of one.

Rows may be taken back, as in no record: a push that was mistyped is no finding about anybody.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator, Sequence
from datetime import date, datetime
from pathlib import Path

from reasoner.frozen import frozen
from reasoner.page.doors.kept import folder_of, own_folder
from reasoner.problems import BadInput, Problem, register
from reasoner.store.names import folded, plain
from reasoner.store.place import Place
from reasoner.teaching.press import Hand, Push

register({"PG65": "the log of pushes cannot be used"})

FILE = "pushes.db"
_TABLE = """
CREATE TABLE IF NOT EXISTS push (
    at INTEGER PRIMARY KEY AUTOINCREMENT, folded TEXT NOT NULL, name TEXT NOT NULL, day TEXT NOT NULL, aim REAL NOT NULL,
    kg REAL NOT NULL, hand TEXT NOT NULL, moment TEXT NOT NULL);
CREATE INDEX IF NOT EXISTS push_of ON push (folded, aim, at);
"""
_PATIENCE_S = 5


@frozen(kw_only=True)
class Pushed:
    """One push as it is kept: its number in the log, its day, what was aimed at in kg."""

    at: int
    day: date
    aim_kg: float
    push: Push


def keep(place: Place, name: str, aim_kg: float, pushes: Sequence[Push], moment: datetime) -> None:
    """Keep pushes in the order made, on the disk when this returns. Raises BadInput (PG65)."""
    rows = [
        (folded(name), plain(name), moment.date().isoformat(), aim_kg, push.kg, push.hand, moment.isoformat())
        for push in pushes
    ]
    with _opened(place) as connection:
        connection.executemany(
            "INSERT INTO push (folded, name, day, aim, kg, hand, moment) VALUES (?, ?, ?, ?, ?, ?, ?)", rows
        )


def pushes_of(place: Place, name: str) -> tuple[Pushed, ...]:
    """Everything kept of one person's hand, in the order made. Raises BadInput (PG65)."""
    with _opened(place) as connection:
        rows = connection.execute(
            "SELECT at, day, aim, kg, hand FROM push WHERE folded = ? ORDER BY at", (folded(name),)
        )
        return tuple(
            Pushed(at=at, day=date.fromisoformat(day), aim_kg=aim, push=Push(kg=kg, hand=_hand(hand), session=day))
            for at, day, aim, kg, hand in rows.fetchall()
        )


def names_kept(place: Place) -> tuple[str, ...]:
    """Whose hands are kept, as they were last written. Raises BadInput (PG65)."""
    with _opened(place) as connection:
        rows = connection.execute("SELECT name, MAX(at) FROM push GROUP BY folded ORDER BY folded").fetchall()
    return tuple(name for name, _ in rows)


def take_back(place: Place, name: str, at: int) -> bool:
    """Take one push of this person back; False where there is none of that number. Raises BadInput (PG65)."""
    with _opened(place) as connection:
        return connection.execute("DELETE FROM push WHERE folded = ? AND at = ?", (folded(name), at)).rowcount > 0


def _hand(word: str) -> Hand:
    return "left" if word == "left" else "right" if word == "right" else "both"


@contextlib.contextmanager
def _opened(place: Place) -> Iterator[sqlite3.Connection]:
    """One transaction on the file, which is made where it is missing."""
    folder: Path = folder_of(place)
    try:
        own_folder(folder)
        connection = sqlite3.connect(folder / FILE, timeout=_PATIENCE_S)
        try:
            with connection:
                connection.executescript(_TABLE)
                yield connection
        finally:
            connection.close()
    except (OSError, sqlite3.Error) as fault:
        why = (getattr(fault, "strerror", None) or str(fault) or "no reason given").lower()
        hint = "No visit is in that file: moved away, it is begun anew."
        raise BadInput(
            [Problem(str(folder / FILE), 0, "PG65", f"the log of pushes cannot be used: {why}.", hint)]
        ) from None
