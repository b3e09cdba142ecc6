"""What the records answer on a made practice, beside the bare queries it rests on: ratios gate, absolute figures are printed.

In: a practice made from a seed (practice.py). Out: a table; with --gate, exit code 1 where a ratio misses.
Not here: tests, how much is saved a second, screens.

Each answer is worked out in this process, a few times over, and its middle time counts. The bare queries are the very statements
it sent, taken down once as they went to the driver and sent again through the driver's own cursor, with every row fetched and
nothing made of any; the two are timed in turn. So the ratio says what making something of the rows costs; a slow query does not
show in it, and for that there is the budget of one second, printed beside each. Whole commands are timed as processes of their
own, start and imports included, from call to last line.
Run `python tests/bench/records_bench.py` from anywhere; `--store FILE` keeps the practice, and takes it up again where it is.
"""

from __future__ import annotations

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import argparse
import gc
import platform
import resource
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

import sqlalchemy
from sqlalchemy import Connection, event

from reasoner.consult import load_rulebook
from reasoner.records.before import held_of
from reasoner.records.cases import settings_of, steps_of
from reasoner.records.diary import diary_of
from reasoner.records.progress import progress_of
from reasoner.records.reweigh import proposals_of
from reasoner.records.track import track_of
from reasoner.records.yard import yard_view
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store.opening import Store, open_store
from reasoner.store.place import place_of
from reasoner.store.reading import KnownHorse, horse_called, horses
from reasoner.store.rested_on import rested_on
from tests.bench.bench import Gate
from tests.bench.practice import fill, practice

BUDGET_S = 1.0
#: Twice what was measured with 60 horses and with 300, on a busy machine (3.3 to 4.9, 1.5 to 2.1, 1.6 to 1.7, 2.5 to 2.9).
LIMITS = {"progress": 10.0, "diary": 4.0, "track": 4.0, "yard": 6.0}
Statements = list[tuple[str, Any]]


@dataclass(frozen=True)
class Asked:
    """One answer of the records: how it is worked out, its command, and how many times its bare queries it may cost."""

    name: str
    answer: Callable[[Connection], object]
    command: Sequence[str]
    limit: float


@dataclass(frozen=True)
class Timed:
    """Middle seconds of processor and of clock."""

    cpu: float
    wall: float


def asked_of(book: Rulebook, horse: KnownHorse) -> tuple[Asked, ...]:
    """Everything that is timed; the horse is the one with most visits."""
    counted = settings_of(book.scales)

    def progress(connection: Connection) -> object:
        known = horse_called(connection, horse.uid)
        return progress_of(known, held_of(connection, known), book, rested_on(connection, known.uid))

    def track(connection: Connection) -> object:
        found = track_of(steps_of(connection, book), counted)
        return found, proposals_of(found, book, counted)

    return (
        Asked(f"progress of a horse of {horse.visits} visits", progress, ("progress", horse.uid), LIMITS["progress"]),
        Asked("diary", lambda connection: diary_of(connection, book), ("diary",), LIMITS["diary"]),
        Asked("track record", track, ("track",), LIMITS["track"]),
        Asked("yard's view", lambda connection: yard_view(connection, book), ("yard",), LIMITS["yard"]),
    )


def statements_of(store: Store, asked: Asked) -> Statements:
    """What one answer sends to the driver, in order."""
    found: Statements = []

    def seen(_: object, __: object, statement: str, parameters: Any, *___: object) -> None:
        found.append((statement, parameters))

    event.listen(store.engine, "before_cursor_execute", seen)
    with store.reading() as connection:
        asked.answer(connection)
    event.remove(store.engine, "before_cursor_execute", seen)
    return [one for one in found if one[0].lstrip().upper().startswith("SELECT")]


def bare(connection: Connection, statements: Statements) -> int:
    """Send them again through the driver, and fetch every row; how many there were."""
    cursor = connection.connection.cursor()
    rows = 0
    for statement, parameters in statements:
        cursor.execute(statement, parameters)
        rows += len(cursor.fetchall())
    cursor.close()
    return rows


