"""The parts of a run joined to whole tables, in order, while other parts are still worked on.

In: what `work` left in the work folder. Out: two tables, Parquet or CSV, put in place together.
Not here: judging, which parts there are.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.csv as pacsv
import pyarrow.parquet as pq

from reasoner.bulk.aside import ROW, aside_schema
from reasoner.bulk.results import schema_of
from reasoner.bulk.work import ASIDE, CSV_ROWS, RESULTS, Done, Job


class Joined:
    """Both tables as they grow in the work folder."""

    def __init__(self, job: Job, out: Path) -> None:
        self.job = job
        self.results, self.aside = job.folder / f"whole{out.suffix}", job.folder / f"whole.aside{out.suffix}"
        table = _Csv if job.csv else _Parquet
        results = schema_of(pa.string(), ranges=job.ranges, plain=job.csv)
        self._tables = (table(self.results, results), table(self.aside, aside_schema(pa.string())))
        self._next = self._rows = 0

    def take(self, done: Mapping[int, Done]) -> None:
        """Join every part whose turn it is."""
        while self._next in done:
            results, aside = self._tables
            results.add(self.job.folder / f"{self._next:06d}.{RESULTS}")
            for table in tables_in(self.job.folder / f"{self._next:06d}.{ASIDE}"):
                aside.add_table(self._moved(table))
            self._rows += done[self._next].rows
            self._next += 1

    def _moved(self, aside: Any) -> Any:
        """The rows that something is wrong in, counted from the top of the whole table."""
        at = aside.schema.get_field_index(ROW)
        return aside.set_column(at, aside.schema.field(at), pc.add(aside.column(at), self._rows))

    def close(self) -> None:
        """No more is to come."""
        for table in self._tables:
            table.close()

    def put_in_place(self, aside: Path, results: Path) -> None:
        """Close both and put them in their places, the results last."""
        self.close()
        for made, place in ((self.aside, aside), (self.results, results)):
            with made.open("rb") as whole:
                os.fsync(whole.fileno())
            os.replace(made, place)


class _Parquet:
    """One Parquet file of all the tables; words stay numbered inside and are plain texts to whoever reads them."""

    def __init__(self, path: Path, schema: Any) -> None:
        self.path, self.schema = path, schema
        self._writer: Any = None

    def add(self, piece: Path) -> None:
        for table in tables_in(piece):
            self.add_table(table)

    def add_table(self, table: Any) -> None:
        self._open(table.schema).write_table(table)

    def _open(self, schema: Any) -> Any:
        if self._writer is None:
            self._writer = pq.ParquetWriter(self.path, schema, store_schema=False)
        return self._writer

    def close(self) -> None:
        self._open(self.schema).close()


class _Csv:
    """One CSV file. The pieces of the results are lines of it already."""

    def __init__(self, path: Path, schema: Any) -> None:
        self._sink = path.open("wb")
        pacsv.write_csv(schema.empty_table(), self._sink)

    def add(self, piece: Path) -> None:
        with piece.open("rb") as rows:
            shutil.copyfileobj(rows, self._sink, 1 << 20)

    def add_table(self, table: Any) -> None:
        pacsv.write_csv(table, self._sink, CSV_ROWS)

    def close(self) -> None:
        self._sink.close()


def tables_in(path: Path) -> Iterator[Any]:
    """The tables of a part's file; none where it has nothing to say."""
    if path.stat().st_size == 0:
        return
    with pa.memory_map(str(path)) as source, pa.ipc.open_stream(source) as reader:
        for batch in reader:
            if batch.num_rows:
                yield pa.Table.from_batches([batch])
