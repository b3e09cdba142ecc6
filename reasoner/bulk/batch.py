"""A whole run: parts handed to processes, joined in order, put in place at the end.

In: where the visits are and where the results go. Out: `Summary`, and two tables in place, or neither.
Not here: judging a part (work), writing the tables (joining), the command line.

A work folder beside the results holds each part as it is done. A run that was stopped finds it there and goes on; results are
put in place when all is done, the second table first, so that where results stand the run was whole.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from contextlib import closing
from itertools import islice
from multiprocessing import get_context, parent_process
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa

from reasoner import __version__
from reasoner.bulk.columns import VISIT
from reasoner.bulk.cutting import CSV, ENDINGS, Part, fingerprint, parts_of
from reasoner.bulk.joining import Joined, tables_in
from reasoner.bulk.work import DONE, MARKS, NAMES, Done, Job, do, prepare
from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register

register(
    {
        "BT10": "the results have no name that says what they should be",
        "BT11": "a work folder of another run stands in the way",
    }
)

JOB = "job.json"
MOST_NAMED = 5


@frozen
class Summary:
    """What a run came to. `again`: parts that an earlier run had done already; `levels`: how many visits of each referral."""

    source: str
    results: str
    aside: str
    rulebase: str
    visits: int
    set_aside: int
    rows_read: int
    rows_written: int
    levels: dict[str, int]
    parts: int
    again: int
    workers: int


def kind_of_results(out: Path) -> str:
    """Parquet or CSV, by the ending. Raises BadInput (BT10)."""
    kind = ENDINGS.get(out.suffix.lower(), "")
    if not kind:
        sentence = "a name that ends in .parquet or .csv was expected for the results."
        raise BadInput([Problem(str(out), 0, "BT10", sentence)])
    return kind


def aside_name(out: Path) -> Path:
    """The name of the second table, beside the results."""
    return out.with_name(f"{out.stem}.aside{out.suffix}")


def work_folder(out: Path) -> Path:
    """Where a run keeps what it has done so far."""
    return out.with_name(f"{out.name}.unfinished")


def run(
    source: Path, out: Path, rules: Sequence[Path] | None, stamp: str, *, workers: int, ranges: bool = False,
    told: Callable[[Done, int, int], None] = lambda done, parts, at: None,
) -> Summary:  # fmt: skip
    """Judge everything in `source` by these rules. `told` hears of each part that is done: (its `Done`, parts, parts done).

    Raises BadInput; nothing is then in place. What stands under the names of the results is replaced: whether it may be is
    for the caller to say.
    """
    kind = kind_of_results(out)
    parts = parts_of(source)
    job = Job(None if rules is None else tuple(rules), work_folder(out), ranges, kind == CSV)
    _begin(job, [__version__, stamp, ranges, kind, fingerprint(source, parts)])
    with closing(Joined(job, out)) as joined:
        dones, again = _all(parts, job, joined, workers, told)
        _refuse_scattered(source, parts, job)
        joined.put_in_place(aside_name(out), out)
    levels: dict[str, int] = {}
    for done in dones:
        levels = {level: levels.get(level, 0) + count for level, count in done.levels.items()}
    shutil.rmtree(job.folder)
    return Summary(
        str(source), str(out), str(aside_name(out)), stamp, sum(d.visits for d in dones), sum(d.set_aside for d in dones),
        sum(d.rows for d in dones), sum(d.written for d in dones), levels, len(parts), again, workers,
    )  # fmt: skip


def _begin(job: Job, made_from: list[object]) -> None:
    """Make the work folder, or find one that the same run left. Raises BadInput (BT11)."""
    path = job.folder / JOB
    wanted = json.dumps(made_from)
    if job.folder.exists():
        if not path.is_file() and any(job.folder.iterdir()):
            raise BadInput([Problem(str(job.folder), 0, "BT11", "this folder is needed for work that is not finished, and "
                                    "holds something else.", "Move it away, or give the results another name.")])  # fmt: skip
        if path.is_file() and path.read_text(encoding="utf-8") == wanted:
            return
        shutil.rmtree(job.folder)  # of a run with other rules, options or input: nothing of it can be used
    job.folder.mkdir()
    fresh = job.folder / f"{JOB}.new"
    fresh.write_text(wanted, encoding="utf-8")
    os.replace(fresh, path)


def _all(
    parts: list[Part], job: Job, joined: Joined, workers: int, told: Callable[[Done, int, int], None]
) -> tuple[list[Done], int]:
    """Every part done, and how many of them were before."""
    found = {number: done for number in range(len(parts)) if (done := _done(job, number)) is not None}
    again = len(found)
    for at, done in enumerate(found.values(), 1):
        told(done, len(parts), at)
    joined.take(found)
    missing = [number for number in range(len(parts)) if number not in found]
    for number, done in _worked(parts, missing, job, min(workers, len(missing))):
        found[number] = done
        told(done, len(parts), len(found))
        joined.take(found)
    return [found[number] for number in range(len(parts))], again


def _done(job: Job, number: int) -> Done | None:
    try:
        return Done(**json.loads((job.folder / f"{number:06d}.{DONE}").read_text(encoding="utf-8")))
    except FileNotFoundError:
        return None


def _worked(parts: list[Part], missing: list[int], job: Job, workers: int) -> Iterator[tuple[int, Done]]:
    """(number, done) of each part as it is finished."""
    if workers <= 1:
        if missing:
            prepare(job)
        for number in missing:
            yield number, do(parts[number], number, job)
        return
    pool = ProcessPoolExecutor(workers, mp_context=get_context("spawn"), initializer=_start, initargs=(job,))
    running: dict[Future[Done], int] = {}
    waiting = iter(missing)
    try:
        while True:
            # A few more than are worked on: none waits for its next part, and a stopped run has little to throw away.
            for number in islice(waiting, workers + 2 - len(running)):
                running[pool.submit(do, parts[number], number, job)] = number
            if not running:
                break
            ready, _ = wait(running, return_when=FIRST_COMPLETED)
            for future in ready:
                yield running.pop(future), future.result()
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _start(job: Job) -> None:
    """A process begins. Stopping is the first process's business, and where that is gone nobody waits for this one."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    threading.Thread(target=_leave_with_the_first, daemon=True).start()
    pa.set_cpu_count(1)
    prepare(job)


