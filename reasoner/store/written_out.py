"""Enclosed files written out of the records, each under the name it was enclosed by.

In: files kept with a visit, and a folder. Out: copies in it; nothing is written over.
Not here: keeping them (enclosing.py), where their bytes lie (enclosed_bytes.py).
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path

from sqlalchemy import Connection

from reasoner.problems import BadInput, Problem
from reasoner.store.enclosed_bytes import bytes_of
from reasoner.store.enclosing import Enclosed
from reasoner.store.place import Place
from reasoner.store.whole import put, refuse_over

_ELSEWHERE = "It may lie on the machine that enclosed it: `reasoner records upgrade` there brings it into the database."


def written_out(connection: Connection, place: Place, files: Sequence[Enclosed], folder: Path) -> tuple[Path, ...]:
    """Write enclosed files into a folder, each under the name it was enclosed by; nothing is written over. Raises BadInput (ST30,
    ST31, ST41)."""
    read = []
    for one in files:
        try:
            data = bytes_of(connection, place, one.sha256)
        except OSError as fault:
            why = (fault.strerror or "it cannot be read").lower()
            raise BadInput(
                [Problem(one.name, 0, "ST41", f"this enclosed file cannot be read here: {why}.", _ELSEWHERE)]
            ) from None
        if hashlib.sha256(data).hexdigest() != one.sha256:
            raise BadInput([Problem(one.name, 0, "ST41", "this enclosed file is not as it was kept.",
                                    "Enclose a sound copy of it again, or take it from a backup.")])  # fmt: skip
        read.append((folder / one.name, data))
    for path, data in read:
        if path.exists() and path.read_bytes() != data:
            refuse_over(path)
    for path, data in read:
        try:
            if not path.exists():
                put(path, data)
        except OSError as fault:
            why = (fault.strerror or "it cannot be written").lower()
            raise BadInput([Problem(str(path), 0, "ST31", f"this cannot be written: {why}.")]) from None
    return tuple(path for path, _ in read)
