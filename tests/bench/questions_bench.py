"""The questions beside CLIPS doing the same work by loops, in one run: ratios gate, absolute figures are printed.

In: the shipped rulebook and the whole examinations of examples/. Out: a table; with --gate, exit code 1 where a ratio misses.
Not here: single visits and blocks (bench.py). A question is a function that yields its lines and its gates.

Next: ours is the whole of `reasoner next`: every listed reading of every look not yet made through the pass and, for the
ranges, through the bounds pass, then calls, plans, ranking. The peer is given the same rows ready made, works out certainties
alone, and is timed on every so many of them and counted up.

Re-readings: ours is the whole of `reasoner firm`, from the visit to the counts: drawing, filling the table, the pass, bands,
causes, calls and the first step of the plan in every row. The peer is given the same re-readings ready made and is timed from
reset to certainties read; neither drawing, nor counting, nor any plan is charged to it. It is timed on the first few and
counted up, since every re-reading of a visit asks the same of it.
"""

from __future__ import annotations

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import argparse
import statistics
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

from reasoner.consult import Answer, judge
from reasoner.facts.table import column
from reasoner.inference.program import Floats
from reasoner.questions.checks import checks_of
from reasoner.questions.firm import Hand, firmness_of, hand_of
from reasoner.questions.next_check import next_of
from reasoner.questions.overturn import overturned
from reasoner.questions.rereading import Rereading
from reasoner.questions.rows import Rows
from reasoner.rulebook.loading import load_rulebook
from reasoner.rules_cache import compiled
from reasoner.visit.model import Visit
from reasoner.visit.reading import read_visit
from tests.bench.bench import WHOLE_ROUND, Gate, line, timed
from tests.references.clips_rules import ClipsRules, Findings

ROWS, TIMED = 2000, 40
Told = str | Gate


@dataclass(frozen=True)
class Bench:
    """Whole examinations judged."""

    answers: Sequence[Answer]

    def peers(self) -> tuple[ClipsRules, ClipsRules]:
        """New peers for one question, each built once: to be fed fact by fact, and in one call.

        One that was ever fed fact by fact grows slower; here it is fed far less often than the whole of the loop would, which
        speaks for the peer.
        """
        return ClipsRules(self.answers[0].ready.book), ClipsRules(self.answers[0].ready.book)


def rereadings(bench: Bench) -> Iterator[Told]:
    """How firm is it: 2,000 re-readings of each visit."""
    ours = statistics.mean(timed(lambda a=a: firmness_of(a, _hand(a), ROWS), 5) for a in bench.answers)  # type: ignore[misc]
    by_fact, in_one = [], []
    documented, at_once = bench.peers()
    for answer in bench.answers:
        values = _reread(answer)
        by_fact.append(_looped(documented, values, _by_fact))
        in_one.append(_looped(at_once, values, _in_one))
    yield f"\n{ROWS} re-readings of a visit, bands, causes, calls and first steps counted ({len(bench.answers)} visits):"
    line("reasoner firm", ours, ours)
    line("CLIPS by loops, fact by fact as clipspy documents it", statistics.mean(by_fact), ours)
    line("CLIPS by loops, findings handed over in one call", statistics.mean(in_one), ours)
    yield Gate(f"{ROWS} re-readings, CLIPS fact by fact", statistics.mean(by_fact) / ours, 100)


def overturning(bench: Bench) -> Iterator[Told]:
    """What would change my mind: absolute figures only, since the peer would try millions of visits."""
    times = []
    for answer in bench.answers:
        start = time.perf_counter()
        overturned(answer)
        times.append(time.perf_counter() - start)
    yield f"\nwhat would change my mind ({len(times)} visits):"
    line("reasoner overturn, mean", statistics.mean(times), statistics.mean(times))
    line("reasoner overturn, slowest", max(times), statistics.mean(times))