def in_turn(store: Store, asked: Asked, runs: int) -> tuple[Timed, Timed, float, int, int]:
    """The answer, its bare queries, the middle of their ratios of processor time, and how many statements and rows there are."""
    statements = statements_of(store, asked)  # also the warming up: imports, the compiled statements
    ours, theirs = [], []
    rows = 0
    for _ in range(runs):
        with store.reading() as connection:
            ours.append(_clocked(lambda c=connection: asked.answer(c)))  # type: ignore[misc]
        with store.reading() as connection:
            theirs.append(_clocked(lambda c=connection: bare(c, statements)))  # type: ignore[misc]
            rows = bare(connection, statements)
    ratio = statistics.median(a.cpu / b.cpu for a, b in zip(ours, theirs, strict=True))
    return _middle(ours), _middle(theirs), ratio, len(statements), rows


def whole(asked: Asked, store: str, runs: int) -> Timed:
    """The command as a process of its own."""
    environment = {**os.environ, "PYTHONPATH": str(HOME)}
    told = []
    for _ in range(runs):
        before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        subprocess.run([sys.executable, "-m", "reasoner", *asked.command, "--store", store], check=True, env=environment,
                       stdout=subprocess.DEVNULL)  # fmt: skip
        wall, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
        told.append(Timed(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, wall))
    return _middle(told)


def _clocked(work: Callable[[], object]) -> Timed:
    gc.collect()
    gc.disable()  # as every command does
    wall, cpu = time.perf_counter(), time.process_time()
    work()
    gc.enable()
    return Timed(time.process_time() - cpu, time.perf_counter() - wall)


def _middle(every: Sequence[Timed]) -> Timed:
    return Timed(statistics.median(one.cpu for one in every), statistics.median(one.wall for one in every))


def budget(one: Timed) -> str:
    """A figure against the budget; it is told, and fails nothing: the machine is not ours alone."""
    return (
        f"{one.cpu * 1e3:8.0f} ms cpu {one.wall * 1e3:8.0f} ms wall   {one.cpu / BUDGET_S:5.0%} of {BUDGET_S:g} s"
        + ("" if one.cpu <= BUDGET_S else "   OVER")
    )


def made(at: str, horse_count: int, years: int, seed: int) -> Store:
    """The practice at a place: made there, or found."""
    store = open_store(place_of(at), make=True)
    with store.reading() as connection:
        held = horses(connection)
    if held:
        print(f"a practice of {sum(h.visits for h in held)} visits to {len(held)} horses, found at {at}")
        return store
    start = time.perf_counter()
    count = fill(store, practice(horse_count, years, seed), seed=seed)
    print(f"a practice of {count} visits to {horse_count} horses over {years} years, seed {seed}, "
          f"made in {time.perf_counter() - start:.0f} s")  # fmt: skip
    return store


def main() -> int:
    """Print the table; with --gate, say which ratios miss."""
    words = argparse.ArgumentParser(description="What the records answer, beside the bare queries.")
    words.add_argument("--gate", action="store_true", help="exit with 1 where a ratio misses")
    words.add_argument("--horses", type=int, default=300)
    words.add_argument("--years", type=int, default=5)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--store", help="keep the practice here, or take the one that is here")
    words.add_argument("--runs", type=int, default=7, help="how often each is worked out, the middle one counts")
    given = words.parse_args()
    print(f"{platform.machine()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, Python "
          f"{platform.python_version()}, SQLite {sqlite3.sqlite_version}, SQLAlchemy {sqlalchemy.__version__}")  # fmt: skip
    with tempfile.TemporaryDirectory() as folder:
        at = given.store or str(Path(folder) / "practice.db")
        store = made(at, given.horses, given.years, given.seed)
        with store.reading() as connection:
            horse = max(horses(connection), key=lambda one: (one.visits, one.uid))
        gates = []
        for asked in asked_of(load_rulebook().book, horse):
            ours, theirs, ratio, statements, rows = in_turn(store, asked, given.runs)
            print(f"\n{asked.name}:")
            print(f"  {'worked out':44} {budget(ours)}")
            print(f"  {f'its {statements} queries alone, {rows:,} rows':44} {budget(theirs)}   x {ratio:.1f}")
            print(f"  {'reasoner ' + asked.command[0] + ', a whole process':44} {budget(whole(asked, at, 3))}")
            gates.append(Gate(f"{asked.name}, beside its bare queries", ratio, asked.limit, at_least=False))
        store.close()
    print("\ngates:")
    for each in gates:
        sign = ">=" if each.at_least else "<="
        print(f"  {'holds ' if each.holds else 'MISSES'} {each.name}: {each.ratio:.2f} ({sign} {each.limit:g})")
    return int(given.gate and not all(each.holds for each in gates))


if __name__ == "__main__":
    sys.exit(main())
