"""Files kept beside the records: photographs, tables of tracings.

In: a file and the visit it belongs to. Out: a copy under the name of its checksum, and a row that tells of it.
Not here: reading what is in a file. The copy is whole on the disk before its row is written.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from sqlalchemy import insert, select

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.store import tables as t
from reasoner.store.opening import Store
from reasoner.store.place import Place
from reasoner.store.reading import KnownVisit
from reasoner.store.saving import new_uid, now_utc
from reasoner.store.whole import put

register(
    {
        "ST36": "a file that cannot be enclosed",
        "ST41": "an enclosed file that is missing or changed",
    }
)

KINDS = {
    "photo": ("jpg", "jpeg", "png", "webp", "heic", "heif", "tif", "tiff", "gif", "bmp", "svg"),
    "table": ("csv", "tsv", "txt", "json", "yaml", "yml", "xlsx", "ods", "parquet"),
}
"""What a file is by the ending of its name."""
MOST_MB = 200
"""The largest file that is enclosed (millions of bytes); own setting."""


@frozen(kw_only=True)
class Enclosed:
    """A file kept with a version. `size` in bytes; `at` is where the copy lies; `new` False where it was there already."""

    uid: str
    version: str
    number: int
    kind: str
    name: str
    sha256: str
    size: int
    at: Path
    new: bool = False


def kept_at(place: Place, sha: str) -> Path:
    """Where the copy of a file with this checksum lies."""
    return place.files / sha


def enclose(store: Store, visit: KnownVisit, files: Sequence[Path], *, kind: str = "") -> tuple[Enclosed, ...]:
    """Keep files with the newest version of a visit: all of them or none. Raises BadInput (ST06, ST36)."""
    read, wrong = [], list[Problem]()
    for path in files:
        try:
            read.append((path.name, kind or _kind_of(path), _bytes_of(path)))
        except BadInput as bad:
            wrong += bad.problems
    if wrong:
        raise BadInput(wrong)
    for name, _, data in read:
        _put(store.place, name, data)
    told = []
    with store.writing() as connection:
        query = select(t.enclosed).where(t.enclosed.c.version == visit.version)
        held: dict[str, Any] = {row.name: row._mapping for row in connection.execute(query)}
        for name, what, data in read:
            sha, there = hashlib.sha256(data).hexdigest(), held.get(name)
            if there is not None and there["sha256"] != sha:
                raise BadInput([Problem(name, 0, "ST36", "another file of that name is enclosed with this visit.",
                                        "Nothing kept is written over: give it another name.")])  # fmt: skip
            row = there if there is not None else {
                "uid": new_uid(), "version": visit.version, "kind": what, "name": name, "sha256": sha, "size": len(data),
                "saved_at": now_utc(),
            }  # fmt: skip
            if there is None:
                connection.execute(insert(t.enclosed).values(**row))
                held[name] = row
            told.append(_enclosed(store.place, row, visit.number, there is None))
    return tuple(told)


def enclosed_with(connection: Any, place: Place, visit: str) -> tuple[Enclosed, ...]:
    """Every file kept with any version of a visit."""
    query = (
        select(t.enclosed, t.version.c.number).join(t.version, t.enclosed.c.version == t.version.c.uid)
        .where(t.version.c.visit == visit).order_by(t.version.c.number, t.enclosed.c.name)
    )  # fmt: skip
    return tuple(_enclosed(place, row._mapping, row.number, False) for row in connection.execute(query))


def _enclosed(place: Place, row: Any, number: int, new: bool) -> Enclosed:
    same = {key: row[key] for key in ("uid", "version", "kind", "name", "sha256", "size")}
    return Enclosed(**same, number=number, at=kept_at(place, row["sha256"]), new=new)


def _kind_of(path: Path) -> str:
    ending = path.suffix.lower().removeprefix(".")
    for kind, endings in KINDS.items():
        if ending in endings:
            return kind
    known = "; ".join(f"{kind}: {', '.join(endings)}" for kind, endings in KINDS.items())
    raise BadInput([Problem(str(path), 0, "ST36", f'"{path.suffix or path.name}" tells neither a photograph nor a table.',
                            f"Say --kind photo or --kind table. Known endings are {known}.")])  # fmt: skip


def _bytes_of(path: Path) -> bytes:
    try:
        size = path.stat().st_size if path.is_file() else -1
        if 0 <= size <= MOST_MB * 1_000_000:
            data = path.read_bytes()
            if data:
                return data
            size = 0
    except OSError as fault:
        why = (fault.strerror or "it cannot be read").lower()
        raise BadInput([Problem(str(path), 0, "ST36", f"this file cannot be read: {why}.")]) from None
    if size < 0:
        what = "this is no file." if path.exists() else "there is no such file."
    else:
        what = "nothing is in this file." if size == 0 else f"this file is larger than {MOST_MB} MB."
    raise BadInput([Problem(str(path), 0, "ST36", what)])


def _put(place: Place, name: str, data: bytes) -> None:
    path = kept_at(place, hashlib.sha256(data).hexdigest())
    try:
        if not path.is_file() or path.read_bytes() != data:  # a damaged copy is mended by a sound one
            put(path, data)
    except OSError as fault:
        why = (fault.strerror or "it cannot be written").lower()
        raise BadInput([Problem(str(path), 0, "ST06", f'"{name}" cannot be kept: {why}. Nothing was.')]) from None
