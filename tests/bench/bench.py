"""The engine beside CLIPS, in one run: ratios gate, absolute figures are printed.

In: the shipped rulebook and the visits of examples/. Out: a table; with --gate, exit code 1 where a ratio misses.
Not here: tests (nothing here is collected), the peer's source (tests/references/clips_source.py).

The peer asserts only recorded findings, is built once, and is timed from reset to certainties read. It is given its
findings in two ways: fact by fact through clipspy's own `assert_fact` (its text calls, `assert_string` and
`load_facts`, are three to six times slower), and in one call of a deffunction written for the purpose. Ours is timed
from a visit's values on. Run `python tests/bench/bench.py` from anywhere; figures are medians of many runs, one core.
"""

from __future__ import annotations

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import argparse
import platform
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

from reasoner.facts.from_visit import facts_of
from reasoner.facts.table import Facts, column
from reasoner.inference.evaluate import BLOCK, evaluate, run
from reasoner.inference.program import Floats
from reasoner.inference.record import Record
from reasoner.rulebook.loading import load_rulebook
from reasoner.rules_cache import Ready, compiled
from reasoner.visit.reading import read_visit
from tests.references.clips_rules import ClipsRules, Findings

WHOLE_ROUND = 40  # a visit with so many touches is a whole examination, the work the engine is for
ROWS = 16_384
COLD = "import numpy, pydantic, click, yaml"


@dataclass(frozen=True)
class Gate:
    """A ratio and what it must reach (or must not pass)."""

    name: str
    ratio: float
    limit: float
    at_least: bool = True

    @property
    def holds(self) -> bool:
        """Whether the ratio is on the right side of its limit."""
        return self.ratio >= self.limit if self.at_least else self.ratio <= self.limit


def timed(action: Callable[[], object], runs: int) -> float:
    """The median time of one run in seconds, after a few runs that are not counted."""
    for _ in range(3):
        action()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


class Peer:
    """CLIPS with one visit's findings in hand."""

    def __init__(self, clips: ClipsRules, findings: Findings) -> None:
        self.clips, self.findings = clips, findings

    def fact_by_fact(self) -> None:
        """Reset, assert each finding by clipspy's own call, run, read."""
        self.clips.assert_each(self.findings)
        self.clips.run()
        self.clips.read()

    def in_one_call(self) -> None:
        """Reset, hand all findings to a deffunction, run, read."""
        self.clips.take(self.findings)
        self.clips.run()
        self.clips.read()

    def run_only(self, runs: int) -> float:
        """The median time of firing alone."""
        times = []
        for _ in range(runs):
            self.clips.take(self.findings)
            start = time.perf_counter()
            self.clips.run()
            times.append(time.perf_counter() - start)
        return statistics.median(times)


def judged(ready: Ready, facts: Facts) -> Record:
    """One visit from its values to its answers and record."""
    return Record(ready.program, run(ready.program, column(ready.program.slots, facts)))


def laid_out(ready: Ready, facts: Facts) -> None:
    """The same, with every rule's outcome as an object and the pair of every leaf of its premise looked up."""
    record = judged(ready, facts)
    for rule in record.applied:
        for leaf in record.leaves(rule.premise):
            record.pair(leaf << 1)


def same_answers(ready: Ready, clips: ClipsRules, facts: Sequence[Facts], readings: Floats) -> float:
    """The largest difference of any certainty between the engine and CLIPS over these visits."""
    result = evaluate(ready.lean, readings)
    keys = [(key, side) for key, side in ready.lean.meta["conclusions"]]
    worst = 0.0
    for row, recorded in enumerate(facts):
        told = clips.judge(recorded.values).certainty
        for number, key in enumerate(keys):
            worst = max(worst, abs(float(result.certainty[number, row]) - told.get(key, 0.0)))
    return worst


def as_installed(folder: str) -> dict[str, str]:
    """The environment of a command as its user has it after the first run: rulebook cached, all modules compiled.

    The bytecode of both commands lies in one folder of its own, whatever this shell says about writing it: else every start
    would compile our modules again, and those of the libraries not.
    """
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    more = {"REASONER_CACHE": folder, "PYTHONPYCACHEPREFIX": str(Path(folder) / "bytecode"), "PYTHONPATH": str(HOME)}
    return kept | more


