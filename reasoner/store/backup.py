"""Copies of the records, consistent while they are in use.

In: an opened store. Out: a file that holds the same records as at one moment.
Not here: reading a copy back.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from reasoner.problems import BadInput, Problem, register
from reasoner.store.opening import Store, told

register({"ST30": "a copy that would lie over something"})


def copy_to(store: Store, path: Path) -> None:
    """Copy the records of a file into another file, whole or not at all. Raises BadInput (ST06, ST30)."""
    assert store.place.file is not None
    if path.exists():
        raise BadInput(
            [Problem(str(path), 0, "ST30", "this file exists and is not written over.", "Choose another name.")]
        )
    part = path.with_name(f".{path.name}.part")
    try:
        with (
            told(store.place),
            closing(sqlite3.connect(store.place.file)) as one,
            closing(sqlite3.connect(part)) as other,
        ):
            one.backup(other)
        with part.open("rb+") as handle:
            os.fsync(handle.fileno())
        os.link(part, path)  # refuses where somebody was quicker
    except (OSError, sqlite3.Error) as fault:
        why = (getattr(fault, "strerror", None) or str(fault)).lower()
        raise BadInput([Problem(str(path), 0, "ST06", f"the copy cannot be written: {why}.")]) from None
    finally:
        part.unlink(missing_ok=True)


def copy_beside(store: Store) -> Path | None:
    """A copy beside the file, named after its version; None for a server, which has its own ways."""
    if store.place.file is None:
        return None
    number = 1
    while (path := store.place.file.with_name(f"{store.place.file.name}.before-upgrade-{number}")).exists():
        number += 1
    copy_to(store, path)
    return path
