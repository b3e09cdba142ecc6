"""Bulk work in one run: the pass on a million visits beside CLIPS, and a whole batch beside reading and writing its tables.

In: the shipped rulebook, generated visits. Out: a table; with --gate, exit code 1 where a ratio misses.
Not here: tests (nothing here is collected), the generator (bulk_tables).

The pass: visits are generated, read as rows and laid out in readings tables chunk by chunk; only the pass itself is timed, in
one process of one thread whose greatest resident memory is read at the end. CLIPS does the work by loops on a sample of the same
visits (`--sample`), and its time for all of them is that of the sample times how many more there are: nobody waits for hours.
It is given its findings in the two ways of bench.py.

The batch: whole processes, `reasoner batch` from table to table, beside a process that reads the same table in and writes the
same results out by pyarrow alone, in turn. The batch pays for its start, its processes and its rules; pyarrow alone is timed
warm, from the reading on.
Run `python tests/bench/bulk_bench.py` from anywhere.
"""

from __future__ import annotations

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import argparse
import json
import platform
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

import numpy as np
import pyarrow as pa
import pyarrow.csv as pacsv
import pyarrow.parquet as pq

from reasoner.bulk import Judge
from reasoner.bulk.columns import findings_of
from reasoner.consult import load_rulebook
from reasoner.inference.evaluate import evaluate
from reasoner.rulebook.loading import load_rulebook as read_rules
from tests.bench.bench import Gate, Peer
from tests.bench.bulk_tables import Generated
from tests.references.clips_rules import ClipsRules

GIB = 1 << 30
ALONE = {
    "parquet": "import sys, pyarrow.parquet as pq; t = pq.read_table(sys.argv[1]); r = pq.read_table(sys.argv[2]); "
    "import time; a = time.perf_counter(); pq.read_table(sys.argv[1]); pq.write_table(r, sys.argv[3]); "
    "print(time.perf_counter() - a)",
    "csv": "import sys, pyarrow.csv as c; t = c.read_csv(sys.argv[1]); r = c.read_csv(sys.argv[2]); "
    "import time; a = time.perf_counter(); c.read_csv(sys.argv[1]); c.write_csv(r, sys.argv[3]); "
    "print(time.perf_counter() - a)",
}
"""Both tables are read once before the clock starts: pyarrow alone is timed warm, without its start and its imports."""


def engine_pass(visits: int, sample: int) -> dict[str, float]:
    """The pass on generated visits, in this process: seconds of the pass, of CLIPS on a sample, greatest memory."""
    ready = load_rulebook()
    judge = Judge(ready)
    passing = 0.0
    done = fired = 0
    kept: list[dict[str, float]] = []
    for table in Generated(ready).tables(visits):
        findings = findings_of(table)
        coded = judge.coder.coded(findings)
        for here, readings in judge.filler.blocks(findings, coded):
            assert not coded.odd[here].any(), "every generated visit takes the quick road"
            if len(kept) < sample:
                kept += [_values(ready.lean.slots, readings[:, n]) for n in range(min(8, sample - len(kept)))]
            start = time.perf_counter()
            result = evaluate(ready.lean, readings)
            passing += time.perf_counter() - start
            done += readings.shape[1]
            fired += int(np.count_nonzero(result.certainty))
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    assert done == visits
    told = {"pass": passing, "visits": done, "drawn": fired / done, "memory": memory}
    return told | _clips(read_rules(), kept)  # from the cache a rulebook comes without its parsed conditions


def _values(slots: tuple[str, ...], column: Any) -> dict[str, float]:
    return {name: float(value) for name, value in zip(slots, column.tolist(), strict=True) if value == value}


def _clips(book: Any, sample: list[dict[str, float]]) -> dict[str, float]:
    """Mean seconds of one visit of the sample, fact by fact and in one call; each way in an environment of its own."""
    out = {}
    for way in ("fact_by_fact", "in_one_call"):
        clips = ClipsRules(book)
        peers = [Peer(clips, clips.findings(values)) for values in sample]
        for peer in peers[:3]:
            getattr(peer, way)()
        times = []
        for peer in peers:
            start = time.perf_counter()
            getattr(peer, way)()
            times.append(time.perf_counter() - start)
        out[way] = statistics.mean(times)
    return out


def tables(folder: Path, visits: int) -> int:
    """The input as Parquet and CSV; how many rows it has."""
    made = pa.concat_tables(Generated(load_rulebook(), seed=2).tables(visits))
    pq.write_table(made, folder / "in.parquet")
    pacsv.write_csv(made, folder / "in.csv")
    return int(made.num_rows)