def cold_start() -> tuple[float, float, float]:
    """`reasoner why` from a cold start and the import of its libraries, in turn, as whole processes.

    Median seconds of each, and the median of the ratios pair by pair: so it holds while the machine's speed drifts.
    """
    why = [
        sys.executable,
        "-m",
        "reasoner",
        "why",
        str(HOME / "examples" / "bramble.yaml"),
        "withers",
        "--side",
        "left",
    ]
    libraries = [sys.executable, "-c", COLD]
    with tempfile.TemporaryDirectory() as folder:
        environment = as_installed(folder)
        times: dict[str, list[float]] = {"why": [], "libraries": []}
        for number in range(22):
            for name, command in (("why", why), ("libraries", libraries)):
                start = time.perf_counter()
                subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=environment)
                if number:  # the first run fills the cache
                    times[name].append(time.perf_counter() - start)
    pairs = [a / b for a, b in zip(times["why"], times["libraries"], strict=True)]
    return statistics.median(times["why"]), statistics.median(times["libraries"]), statistics.median(pairs)


def loading() -> dict[str, tuple[float, float]]:
    """Whole processes: importing numpy, loading the rulebook from the cache, and reading and compiling it anew.

    Name to (median seconds, median of the ratios to importing numpy, taken in turn).
    """
    load = "from reasoner.consult import load_rulebook; load_rulebook()"
    with tempfile.TemporaryDirectory() as folder:
        cached = as_installed(folder)
        off = {**cached, "REASONER_CACHE": "off"}
        commands = {"numpy": ("import numpy", cached), "cached": (load, cached), "cold": (load, off)}
        times: dict[str, list[float]] = {name: [] for name in commands}
        for number in range(8):
            for name, (code, environment) in commands.items():
                start = time.perf_counter()
                subprocess.run([sys.executable, "-c", code], check=True, env=environment)
                if number:
                    times[name].append(time.perf_counter() - start)
    return {
        name: (
            statistics.median(taken),
            statistics.median(a / b for a, b in zip(taken, times["numpy"], strict=True)),
        )
        for name, taken in times.items()
    }


