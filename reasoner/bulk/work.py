"""One part, from its rows to files in the work folder.

In: a `Part` and the `Job` it belongs to. Out: the part's results, what was set aside, and last of all its `Done`.
Not here: which parts there are, what becomes of them (batch). A part is done when its `Done` stands there, and not before.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.csv as pacsv

from reasoner.bulk.aside import Aside
from reasoner.bulk.columns import VISIT
from reasoner.bulk.cutting import FOLDER, Part
from reasoner.bulk.judging import Judge, Judged
from reasoner.bulk.sources import tables_of
from reasoner.frozen import frozen
from reasoner.inference.program import Ints
from reasoner.problems import BadInput
from reasoner.visit.model import Visit
from reasoner.visit.reading import read_visit

RESULTS, ASIDE, MARKS, NAMES, DONE = "results", "aside", "marks", "names", "done"
_OPTIONS = pa.ipc.IpcWriteOptions(compression="lz4") if pa.Codec.is_available("lz4") else pa.ipc.IpcWriteOptions()


@frozen
class Job:
    """What is the same for every part: the rules, the folder worked in, whether ranges are asked for, and whether results are
    wanted as CSV."""

    rules: tuple[Path, ...] | None
    folder: Path
    ranges: bool
    csv: bool


@frozen
class Done:
    """What a part came to. `rows` and `written` count rows read and rows of results."""

    visits: int
    set_aside: int
    rows: int
    written: int
    levels: dict[str, int]


_judge: Judge | None = None


def prepare(job: Job) -> None:
    """Load the rules into this process, once."""
    global _judge
    from reasoner.consult import load_rulebook

    _judge = Judge(load_rulebook(None if job.rules is None else list(job.rules)), ranges=job.ranges)


def do(part: Part, number: int, job: Job) -> Done:
    """Judge one part and leave it in the work folder. Raises BadInput where the part cannot be read at all."""
    if _judge is None:
        prepare(job)
    assert _judge is not None
    path = job.folder / f"{number:06d}"
    done = [0, 0, 0, 0]
    levels: dict[str, int] = {}
    marks: list[Ints] = []
    results = _Results(path, job.csv)
    aside: list[Any] = []
    names: list[Any] = []
    for judged, rows in _judged(part, _judge):
        results.add(judged.results)
        aside.append(judged.aside)
        marks.append(marks_of(judged.ids))
        names.append(pa.table({VISIT: judged.ids}))
        for at, count in enumerate((judged.visits, judged.set_aside, rows, judged.results.num_rows)):
            done[at] += count
        levels = {level: levels.get(level, 0) + count for level, count in judged.levels.items()}
    results.close()
    _tables(path, ASIDE, aside)
    _tables(path, NAMES, names)
    with _whole(path, MARKS) as name:
        np.save(name, np.concatenate(marks) if marks else np.zeros(0, dtype=np.int64))
    visits, set_aside, rows_read, written = done
    told = Done(visits, set_aside, rows_read, written, levels)
    with _whole(path, DONE) as name:
        Path(name).write_text(json.dumps(asdict(told)), encoding="utf-8")
    return told


def _tables(path: Path, ending: str, tables: list[Any]) -> None:
    with _whole(path, ending) as name, pa.OSFile(name, "wb") as sink:
        table = pa.concat_tables(tables) if tables else pa.table({})
        with pa.ipc.new_stream(sink, table.schema, options=_OPTIONS) as writer:
            writer.write_table(table)


def _judged(part: Part, judge: Judge) -> Iterator[tuple[Judged, int]]:
    """(judged, rows read), in order."""
    if part.kind == FOLDER:
        yield _of_files(part, judge), 0
        return
    for table, number in tables_of(part):
        yield judge.table(table, part.source, number), table.num_rows


def _of_files(part: Part, judge: Judge) -> Judged:
    visits: list[Visit] = []
    ids: list[str] = []
    aside: list[Aside] = []
    for number, name in enumerate(part.files):
        try:
            visits.append(read_visit(Path(part.source) / name, judge.ready.book.vocabulary))
            ids.append(name)
        except BadInput as bad:
            aside.append(Aside(number, name, None, bad.problems))
    return judge.visits(visits, ids, aside)


class _Results:
    """The results of a part as they come, written out as they come."""

    def __init__(self, path: Path, csv: bool) -> None:
        self.path, self.csv = path, csv
        self._temporary = f"{path}.{RESULTS}.new"
        self._sink = pa.OSFile(self._temporary, "wb")
        self._writer: Any = None

    def add(self, table: Any) -> None:
        if self.csv:
            pacsv.write_csv(table, self._sink, CSV_ROWS)
            return
        if self._writer is None:
            self._writer = pa.ipc.new_stream(self._sink, table.schema, options=_OPTIONS)
        self._writer.write_table(table)

    def close(self) -> None:
        if self._writer is not None:
            self._writer.close()
        self._sink.close()
        os.replace(self._temporary, f"{self.path}.{RESULTS}")


#: Only what needs quotation marks gets them, and the heading is written once, by whoever joins the parts.
CSV_ROWS = pacsv.WriteOptions(include_header=False, quoting_style="needed")


class _whole:
    """A file that appears under its name when it is complete."""

    def __init__(self, path: Path, ending: str) -> None:
        self.name, self.temporary = f"{path}.{ending}", f"{path}.{ending}.new"

    def __enter__(self) -> str:
        return self.temporary

    def __exit__(self, fault: object, *_: object) -> None:
        written = self.temporary if os.path.exists(self.temporary) else f"{self.temporary}.npy"
        if fault is None:
            os.replace(written, self.name)


def marks_of(ids: Any) -> Ints:
    """A number of 64 bits for the name of each visit: equal names have equal ones, and others hardly ever."""
    if pa.types.is_integer(ids.type) and not ids.null_count:
        whole: Ints = np.asarray(ids.cast(pa.int64(), safe=False))
        return whole
    texts: Sequence[bytes] = [str(name).encode(errors="surrogatepass") for name in ids.to_pylist()]
    wide = max([8, *map(len, texts)])
    raw = np.array(texts, dtype=f"S{(wide + 7) // 8 * 8}")
    words = raw.view(np.uint64).reshape(len(texts), -1)
    mark = np.full(len(texts), 0x9E3779B97F4A7C15, dtype=np.uint64)
    for column in words.T:
        mixed = (mark ^ column) * np.uint64(0xFF51AFD7ED558CCD)
        mixed ^= mixed >> np.uint64(32)
        mixed *= np.uint64(0xC4CEB9FE1A85EC53)
        mixed ^= mixed >> np.uint64(29)
        mark = np.where(column != 0, mixed, mark)  # how long the longest name is must not matter
    found: Ints = mark.view(np.int64)
    return found
