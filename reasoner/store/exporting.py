"""All of the records as files: every visit file, answer, rulebook and enclosed file byte for byte, and a table a kind.

In: an opened store. Out: a folder that stands whole under its name, or not at all, and tells one moment.
Not here: reading it back (importing.py), how it lies (layout.py).

The same records give the same folder, byte for byte: nothing in it says when it was made.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, select

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem
from reasoner.store import tables as t
from reasoner.store.archives import layers_of
from reasoner.store.enclosed_bytes import bytes_of, kept_at
from reasoner.store.layout import (
    FILE,
    FORMAT,
    FORMAT_VERSION,
    MANIFEST,
    as_gzip,
    enclosed_files,
    version_folders,
)
from reasoner.store.opening import NEWEST, Store
from reasoner.store.table_files import Kind, shape_of, write
from reasoner.store.whole import sha_of, whole_folder

_LOT = 500


@frozen(kw_only=True)
class Exported:
    """What was written: rows by table, and how many files besides the tables."""

    folder: Path
    kind: Kind
    tables: Mapping[str, int]
    files: int


def export(store: Store, folder: Path, kind: Kind = "csv") -> Exported:
    """Write everything into a folder that is not there yet. Raises BadInput (ST05, ST23, ST30, ST31)."""
    with whole_folder(folder) as part, store.reading() as connection:
        out = _Out(store, connection, part, version_folders(connection))
        out.enclosed = enclosed_files(connection, out.folders)
        rows = {table.name: out.table(connection, table, kind) for table in t.META.sorted_tables
                if table not in t.AS_FILES}  # fmt: skip
        seal(part, out.sums, rows, kind)
    return Exported(folder=folder, kind=kind, tables=rows, files=len(out.sums) - len(rows))


def seal(folder: Path, sums: Mapping[str, Mapping[str, Any]], rows: Mapping[str, int], kind: Kind) -> None:
    """Write the manifest; its own checksum stands in it. Raises OSError."""
    said = {
        "format": FORMAT, "format_version": FORMAT_VERSION, "tables_version": NEWEST, "kind": kind,
        "tables": dict(sorted(rows.items())), "files": dict(sorted(sums.items())),
    }  # fmt: skip
    text = json.dumps({**said, "sha256": sum_of(said)}, indent=1, ensure_ascii=False)
    (folder / MANIFEST).write_text(text + "\n", encoding="utf-8")


def sum_of(said: Mapping[str, Any]) -> str:
    """The checksum of a manifest: of what it says, however it is laid out."""
    plain = json.dumps({key: held for key, held in said.items() if key != "sha256"}, sort_keys=True, ensure_ascii=True)
    return hashlib.sha256(plain.encode()).hexdigest()


class _Out:
    """The folder being filled; `sums` are the files written so far."""

    def __init__(self, store: Store, connection: Connection, folder: Path, folders: Mapping[str, str]) -> None:
        self.store, self.connection, self.folder, self.folders = store, connection, folder, folders
        self.enclosed: Mapping[str, str] = {}
        self.sums: dict[str, dict[str, Any]] = {}

    def table(self, connection: Connection, table: Table, kind: Kind) -> int:
        """One table, and the files its rows name; how many rows."""
        path = f"tables/{table.name}.{kind}"
        (self.folder / "tables").mkdir(exist_ok=True)
        count = write(self.folder / path, kind, shape_of(table), self._lots(connection, table))
        self.sums[path] = {"sha256": sha_of(self.folder / path), "size": (self.folder / path).stat().st_size}
        return count

    def _lots(self, connection: Connection, table: Table) -> Iterator[list[dict[str, Any]]]:
        query = select(table).order_by(*table.primary_key.columns)
        told: Callable[[dict[str, Any]], dict[str, Any]] = {
            "version": self._version, "rulebook": self._rulebook,
        }.get(table.name, dict)  # fmt: skip
        if table is t.enclosed:  # its files may lie in the database, and are read on the same connection meanwhile
            yield [self._enclosed(dict(row)) for row in connection.execute(query).mappings().all()]
            return
        for lot in connection.execute(query, execution_options={"yield_per": _LOT}).mappings().partitions():
            yield [told(dict(row)) for row in lot]

    def _version(self, row: dict[str, Any]) -> dict[str, Any]:
        folder, text, answer = self.folders[row["uid"]], bytes(row["text"]), bytes(row["answer"])
        if hashlib.sha256(text).hexdigest() != row["sha256"]:
            raise self._damaged(f"the visit file of version {row['uid']}")
        try:
            packed = as_gzip(answer)
        except ValueError:
            raise self._damaged(f"the answer of version {row['uid']}") from None
        if hashlib.sha256(answer).hexdigest() != row["answer_sha256"]:
            raise self._damaged(f"the answer of version {row['uid']}")
        named = {"text": f"{folder}/visit.yaml", "answer": f"{folder}/answer.json.gz"}
        self._write(named["text"], text)
        self._write(named["answer"], packed)
        return row | named

    def _rulebook(self, row: dict[str, Any]) -> dict[str, Any]:
        path, archive = f"rulebooks/{row['stamp']}.zip", bytes(row["archive"])
        if layers_of(archive, row["stamp"]) is None:
            raise self._damaged(f"the rulebook {row['stamp'][:12]}")
        self._write(path, archive)
        return row | {"archive": path}

    def _enclosed(self, row: dict[str, Any]) -> dict[str, Any]:
        path = self.enclosed[row["uid"]]
        kept = kept_at(self.store.place, row["sha256"])
        try:
            data = bytes_of(self.connection, self.store.place, row["sha256"])
        except OSError as fault:
            why = (fault.strerror or "it cannot be read").lower()
            hint = "Put it back from a backup; `reasoner records check` names every one."
            what = f'the enclosed file "{row["name"]}" cannot be read: {why}.'
            raise BadInput([Problem(str(kept), 0, "ST41", what, hint)]) from None
        if hashlib.sha256(data).hexdigest() != row["sha256"]:
            raise self._damaged(f'the enclosed file "{row["name"]}"')
        self._write(path, data)
        return row | {FILE: path}

    def _write(self, path: str, data: bytes) -> None:
        (self.folder / path).parent.mkdir(parents=True, exist_ok=True)
        (self.folder / path).write_bytes(data)
        self.sums[path] = {"sha256": hashlib.sha256(data).hexdigest(), "size": len(data)}

    def _damaged(self, what: str) -> BadInput:
        return BadInput([Problem(self.store.place.shown, 0, "ST23", f"{what} does not match its checksum; nothing was written.",
                                 "`reasoner records check` names everything that is damaged.")])  # fmt: skip
