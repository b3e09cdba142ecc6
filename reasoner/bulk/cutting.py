"""What there is to judge, cut into parts that any process can read by itself.

In: a folder of visit files, a Parquet or a CSV table. Out: `Part`s, the same whoever works on them.
Not here: reading the parts (sources), judging.

INVARIANT: where the cuts fall depends on the input alone, so results cannot depend on the number of workers.
"""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from reasoner.bulk.columns import VISIT, names_of
from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register

register(
    {
        "BT08": "nothing to judge was found, or not in a form that is read",
        "BT09": "the rows of one visit do not stand together",
    }
)

FOLDER, PARQUET, CSV = "folder", "parquet", "csv"
ENDINGS = {".parquet": PARQUET, ".pq": PARQUET, ".csv": CSV}
VISIT_ENDINGS = (".yaml", ".yml")
FILES = 256
ROWS = 1 << 20
BYTES = 1 << 25


@frozen
class Part:
    """One piece of work. Of a folder: the files from `first` up to `last`; of Parquet: the row groups; of CSV: the bytes.
    A visit that reaches across an end belongs to the part it begins in."""

    source: str
    kind: str
    first: int
    last: int
    files: tuple[str, ...] = ()


def kind_of(path: Path) -> str:
    """What kind of input this is. Raises BadInput (BT08)."""
    if path.is_dir():
        return FOLDER
    kind = ENDINGS.get(path.suffix.lower(), "")
    if not path.is_file():
        raise BadInput([Problem(str(path), 0, "BT08", "there is no such file or folder.")])
    if not kind:
        raise BadInput([Problem(str(path), 0, "BT08", "a folder of visit files, a .parquet or a .csv table was expected.",
                                "A single visit is judged by `reasoner assess`.")])  # fmt: skip
    return kind


def parts_of(path: Path) -> list[Part]:
    """The parts, in order. Raises BadInput (BT06, BT08)."""
    kind = kind_of(path)
    try:
        return list({FOLDER: _files, PARQUET: _groups, CSV: _ranges}[kind](path))
    except OSError as fault:
        why = (fault.strerror or "it cannot be read").lower()
        raise BadInput([Problem(str(path), 0, "BT08", f"the table cannot be read: {why}.")]) from None


def _files(path: Path) -> Iterator[Part]:
    found = sorted(
        p.relative_to(path).as_posix()
        for p in path.rglob("*")
        if p.suffix.lower() in VISIT_ENDINGS and p.is_file() and not any(n.startswith(".") for n in p.parts[len(path.parts):])
    )  # fmt: skip
    if not found:
        raise BadInput([Problem(str(path), 0, "BT08", "no visit file was found in this folder.",
                                "Visit files end in .yaml or .yml.")])  # fmt: skip
    for first in range(0, len(found), FILES):
        yield Part(str(path), FOLDER, first, first + FILES, tuple(found[first : first + FILES]))


def _groups(path: Path) -> Iterator[Part]:
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        with pq.ParquetFile(path) as table:
            names_of(table.schema_arrow.names, str(path))
            sizes = [table.metadata.row_group(n).num_rows for n in range(table.metadata.num_row_groups)]
    except pa.ArrowInvalid:
        raise BadInput([Problem(str(path), 0, "BT08", "the file is not a Parquet table.")]) from None
    first = rows = 0
    for number, size in enumerate(sizes):
        rows += size
        if rows >= ROWS or number == len(sizes) - 1:
            yield Part(str(path), PARQUET, first, number + 1)
            first, rows = number + 1, 0


def _ranges(path: Path) -> Iterator[Part]:
    """Ranges of bytes that begin where a visit begins. A line ends where an even number of quotation marks lies before it."""
    size = path.stat().st_size
    with path.open("rb") as handle:
        head = handle.readline()
        if head.count(b'"') % 2:
            raise BadInput([Problem(str(path), 1, "BT08", "the heading of the table runs over several lines.")])
        names = next(csv.reader([head.decode("utf-8-sig", errors="replace")]), [])
        visit = names.index(names_of(names, str(path))[VISIT])
        start = len(head)
        while start < size:
            end = _cut(handle, start, size, visit)
            yield Part(str(path), CSV, start, end)
            start = end


def _cut(handle: io.BufferedReader, start: int, size: int, visit: int) -> int:
    """Where the part that begins at `start` ends: after BYTES or more, where the name of the visit changes."""
    handle.seek(start)
    block = handle.read(BYTES)
    at = start + len(block)
    quotes = int(np.count_nonzero(np.frombuffer(block, dtype=np.uint8) == ord('"')))
    last: str | None = None
    record, begun = b"", at
    whole = False  # the line in which the cut fell is not seen from its beginning
    for line in iter(handle.readline, b""):
        quotes += line.count(b'"')
        record += line
        at += len(line)
        if quotes % 2:
            continue
        if whole and record.strip():
            fields = next(csv.reader([record.decode("utf-8", errors="replace")]), [])
            name = fields[visit] if visit < len(fields) else ""
            if last is not None and name != last:
                return begun
            last = name
        whole, record, begun = True, b"", at
    return size


def fingerprint(path: Path, parts: list[Part]) -> list[object]:
    """What the input was when it was cut: a run that goes on must find the same."""
    names = [f"{part.source}/{name}" for part in parts for name in part.files] or [str(path)]
    stats = [os.stat(name) for name in names]
    return [[name, s.st_size, s.st_mtime_ns] for name, s in zip(names, stats, strict=True)]
