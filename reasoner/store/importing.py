"""An export read back into records that are still empty: all of it, in one transaction, or nothing.

In: the folder of an export. Out: the same records. Every checksum is looked at before anything is written.
Not here: writing an export. One made by an older version is read in as it was, and then brought up to date.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from sqlalchemy import Connection, MetaData, Table, insert
from sqlalchemy.exc import DataError, IntegrityError

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.store import tables as t
from reasoner.store.enclosed_bytes import keep_bytes
from reasoner.store.exporting import sum_of
from reasoner.store.layout import BYTES, FILE, FORMAT, FORMAT_VERSION, MANIFEST, as_zlib
from reasoner.store.opening import NEWEST, open_empty, steps_known, upgrade_within
from reasoner.store.place import Place
from reasoner.store.table_files import read, shape_of
from reasoner.store.whole import sha_of

register(
    {
        "ST32": "an export that is damaged, or not whole",
        "ST35": "an export or a backup made by a newer version",
    }
)

_MOST = 40
"""How many damaged files are named one by one."""


@frozen(kw_only=True)
class Imported:
    """What was read in: rows by table, and how many files besides the tables."""

    tables: Mapping[str, int]
    files: int


def import_(folder: Path, place: Place) -> Imported:
    """Read an export into an empty place. Raises BadInput (ST05 to ST07, ST32, ST33, ST35)."""
    said = checked_manifest(folder)
    store, found = open_empty(place)
    try:
        if found is not None and found != said["tables_version"]:
            raise BadInput([Problem(place.shown, 0, "ST33", "this export was made by an older version; its records are "
                                    "begun anew, and here some are begun already.", "Name another place.")])  # fmt: skip
        with store.writing() as connection:
            if found is None:
                upgrade_within(connection, said["tables_version"])
            coming = _In(folder, said, place)
            rows = coming.all(connection)
            if said["tables_version"] != NEWEST:
                upgrade_within(connection)
            coming.files_in(connection)
    finally:
        store.close()
    return Imported(tables=rows, files=len(said["files"]) - len(rows))


def checked_manifest(folder: Path) -> dict[str, Any]:
    """What an export says of itself, once every file was found to be what it says. Raises BadInput (ST32, ST35)."""
    path = folder / MANIFEST
    try:
        said = json.loads(path.read_text(encoding="utf-8"))
    except OSError as fault:
        why = (fault.strerror or "it cannot be read").lower()
        hint = "Name the folder that holds manifest.json."
        raise BadInput([_damaged(path, f"no export is read here: {why}.", hint)]) from None
    except ValueError:
        raise BadInput([_damaged(path, "the list of the export's files does not read.")]) from None
    if not isinstance(said, dict) or said.get("format") != FORMAT:
        raise BadInput([_damaged(path, "this is no export of such records.")])
    if said.get("sha256") != sum_of(said):
        raise BadInput([_damaged(path, "the list of the export's files does not match its own checksum.")])
    if said["format_version"] > FORMAT_VERSION or said["tables_version"] not in steps_known():
        raise BadInput([Problem(str(path), 0, "ST35", "this export was made by a newer version of the reasoner.",
                                "Use that version. Nothing was read in.")])  # fmt: skip
    wrong = [
        _damaged(folder / name, what) for name, one in said["files"].items() if (what := _wrong(folder, name, one))
    ]
    if wrong:
        more = len(wrong) - _MOST
        rest = [_damaged(folder, f"{more} more files are missing or changed.")] if more > 0 else []
        raise BadInput([*wrong[:_MOST], *rest])
    return said


def _wrong(folder: Path, name: str, one: Mapping[str, Any]) -> str:
    """What is wrong with one file, or an empty string."""
    parts = PurePosixPath(name)
    if parts.is_absolute() or ".." in parts.parts:
        return "this name leads out of the export."
    try:
        if sha_of(folder / name) == one["sha256"]:
            return ""
    except FileNotFoundError:
        return "this file is missing."
    except OSError as fault:
        return f"this file cannot be read: {(fault.strerror or 'no reason given').lower()}."
    return "this file is not as it was written: its checksum differs."


def _damaged(path: Path, what: str, hint: str = "Nothing was read in. Use another copy of the export.") -> Problem:
    return Problem(str(path), 0, "ST32", what, hint)


class _In:
    """One export on its way into one connection."""

    def __init__(self, folder: Path, said: Mapping[str, Any], place: Place) -> None:
        self.folder, self.said, self.place = folder, said, place
        self.enclosed: list[Path] = []

    def all(self, connection: Connection) -> dict[str, int]:
        """Every table; rows by its name."""
        meta = t.META
        if self.said["tables_version"] != NEWEST:  # the tables as they were then
            meta = MetaData()
            meta.reflect(connection)
        apart = {"alembic_version", *(table.name for table in t.AS_FILES)}
        named = [table for table in meta.sorted_tables if table.name not in apart]
        if strange := {table.name for table in named} ^ set(self.said["tables"]):
            raise BadInput(
                [_damaged(self.folder / MANIFEST, f"tables are missing or unknown: {', '.join(sorted(strange))}.")]
            )
        return {table.name: self._table(connection, table) for table in named}

    def _table(self, connection: Connection, table: Table) -> int:
        path, count = self._path(f"tables/{table.name}.{self.said['kind']}"), 0
        try:
            for lot in read(path, self.said["kind"], shape_of(table)):
                connection.execute(insert(table), list(self._rows(table.name, lot)))
                count += len(lot)
        except (ValueError, OSError) as fault:
            raise BadInput([_damaged(path, f"this table does not read: {fault}.")]) from None
        except (IntegrityError, DataError) as fault:
            why = str(fault.orig).splitlines()[0]
            raise BadInput([_damaged(path, f"its rows do not fit those of the other tables: {why}.")]) from None
        if count != self.said["tables"][table.name]:
            raise BadInput([_damaged(path, f"{count} rows were read, {self.said['tables'][table.name]} expected.")])
        return count

    def _rows(self, table: str, lot: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
        for row in lot:
            for column in BYTES.get(table, ()):
                data = self._path(row[column]).read_bytes()
                row[column] = as_zlib(data) if column == "answer" else data
            if table == "version":
                self._same(row["text"], row["sha256"], row["uid"])
                self._same(row["answer"], row["answer_sha256"], row["uid"])
            if table == "enclosed":
                self._enclose(row["sha256"], self._path(row.pop(FILE)))
            yield row

    def _path(self, name: str) -> Path:
        """A file of the export; only one whose checksum was looked at."""
        if name not in self.said["files"]:
            raise BadInput(
                [_damaged(self.folder / MANIFEST, f'the file "{str(name)[:120]}" is named, but not listed.')]
            )
        return self.folder / name

    def _same(self, data: bytes, sha: str, uid: str) -> None:
        if hashlib.sha256(data).hexdigest() != sha:
            raise BadInput([_damaged(self.folder, f"the files of version {uid} are not those its row tells of.")])

    def _enclose(self, sha: str, path: Path) -> None:
        self._same(path.read_bytes(), sha, path.name)
        self.enclosed.append(path)

    def files_in(self, connection: Connection) -> None:
        """The enclosed files, once the tables are those of this program. Raises OSError."""
        for path in self.enclosed:
            keep_bytes(connection, self.place, path.read_bytes())