def whole_batch(folder: Path, kind: str, runs: int) -> tuple[float, float, float]:
    """Median seconds of the batch and of pyarrow alone, and the median of their ratios, taken in turn."""
    source, out = folder / f"in.{kind}", folder / f"out.{kind}"
    environment = {**os.environ, "PYTHONPATH": str(HOME)}
    batch, alone = [], []
    for _ in range(runs):
        for path in folder.glob("out*"):
            path.unlink()
        start = time.perf_counter()
        subprocess.run([sys.executable, "-m", "reasoner", "batch", source, "-o", out], check=True, env=environment,
                       stdout=subprocess.DEVNULL)  # fmt: skip
        batch.append(time.perf_counter() - start)
        told = subprocess.run([sys.executable, "-c", ALONE[kind], source, out, folder / f"out2.{kind}"], check=True,
                              capture_output=True, text=True)  # fmt: skip
        alone.append(float(told.stdout))
    ratios = [a / b for a, b in zip(batch, alone, strict=True)]
    return statistics.median(batch), statistics.median(alone), statistics.median(ratios)


def main() -> int:
    """Print the table; with --gate, say which ratios miss."""
    words = argparse.ArgumentParser(description="Bulk work beside CLIPS, and beside reading and writing alone.")
    words.add_argument("--gate", action="store_true", help="exit with 1 where a ratio misses")
    words.add_argument("--visits", type=int, default=1_000_000, help="visits of the pass (the gate is for a million)")
    words.add_argument("--batch-visits", type=int, default=100_000, help="visits of the whole batch")
    words.add_argument("--sample", type=int, default=64, help="visits that CLIPS is timed on")
    words.add_argument("--runs", type=int, default=3, help="runs of the whole batch, the middle one counts")
    words.add_argument("--pass-only", action="store_true", help=argparse.SUPPRESS)
    given = words.parse_args()
    if given.pass_only:
        print(json.dumps(engine_pass(given.visits, given.sample)))
        return 0
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, numpy {np.__version__}, "
          f"pyarrow {pa.__version__}")  # fmt: skip
    own = [sys.executable, __file__, "--pass-only", "--visits", str(given.visits), "--sample", str(given.sample)]
    told = json.loads(subprocess.run(own, check=True, stdout=subprocess.PIPE, text=True).stdout)
    one = told["pass"] / told["visits"]
    print(
        f"\nthe pass on {given.visits:,} generated visits, one core ({told['drawn']:.0f} conclusions spoken of in each):"
    )
    print(f"  {'the pass, all of them':62} {told['pass']:9.1f} s")
    print(f"  {'the pass, a visit':62} {one * 1e6:9.1f} us")
    for way, name in (
        ("fact_by_fact", "fact by fact as clipspy documents it"),
        ("in_one_call", "findings in one call"),
    ):
        hours = told[way] * told["visits"] / 3600
        print(f"  {'CLIPS, ' + name + ', a visit':62} {told[way] * 1e6:9.1f} us   x {told[way] / one:.0f}"
              f"   ({hours:.1f} h for all, from a sample of {given.sample})")  # fmt: skip
    print(f"  {'greatest resident memory, generator and peer among it':62} {told['memory'] / GIB:9.2f} GiB")
    gates = [
        Gate("the pass, CLIPS fact by fact, per core", told["fact_by_fact"] / one, 100),
        Gate("the pass, GiB resident", told["memory"] / GIB, 2, at_least=False),
    ]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rows = tables(folder, given.batch_visits)
        print(f"\nreasoner batch, whole processes, {given.batch_visits:,} visits in {rows:,} rows:")
        for kind in ("parquet", "csv"):
            batch, alone, ratio = whole_batch(folder, kind, given.runs)
            size = sum((folder / f"{which}.{kind}").stat().st_size for which in ("in", "out")) / 1e6
            print(f"  {kind + ', from table to table':62} {batch:9.2f} s")
            print(
                f"  {f'pyarrow alone: the same tables ({size:.0f} MB) read and written':62} {alone:9.2f} s   x {ratio:.2f}"
            )
            gates.append(Gate(f"the whole batch, {kind}, beside pyarrow alone", ratio, 3, at_least=False))
    print("\ngates:")
    for each in gates:
        sign = ">=" if each.at_least else "<="
        print(f"  {'holds ' if each.holds else 'MISSES'} {each.name}: {each.ratio:.2f} ({sign} {each.limit:g})")
    return int(given.gate and not all(each.holds for each in gates))


if __name__ == "__main__":
    sys.exit(main())