def next_checks(bench: Bench) -> Iterator[Told]:
    """What to check next: every listed reading of every look not yet made, of an empty visit and of each whole one."""
    empty = judge(Visit(file="", day=bench.answers[0].visit.day), bench.answers[0].ready)
    ours, by_fact, in_one, rows = [], [], [], []
    documented, at_once = bench.peers()
    for answer in (empty, *bench.answers):
        table, slots = _looks(answer), answer.ready.program.slots
        values = [_values(slots, row) for row in table.T[:: max(table.shape[1] // TIMED, 1)].tolist()]
        rows.append(table.shape[1])
        ours.append(timed(lambda a=answer: next_of(a), 3))  # type: ignore[misc]
        by_fact.append(_looped(documented, values, _by_fact, rows[-1]))
        in_one.append(_looped(at_once, values, _in_one, rows[-1]))
    yield f"\nwhat to check next ({len(rows)} visits, {sum(rows) / len(rows):.0f} readings tried on each in the mean):"
    line("reasoner next, with ranges, calls, plans and ranking", sum(ours), sum(ours))
    line("CLIPS by loops, fact by fact, certainties alone", sum(by_fact), sum(ours))
    line("CLIPS by loops, findings handed over in one call", sum(in_one), sum(ours))
    yield Gate("next over the full rulebase, CLIPS fact by fact", sum(by_fact) / sum(ours), 50)


def _looks(answer: Answer) -> Floats:
    """The rows that `next` runs for one visit."""
    return Rows(answer).table([reading.change for check in checks_of(answer) for reading in check.readings])


def _values(slots: Sequence[str], row: Sequence[float]) -> dict[str, float]:
    return {slot: value for slot, value in zip(slots, row, strict=True) if not np.isnan(value)}


QUESTIONS: tuple[Callable[[Bench], Iterator[Told]], ...] = (next_checks, rereadings, overturning)


def _hand(answer: Answer) -> Hand:
    return hand_of(answer.visit, answer.ready.book.scales)


def _reread(answer: Answer) -> list[dict[str, float]]:
    """The values of the first few re-readings, as the peer is given them."""
    program = answer.ready.program
    rereading = Rereading(answer.visit, answer.ready.book, program.meta["words"], _hand(answer).error)
    table = rereading.rows(column(program.slots, answer.facts)[:, 0], program.slots, 1, 0, TIMED // 2).table
    return [_values(program.slots, row) for row in table.T.tolist()]


def _looped(
    clips: ClipsRules, visits: Sequence[dict[str, float]], one: Callable[[ClipsRules, Findings], None], rows: int = ROWS
) -> float:
    """Seconds for so many rows, counted up from those timed."""
    every = [clips.findings(values) for values in visits]
    one(clips, every[0])
    start = time.perf_counter()
    for findings in every:
        one(clips, findings)
    return (time.perf_counter() - start) / len(every) * rows


def _by_fact(clips: ClipsRules, findings: Findings) -> None:
    clips.assert_each(findings)
    clips.run()
    clips.read()


def _in_one(clips: ClipsRules, findings: Findings) -> None:
    clips.take(findings)
    clips.run()
    clips.read()


def main() -> int:
    """Print the table; with --gate, say which ratios miss."""
    words = argparse.ArgumentParser(description="The questions beside CLIPS doing the same by loops.")
    words.add_argument("--gate", action="store_true", help="exit with 1 where a ratio misses")
    gate = words.parse_args().gate
    book = load_rulebook()
    ready = compiled(book)
    visits = [read_visit(path, book.vocabulary) for path in sorted((HOME / "examples").glob("*.yaml"))]
    answers = [judge(visit, ready) for visit in visits if len(visit.touches) >= WHOLE_ROUND]
    bench = Bench(answers)
    gates = []
    for question in QUESTIONS:
        for told in question(bench):
            if isinstance(told, Gate):
                gates.append(told)
            else:
                print(told)
    print("\ngates:")
    for each in gates:
        sign = ">=" if each.at_least else "<="
        print(f"  {'holds ' if each.holds else 'MISSES'} {each.name}: {each.ratio:.1f} ({sign} {each.limit:g})")
    return int(gate and not all(each.holds for each in gates))


if __name__ == "__main__":
    sys.exit(main())
