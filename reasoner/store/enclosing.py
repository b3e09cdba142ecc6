"""Files kept beside the records: photographs, tables of tracings.

In: a file and the visit it belongs to. Out: a copy under the name of its checksum, and a row that tells of it; of a photograph
nothing but the picture is kept. Not here: where copies lie (enclosed_bytes.py), reading what is in a table.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from sqlalchemy import Connection

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.store import tables as t
from reasoner.store.enclosed_bytes import bytes_of, keep_bytes, kept_at, lies_in
from reasoner.store.fresh import new_uid, now_utc
from reasoner.store.opening import Store
from reasoner.store.photograph_rows import caption_of, free_name, further_row, moment_of, query, rows, which
from reasoner.store.photographs import FROM_THIS_MACHINE, Picture, cleaned, shows_of
from reasoner.store.place import Place
from reasoner.store.reading import KnownVisit
from reasoner.store.sealing import add

register(
    {
        "ST36": "a file that cannot be enclosed",
        "ST41": "an enclosed file that is missing or changed",
        "PG04": "more photographs than one visit holds",
    }
)

KINDS = {
    "photo": ("jpg", "jpeg", "png", "webp", "heic", "heif", "tif", "tiff", "gif", "bmp"),
    "table": ("csv", "tsv", "txt", "json", "yaml", "yml", "xlsx", "ods", "parquet"),
}
"""What a file is by the ending of its name."""
MOST_MB = 200
"""The largest file that is enclosed (millions of bytes); own setting."""
MOST_PHOTOGRAPHS = 60
"""How many photographs one visit holds; own setting, so that a telephone cannot fill the disk by mistake."""
_LONGEST_NAME = 60


@frozen(kw_only=True)
class Enclosed:
    """A file kept with a version. `size` in bytes; `at` is where the copy lies (None: in the database); `new` False where it was
    there already. Of a photograph: what it `shows`, its caption, and the checksum of what it was made from (all empty where it
    was kept before they were asked for); `stands` is False where something newer is said of the same photograph of the visit.
    `data` are its bytes, where they were asked for and are there."""

    uid: str
    version: str
    number: int
    kind: str
    name: str
    sha256: str
    size: int
    at: Path | None
    new: bool = False
    shows: str = ""
    caption: str = ""
    original: str = ""
    stands: bool = True
    data: bytes | None = None


@frozen(kw_only=True)
class _Given:
    """A file on its way in; `picture` where it is a photograph, then made of `raw`."""

    name: str
    kind: str
    data: bytes
    picture: Picture | None
    raw: bytes = b""

    def same(self, held: Any) -> bool:
        """Whether the row is of this file: photographs are known by what they were made from."""
        if self.picture is not None and held["original"]:
            return bool(held["original"] == self.picture.original)
        return bool(held["sha256"] == hashlib.sha256(self.data).hexdigest())


def enclose(
    store: Store, visit: KnownVisit, files: Sequence[Path], *, kind: str = "", shows: str = "", caption: str | None = None,
    by: str = "",
) -> tuple[Enclosed, ...]:  # fmt: skip
    """Keep files with the newest version of a visit: all of them or none. Photographs are written anew, without the place and
    everything else that a camera writes into them. Of a photograph that is kept already, what is said otherwise now (`shows`,
    `caption`) is kept as a further row, and stands from then on. Raises BadInput (ST06, ST36, PG01 to PG05)."""
    read, wrong = list[_Given](), list[Problem]()
    for path in files:
        try:
            what = kind or _kind_of(path)
            data = _bytes_of(path)
            picture = cleaned(data, str(path), FROM_THIS_MACHINE) if what == "photo" else None
            name = path.name if picture is None or path.suffix.lower() in (".jpg", ".jpeg") else f"{path.stem}.jpg"
            read.append(_Given(name=name, kind=what, data=picture.data if picture else data, picture=picture,
                               raw=data))  # fmt: skip
        except BadInput as bad:
            wrong += bad.problems
    if wrong:
        raise BadInput(wrong)
    shown, caption = shows_of(shows) if shows.strip() else "", None if caption is None else caption_of(caption)
    told = []
    with store.writing() as connection:
        every = rows(connection, t.version.c.visit == visit.uid)
        read = [_as_kept(given, every) for given in read]
        for given in read:
            _put(connection, store.place, given.name, given.data)
        for given in read:
            every = rows(connection, t.version.c.visit == visit.uid)
            named = next((r for r in every if (r["version"], r["name"]) == (visit.version, given.name)), None)
            if named is not None and not given.same(named):
                raise BadInput([Problem(given.name, 0, "ST36", "another file of that name is enclosed with this visit.",
                                        "Nothing kept is written over: give it another name.")])  # fmt: skip
            there = named or _photograph_among([r for r in every if r["version"] != visit.version], given)
            if there is None:
                row, new = _add(connection, visit, given, given.name, shown or "other", caption or "", by), True
            else:
                row, new = _said_otherwise(connection, visit, there, given, shown, caption, by)
            told.append(enclosed_of(connection, store.place, row, visit.number if new else row["number"], new))
    return tuple(told)


def enclose_photograph(
    store: Store,
    visit: KnownVisit,
    name: str,
    data: bytes,
    *,
    shows: str = "",
    caption: str | None = None,
    by: str = "",
) -> Enclosed:
    """Keep one photograph that a telephone sent, under the last part of its name; another name is found where that is taken, and
    the very same photograph is kept once: what is said otherwise of it now is kept as a further row, as in `enclose`. Raises
    BadInput (ST06, PG01 to PG05)."""
    shown, told = shows_of(shows, "shows") if shows.strip() else "", None if caption is None else caption_of(caption)
    plain = plain_name(name)
    picture = cleaned(data, plain)
    given = _Given(name=plain, kind="photo", data=picture.data, picture=picture, raw=data)
    with store.writing() as connection:
        every = rows(connection, t.version.c.visit == visit.uid)
        given = _as_kept(given, every)
        if (there := _photograph_among(every, given)) is not None:
            row, new = _said_otherwise(connection, visit, there, given, shown, told, by)
            return enclosed_of(connection, store.place, row, visit.number if new else row["number"], new)
        _put(connection, store.place, plain, given.data)
        name = free_name(plain, {row["name"] for row in every})
        row = _add(connection, visit, given, name, shown or "other", told or "", by)
        return enclosed_of(connection, store.place, row, visit.number, True)


def plain_name(name: str) -> str:
    """The last part of a name, in signs that any system takes, ending in .jpg as what is kept under it.

    >>> plain_name("../../etc/passwd"), plain_name("saddle.PNG"), plain_name(".."), plain_name("<b>Bramble's.jpeg")
    ('passwd.jpg', 'saddle.jpg', 'photograph.jpg', "b Bramble's.jpg")
    """
    last = name.replace("\\", "/").rpartition("/")[2]
    stem = last.rpartition(".")[0] or last
    signs = re.sub(r"[^\w .()'-]+", " ", stem)[:_LONGEST_NAME].strip(" .")
    return f"{signs or 'photograph'}.jpg"


def photograph_of(connection: Connection, place: Place, uid: str) -> tuple[Enclosed, str] | None:
    """A photograph by its uid, and the visit it belongs to."""
    one = query().where(t.enclosed.c.uid == uid, t.enclosed.c.kind == "photo")
    row = connection.execute(one).mappings().first()
    return None if row is None else (enclosed_of(connection, place, row, row["number"], False), row["visit"])


def enclosed_with(connection: Connection, place: Place, visit: str) -> tuple[Enclosed, ...]:
    """Every file kept with any version of a visit. Of several rows of one photograph the last one said `stands`."""
    every = rows(connection, t.version.c.visit == visit)
    last = {which(row): row["uid"] for row in sorted(every, key=moment_of) if row["kind"] == "photo"}
    found = ((row, enclosed_of(connection, place, row, row["number"], False)) for row in every)
    return tuple(
        one if row["kind"] != "photo" else replace(one, stands=last[which(row)] == row["uid"]) for row, one in found
    )


def with_bytes(connection: Connection, place: Place, files: Sequence[Enclosed]) -> tuple[Enclosed, ...]:
    """The same files with their bytes; without them where they are not there."""
    return tuple(replace(one, data=_there(connection, place, one.sha256)) for one in files)


def _there(connection: Connection, place: Place, sha: str) -> bytes | None:
    try:
        return bytes_of(connection, place, sha)
    except OSError:
        return None


def _add(
    connection: Connection, visit: KnownVisit, given: _Given, name: str, shows: str, caption: str, by: str
) -> dict[str, Any]:
    photographs = (t.version.c.visit == visit.uid) & (t.enclosed.c.kind == "photo")
    if given.picture is not None and len({which(row) for row in rows(connection, photographs)}) >= MOST_PHOTOGRAPHS:
        raise BadInput([Problem(name, 0, "PG04", f"{MOST_PHOTOGRAPHS} photographs are kept with this visit already; no more are "
                                "taken.")])  # fmt: skip
    row = {
        "uid": new_uid(), "version": visit.version, "kind": given.kind, "name": name,
        "sha256": hashlib.sha256(given.data).hexdigest(), "size": len(given.data), "saved_at": now_utc(),
    }  # fmt: skip
    add(connection, t.enclosed, **row)
    if given.picture is None:
        return {**row, "shows": "", "caption": "", "original": ""}
    told = {"shows": shows, "caption": caption, "original": given.picture.original}
    size = {"width": given.picture.width, "height": given.picture.height}
    add(connection, t.photograph, enclosed=row["uid"], kept_by=by, **told, **size)
    return {**row, **told}


def _as_kept(given: _Given, every: Sequence[Any]) -> _Given:
    """The file as it is kept, where it is the very copy that the records keep (`records show --files-to` wrote it out): then it
    is the same photograph, and not written anew once more."""
    for row in every:
        if given.picture is not None and row["sha256"] == given.picture.original and row["original"]:
            kept = replace(given.picture, data=given.raw, original=row["original"])
            return replace(given, data=given.raw, picture=kept)
    return given


def _photograph_among(every: Sequence[Any], given: _Given) -> Any:
    """The row of this photograph, under whatever name and with whatever version of the visit; None where it is not kept yet."""
    return next((row for row in every if given.picture and row["kind"] == "photo" and given.same(row)), None)


def _said_otherwise(
    connection: Connection, visit: KnownVisit, there: Any, given: _Given, shows: str, caption: str | None, by: str
) -> tuple[Any, bool]:
    """(the row that stands of a photograph which is kept already, whether it is new): a further row where something else is said
    of it now. What is not said stays as it was; nothing that was kept is written over."""
    if given.picture is None or not there["original"]:
        return there, False
    return further_row(connection, visit, rows(connection, t.version.c.visit == visit.uid), there, shows, caption, by)


def enclosed_of(connection: Connection, place: Place, row: Any, number: int, new: bool) -> Enclosed:
    """An enclosed file as it is told of, from a row of `query`."""
    same: dict[str, Any] = {key: row[key] for key in ("uid", "version", "kind", "name", "sha256", "size")}
    told: dict[str, Any] = {key: row[key] or "" for key in ("shows", "caption", "original")}
    return Enclosed(**same, **told, number=number, at=lies_in(connection, place, row["sha256"]), new=new)


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


def _put(connection: Connection, place: Place, name: str, data: bytes) -> None:
    try:
        keep_bytes(connection, place, data)
    except OSError as fault:
        why = (fault.strerror or "it cannot be written").lower()
        where = str(kept_at(place, hashlib.sha256(data).hexdigest()))
        raise BadInput([Problem(where, 0, "ST06", f'"{name}" cannot be kept: {why}. Nothing was.')]) from None
