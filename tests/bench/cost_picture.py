"""A picture of what the pass costs: against rows, and against rules, beside the bounds of memory and arithmetic.

In: the shipped rulebook, and random rulebases of growing size. Out: tests/bench/cost.svg and the table behind it.
Not here: gates. Run `python tests/bench/cost_picture.py`; it needs matplotlib (the extra `bench`).

The bounds are worked out, not drawn in: each array operation of the pass is counted with the bytes it must read and write
(crisp rows are packed, eight rows of the batch to a byte; graded rows are doubles) and with its element operations; then
divided by what this machine was measured to copy, and to multiply, in the same run. No pass that does these operations one
array after the other can be faster than the greater of the two.
"""

from __future__ import annotations

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import platform
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

from reasoner.facts.from_visit import facts_of
from reasoner.facts.table import column
from reasoner.inference.evaluate import BLOCK, evaluate
from reasoner.inference.from_rulebook import ground
from reasoner.inference.program import Floats, Program
from reasoner.inference.strata import compile_network
from reasoner.rulebook.loading import load_rulebook
from reasoner.rules_cache import compiled
from reasoner.visit.reading import read_visit
from tests.chance import Seeded
from tests.random_rulebooks import random_rulebook
from tests.random_visits import random_visit

ROWS = (1, 4, 16, 64, 256, 1024, 4096, 16384)
SIZES = (8, 16, 32, 64, 128)
DOUBLE = 8.0
PICTURE = HOME / "tests" / "bench" / "cost.svg"


def quickest(action: Callable[[], object], runs: int = 5) -> float:
    """The least time of a few runs in seconds: a bound is held against what the machine can do at its best."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return min(times)


def machine() -> tuple[float, float]:
    """(bytes a second that are read and written, element operations a second), on arrays the size of one block."""
    table = np.ones((2000, BLOCK))
    out = np.empty_like(table)
    copied = quickest(lambda: np.copyto(out, table), 50)
    multiplied = quickest(lambda: np.multiply(table, table, out=out), 50)
    return 2.0 * table.nbytes / copied, table.size / multiplied


def demand(program: Program) -> tuple[float, float]:
    """(bytes, element operations) that one row of the batch asks of the pass, at the least."""
    bits = 1.0 / 8.0
    asked = (program.narrow, program.wide)
    doubles = float(program.limit_slot.size + sum(w.bit_slot.size for w in asked) + 3 * program.ramp_a.size)
    packed = float(program.limit_slot.size + sum(w.word_slot.size for w in asked))
    for step in program.steps:
        packed += sum(a.size for a in (step.both_one, step.both_two, step.and_read, step.either_one, step.either_two,
                                       step.or_read, step.lift_read, step.flag_read))  # fmt: skip
        packed += sum(read.size for _, read, _ in step.count)
        doubles += sum(a.size for a in (step.lift_read, step.raw_read, step.factor_read, step.low_read, step.high_read,
                                        step.premise, step.told_read, step.limit_read))  # fmt: skip
        doubles += sum(read.size for _, read, _ in (*step.kth, *step.sized))
        doubles += 2.0 * step.group_sign.size
    return 2.0 * (doubles * DOUBLE + packed * bits), doubles + packed * bits


def cost(program: Program, table: Floats) -> float:
    """Microseconds a row."""
    evaluate(program, table)
    return quickest(lambda: evaluate(program, table), 3) / int(table.shape[1]) * 1e6


def against_rows(moved: float, worked: float) -> tuple[list[float], float, int]:
    """(microseconds a row for each of ROWS, the bound, ground rules) of the shipped rulebook."""
    ready = compiled(load_rulebook())
    visits = [read_visit(path, ready.book.vocabulary) for path in sorted((HOME / "examples").glob("*.yaml"))]
    columns = [column(ready.lean.slots, facts_of(visit, ready.lean.meta["words"])) for visit in visits]
    table = np.ascontiguousarray(np.concatenate(columns * (ROWS[-1] // len(columns) + 1), axis=1)[:, : ROWS[-1]])
    taken = [cost(ready.lean, np.ascontiguousarray(table[:, :rows])) for rows in ROWS]
    return taken, bound(ready.lean, moved, worked), ready.lean.rule_count


def against_rules(moved: float, worked: float) -> list[tuple[int, float, float]]:
    """(ground rules, microseconds a row, bound) for random rulebases of growing size."""
    found = []
    for size in SIZES:
        chooser = Seeded(size)
        book = random_rulebook(chooser, conclusions=size, rules=8, concerns=size, actions=size)
        program = compile_network(ground(book), book.scales.fires_above, full=False)
        words = program.meta["words"]
        columns = [column(program.slots, facts_of(random_visit(chooser, book), words)) for _ in range(64)]
        table = np.ascontiguousarray(np.concatenate(columns * 32, axis=1))
        found.append((program.rule_count, cost(program, table), bound(program, moved, worked)))
    return sorted(found)


def bound(program: Program, moved: float, worked: float) -> float:
    """Microseconds a row that memory or arithmetic must take."""
    size, operations = demand(program)
    return max(size / moved, operations / worked) * 1e6


def main() -> None:
    """Measure, print the table, draw the picture."""
    import matplotlib

    matplotlib.use("svg")
    from matplotlib import pyplot, ticker

    matplotlib.rcParams["svg.hashsalt"] = "cost"
    moved, worked = machine()
    print(
        f"{platform.machine()}, numpy {np.__version__}: {moved / 1e9:.1f} GB/s copied, {worked / 1e9:.2f} G operations/s"
    )
    taken, least, rules = against_rows(moved, worked)
    print(f"shipped rulebook, {rules} ground rules; bound {least:.1f} us a row")
    for rows, each in zip(ROWS, taken, strict=True):
        print(f"  {rows:6} rows {each:9.1f} us a row")
    grown = against_rules(moved, worked)
    for count, each, low in grown:
        print(f"  {count:6} ground rules {each:9.2f} us a row, bound {low:.2f}")
    figure, (left, right) = pyplot.subplots(1, 2, figsize=(9.5, 3.8), layout="constrained")
    left.loglog(ROWS, taken, "o-", color="#1b5e8c", label="the pass")
    left.axhline(least, color="#8c4a1b", linestyle="--", label="memory and arithmetic bound")
    left.set(xlabel="rows in one call", ylabel="microseconds a row", title=f"Shipped rulebook, {rules:,} ground rules")
    counts = [count for count, _, _ in grown]
    right.loglog(counts, [each for _, each, _ in grown], "o-", color="#1b5e8c", label="the pass, 2,048 rows")
    right.loglog(counts, [low for _, _, low in grown], "--", color="#8c4a1b", label="memory and arithmetic bound")
    right.set(xlabel="ground rules", ylabel="microseconds a row", title="Random rulebases")
    for axes, ticks in ((left, ROWS[::2]), (right, counts)):
        axes.set_xticks(ticks, [f"{tick:,}" for tick in ticks])
        axes.yaxis.set_major_formatter(ticker.StrMethodFormatter("{x:g}"))
        for axis in (axes.xaxis, axes.yaxis):
            axis.set_minor_formatter(ticker.NullFormatter())
        axes.grid(True, which="both", alpha=0.25)
        axes.legend(frameon=False)
    figure.savefig(PICTURE, metadata={"Date": None, "Title": "What the pass costs"})
    print(f"drawn: {PICTURE.relative_to(HOME)}")


if __name__ == "__main__":
    main()
