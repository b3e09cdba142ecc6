"""The bytes of enclosed files, by their checksum: beside the file of the records, or within the database of a server.

In: bytes. Out: a copy of them where everybody who reaches the records finds it, whole before any row tells of it; or them again.
Not here: which visit they belong to (enclosing.py). A copy that was damaged is mended by a second one; none is taken out.

Of records on a server, copies that an earlier version left on a machine are still read there; `take_in` brings them in.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import Connection, insert, select

from reasoner.frozen import frozen
from reasoner.store import tables as t
from reasoner.store.fresh import new_uid
from reasoner.store.place import Place
from reasoner.store.whole import put

_PIECE = 1 << 20
"""Bytes in a row, so that no statement carries a whole file."""


@frozen(kw_only=True)
class TakenIn:
    """How many files were brought into the database, and the names of those that lie on another machine."""

    files: int
    elsewhere: tuple[str, ...]


def kept_at(place: Place, sha: str) -> Path:
    """Where the copy of a file with this checksum lies, if it lies in a folder."""
    return place.files / sha


def keep_bytes(connection: Connection, place: Place, data: bytes) -> None:
    """Keep a copy, unless a sound one is there. Raises OSError where a folder does not take it."""
    sha = hashlib.sha256(data).hexdigest()
    if place.file is not None:
        path = kept_at(place, sha)
        if not path.is_file() or path.read_bytes() != data:  # a damaged copy is mended by a sound one
            put(path, data)
    elif next((True for copy in _copies(connection, sha) if copy == data), None) is None:
        _insert(connection, sha, data)


def bytes_of(connection: Connection, place: Place, sha: str) -> bytes:
    """The bytes kept under a checksum; damaged ones only where there are no sound ones. Raises OSError where there are none."""
    found: bytes | None = None
    if place.file is None:
        for copy in _copies(connection, sha):
            found = copy
            if hashlib.sha256(copy).hexdigest() == sha:
                return copy
        if found is not None and not kept_at(place, sha).is_file():
            return found
    return kept_at(place, sha).read_bytes()


def lies_in(connection: Connection, place: Place, sha: str) -> Path | None:
    """The file of a copy; None where it lies in the database."""
    p = t.piece.c
    held = place.file is None and connection.execute(select(p.at).where(p.sha256 == sha).limit(1)).first() is not None
    return None if held else kept_at(place, sha)


def take_in(connection: Connection, place: Place) -> TakenIn:
    """Bring copies that lie on this machine into the database of a server; of a file there is nothing to do."""
    count, elsewhere = 0, list[str]()
    if place.file is None:
        rows = connection.execute(select(t.enclosed.c.sha256, t.enclosed.c.name).order_by(t.enclosed.c.name)).all()
        for sha, name in dict(rows).items():
            if any(hashlib.sha256(copy).hexdigest() == sha for copy in _copies(connection, sha)):
                continue
            path = kept_at(place, sha)
            data = path.read_bytes() if path.is_file() else b""
            if hashlib.sha256(data).hexdigest() == sha:
                _insert(connection, sha, data)
                count += 1
            else:
                elsewhere.append(name)
    return TakenIn(files=count, elsewhere=tuple(elsewhere))


def _insert(connection: Connection, sha: str, data: bytes) -> None:
    copy = new_uid()
    for at, start in enumerate(range(0, len(data), _PIECE)):
        values = {"copy": copy, "at": at, "sha256": sha, "data": data[start : start + _PIECE]}
        connection.execute(insert(t.piece).values(**values))


def _copies(connection: Connection, sha: str) -> Iterator[bytes]:
    """Each copy in the database, whole."""
    p = t.piece.c
    for copy in connection.execute(select(p.copy).where(p.sha256 == sha).distinct().order_by(p.copy)).scalars().all():
        rows = connection.execute(select(p.data).where(p.copy == copy).order_by(p.at)).scalars()
        yield b"".join(map(bytes, rows))
