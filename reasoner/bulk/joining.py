"""The parts of a run joined to whole tables, in order, while other parts are still worked on.

In: what `work` left in the work folder. Out: two tables, Parquet or CSV, put in place together.
Not here: judging, which parts there are.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Container, Iterator
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.csv as pacsv
import pyarrow.parquet as pq

from reasoner.bulk.aside import aside_schema
from reasoner.bulk.results import schema_of
from reasoner.bulk.work import ASIDE, CSV_ROWS, RESULTS, Job


class Joined:
    """Both tables as they grow in the work folder."""

    def __init__(self, job: Job, out: Path) -> None:
        self.job = job
        self.results, self.aside = job.folder / f"whole{out.suffix}", job.folder / f"whole.aside{out.suffix}"
        table = _Csv if job.csv else _Parquet
        results = schema_of(pa.string(), ranges=job.ranges, plain=job.csv)
        self._tables = (table(self.results, results), table(self.aside, aside_schema(pa.string())))
        self._next = 0

    def take(self, done: Container[int]) -> None:
        """Join every part whose turn it is."""
        while self._next in done:
            for table, ending in zip(self._tables, (RESULTS, ASIDE), strict=True):
                table.add(self.job.folder / f"{self._next:06d}.{ending}", ending)
            self._next += 1

    def put_in_place(self, aside: Path, results: Path) -> None:
        """Close both and put them in their places, the results last."""
        for table in self._tables:
            table.close()
        for made, place in ((self.aside, aside), (self.results, results)):
            with made.open("rb") as whole:
                os.fsync(whole.fileno())
            os.replace(made, place)


class _Parquet:
    """One Parquet file of all the tables; words stay numbered inside and are plain texts to whoever reads them."""

    def __init__(self, path: Path, schema: Any) -> None:
        self.path, self.schema = path, schema
        self._writer: Any = None

    def add(self, piece: Path, ending: str) -> None:
        for table in tables_in(piece):
            self._open(table.schema).write_table(table)

    def _open(self, schema: Any) -> Any:
        if self._writer is None:
            self._writer = pq.ParquetWriter(self.path, schema, store_schema=False)
        return self._writer

    def close(self) -> None:
        self._open(self.schema).close()


class _Csv:
    """One CSV file. The pieces of the results are rows of it already."""

    def __init__(self, path: Path, schema: Any) -> None:
        self._sink = path.open("wb")
        pacsv.write_csv(schema.empty_table(), self._sink)

    def add(self, piece: Path, ending: str) -> None:
        if ending == RESULTS:
            with piece.open("rb") as rows:
                shutil.copyfileobj(rows, self._sink, 1 << 20)
            return
        for table in tables_in(piece):
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