def _leave_with_the_first() -> None:
    first = parent_process()
    if first is not None:
        first.join()
        os._exit(1)


def _refuse_scattered(source: Path, parts: list[Part], job: Job) -> None:
    """Raises BadInput (BT09) where a visit begins twice: its rows would have been judged apart."""
    marks = [np.load(job.folder / f"{number:06d}.{MARKS}") for number in range(len(parts))]
    every = np.sort(np.concatenate(marks)) if marks else np.zeros(0, dtype=np.int64)
    twice = set(np.unique(every[1:][every[1:] == every[:-1]])[:MOST_NAMED].tolist())
    if not twice:
        return
    named = sorted(_named(job, marks, twice))
    shutil.rmtree(job.folder)
    raise BadInput([
        Problem(str(source), 0, "BT09", f'the rows of the visit "{name}" do not stand together.',
                "Sort the table by visit first, and let no two visits bear one name.") for name in named
    ])  # fmt: skip


def _named(job: Job, marks: list[Any], twice: set[int]) -> set[str]:
    """What the visits with these marks are called: the parts keep their visits in order, so those parts are asked."""
    names: set[str] = set()
    for number, own in enumerate(marks):
        if twice & set(own.tolist()):
            tables = tables_in(job.folder / f"{number:06d}.{NAMES}")
            ids = [name for table in tables for name in table.column(VISIT).to_pylist()]
            names |= {str(name) for name, mark in zip(ids, own.tolist(), strict=True) if mark in twice}
    return names