def main() -> int:
    """Print the table; with --gate, say which ratios miss."""
    words = argparse.ArgumentParser(description="The engine beside CLIPS, in one run.")
    words.add_argument("--gate", action="store_true", help="exit with 1 where a ratio misses")
    gate = words.parse_args().gate
    book = load_rulebook()
    compile_time = timed(lambda: compiled(book), 3)
    ready = compiled(book)
    start = time.perf_counter()
    clips = ClipsRules(book)
    build = time.perf_counter() - start
    visits = [read_visit(path, book.vocabulary) for path in sorted((HOME / "examples").glob("*.yaml"))]
    facts = [facts_of(visit, ready.program.meta["words"]) for visit in visits]
    tables = [column(ready.program.slots, f) for f in facts]
    everything = np.concatenate(tables, axis=1)
    whole = [n for n, visit in enumerate(visits) if len(visit.touches) >= WHOLE_ROUND]
    peers = [Peer(clips, clips.findings(f.values)) for f in facts]
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, numpy {np.__version__}")
    print(f"rulebase: {len(ready.book.conclusions)} conclusions, {ready.program.rule_count} ground rules, "
          f"{len(ready.program.concern_row)} ground concerns, {len(ready.program.wanted_row)} ground actions")  # fmt: skip
    # An environment that was ever fed fact by fact stays slower: each way of feeding has one of its own.
    documented = ClipsRules(book)
    worst = same_answers(ready, ClipsRules(book), facts, everything)
    print(f"answers of {len(visits)} visits equal to CLIPS within {worst:.1e}")
    print(f"compile {compile_time * 1e3:.0f} ms (CLIPS builds its program in {build * 1e3:.0f} ms)\n")
    one = statistics.mean(timed(lambda n=n: judged(ready, facts[n]), 200) for n in whole)  # type: ignore[misc]
    views = statistics.mean(timed(lambda n=n: laid_out(ready, facts[n]), 30) for n in whole)  # type: ignore[misc]
    firing = statistics.mean(peers[n].run_only(60) for n in whole)
    rows = np.ascontiguousarray(np.concatenate([tables[n] for n in whole] * (ROWS // len(whole) + 1), axis=1)[:, :ROWS])
    # The two in turn, so that the ratio holds while the machine's speed drifts.
    turns = [
        (
            timed(lambda: evaluate(ready.lean, rows), 1) / ROWS,
            statistics.mean(timed(peers[n].in_one_call, 15) for n in whole),
        )
        for _ in range(5)
    ]
    block, at_once = (statistics.median(times) for times in zip(*turns, strict=True))
    times_blocks = statistics.median(once / ours for ours, once in turns)
    thin = [n for n in range(len(visits)) if n not in whole]
    thin_one = statistics.mean(timed(lambda n=n: judged(ready, facts[n]), 100) for n in thin)  # type: ignore[misc]
    thin_once = statistics.mean(timed(peers[n].in_one_call, 60) for n in thin)
    by_fact = statistics.mean(timed(Peer(documented, peers[n].findings).fact_by_fact, 20) for n in whole)
    why, libraries, times_libraries = cold_start()
    readings = statistics.mean(len(peers[n].findings) / 2 for n in whole)
    print(f"{len(whole)} whole examinations ({readings:.0f} recorded readings each), one visit:")
    line("the pass with its record", one, one)
    line("the same, every rule and leaf laid out as objects", views, one)
    line("CLIPS, fact by fact as clipspy documents it", by_fact, one)
    line("CLIPS, findings handed over in one call", at_once, one)
    line("CLIPS, firing alone", firing, one)
    print(f"\n{ROWS} rows in blocks of {BLOCK}, one core:")
    line("the pass, a visit", block, block)
    line("CLIPS, fact by fact as clipspy documents it", by_fact, block)
    line("CLIPS, findings handed over in one call", at_once, block)
    print(f"  {1 / block:,.0f} visits a second; CLIPS {1 / at_once:,.0f}")
    print(f"\n{len(thin)} thin visits (a few readings: here CLIPS has little to do, and the pass is the same):")
    line("the pass with its record", thin_one, thin_one)
    line("CLIPS, findings handed over in one call", thin_once, thin_one)
    print("\nfrom a cold start, whole processes:")
    line(f'python -c "{COLD}"', libraries, libraries)
    line("reasoner why", why, libraries)
    load = loading()
    print("\nload and compile the rulebook, whole processes, beside importing numpy:")
    for name, what in (
        ("numpy", 'python -c "import numpy"'),
        ("cached", "from the cache"),
        ("cold", "read and compiled anew"),
    ):
        line(what, load[name][0], load[name][0] / load[name][1])
    gates = [
        Gate("one visit with its record, CLIPS fact by fact", by_fact / one, 10),
        Gate("blocks, the fastest of the peers (all findings in one call)", times_blocks, 100),
        Gate("reasoner why from a cold start", times_libraries, 1.6, at_least=False),
    ]
    print("\ngates:")
    for each in gates:
        sign = ">=" if each.at_least else "<="
        print(f"  {'holds ' if each.holds else 'MISSES'} {each.name}: {each.ratio:.2f} ({sign} {each.limit:g})")
    if by_fact < at_once:
        print("  MISSES the fastest peer: fact by fact was faster than all in one call")
    if worst > 1e-9:
        print("  MISSES answers equal to CLIPS")
    return int(gate and (worst > 1e-9 or by_fact < at_once or not all(each.holds for each in gates)))


def line(name: str, seconds: float, against: float) -> None:
    """One line of the table: what, how long, and how many times the figure it stands beside."""
    shown = f"{seconds * 1e6:10.1f} us" if seconds < 0.05 else f"{seconds * 1e3:10.1f} ms"
    print(f"  {name:58} {shown}   x {seconds / against:.2f}")


if __name__ == "__main__":
    sys.exit(main())
