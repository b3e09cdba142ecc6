"""Reads one part: tables in which each visit stands whole, or visit files.

In: a `Part`. Out: Arrow tables with the number of their first row among the rows of this part.
Not here: where the cuts fall (cutting), judging.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.csv as pacsv
import pyarrow.parquet as pq

from reasoner.bulk.columns import COLUMNS, VISIT, names_of
from reasoner.bulk.cutting import CSV, ROWS, Part
from reasoner.problems import BadInput, Problem
from reasoner.rulebook.vocabulary import canonical

#: Rows read at a time: what is in memory at once is a few of these.
BATCH = 1 << 19
_WORDS = pa.dictionary(pa.int32(), pa.string())


def tables_of(part: Part) -> Iterator[tuple[Any, int]]:
    """(table, number of its first row among those of this part) for all visits that begin in this part, each of them whole."""
    try:
        yield from _csv(part) if part.kind == CSV else _parquet(part)
    except pa.ArrowInvalid as fault:
        told = " ".join(str(fault).split())[:200]
        raise BadInput([Problem(part.source, 0, "BT08", f"the table cannot be read: {told}.")]) from None


def _csv(part: Part) -> Iterator[tuple[Any, int]]:
    with Path(part.source).open("rb") as handle:
        head = handle.readline()
        handle.seek(part.first)
        body = handle.read(part.last - part.first)
    names = pacsv.read_csv(pa.BufferReader(head)).column_names
    ours = list(names_of(names, part.source).values())
    quoted = b'"' in body
    table = pacsv.read_csv(
        pa.BufferReader(body),
        read_options=pacsv.ReadOptions(column_names=names, use_threads=False, block_size=1 << 22),
        parse_options=pacsv.ParseOptions(newlines_in_values=quoted),
        convert_options=pacsv.ConvertOptions(
            column_types=dict.fromkeys(ours, _WORDS), include_columns=ours, null_values=[""], strings_can_be_null=True
        ),
    )
    yield table, 1


def _parquet(part: Part) -> Iterator[tuple[Any, int]]:
    with pq.ParquetFile(part.source) as plain:
        schema = plain.schema_arrow
    texts = [f.name for f in schema if canonical(f.name) in COLUMNS and pa.types.is_string(f.type)]
    columns = list(names_of(schema.names, part.source).values())
    visit = columns[[canonical(name) for name in columns].index(VISIT)]
    with pq.ParquetFile(part.source, read_dictionary=texts) as table:
        before = _last_before(table, part.first, visit)
        kept: list[Any] = []  # the rows of the visit that may go on in what is read next
        number, waiting = 1, 0
        for batch in table.iter_batches(
            BATCH, row_groups=range(part.first, part.last), columns=columns, use_threads=False
        ):
            read = pa.Table.from_batches([batch])
            if before:
                skip = _same(read.column(visit), before[0])
                if skip == len(read):
                    continue
                read, before = read.slice(skip), []
            kept.append(read)
            waiting += len(read)
            if waiting < BATCH:
                continue
            whole = pa.concat_tables(kept)
            ends = _last_begins(whole.column(visit))
            if ends:
                yield whole.slice(0, ends), number
                number += ends
            kept, waiting = [whole.slice(ends)], 0
        if kept and any(map(len, kept)):
            kept += _going_on(table, part.last, columns, visit, kept[-1])
            yield pa.concat_tables(kept), number


def _last_before(table: Any, group: int, visit: str) -> list[Any]:
    """The name of the visit in the row before this row group, in a list that is empty where there is no such row."""
    while group:
        group -= 1
        last: list[Any] = []
        for batch in table.iter_batches(ROWS, row_groups=[group], columns=[visit], use_threads=False):
            last = [batch.column(0)[len(batch) - 1].as_py()] if len(batch) else last
        if last:
            return last
    return []


def _going_on(table: Any, group: int, columns: list[str], visit: str, kept: Any) -> Iterator[Any]:
    """The rows after this part that belong to its last visit."""
    name = kept.column(visit)[len(kept) - 1].as_py()
    groups = range(group, table.metadata.num_row_groups)
    if not len(groups):
        return
    for batch in table.iter_batches(4096, row_groups=groups, columns=columns, use_threads=False):
        read = pa.Table.from_batches([batch])
        same = _same(read.column(visit), name)
        if same:
            yield read.slice(0, same)
        if same < len(read):
            return


def _same(column: Any, name: Any) -> int:
    """How many of the first rows have this name."""
    for at, one in enumerate(column):
        if one.as_py() != name:
            return at
    return len(column)


def _last_begins(column: Any) -> int:
    """Where the last visit of a column begins."""
    at = len(column) - 1
    name = column[at].as_py()
    while at and column[at - 1].as_py() == name:
        at -= 1
    return at
