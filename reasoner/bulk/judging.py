"""A table of findings in, a table of what was judged out.

In: Arrow tables, or anything that hands one over. Out: `Judged`.
Not here: files, processes, the order of the pass. A function of the table alone: what is remembered between calls is only how
each distinct reading reads, so a distributed engine may map it over partitions that hold whole visits.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Any

import numpy as np
import pyarrow as pa

from reasoner.bulk.aside import Aside, aside_table
from reasoner.bulk.codes import Codes
from reasoner.bulk.coding import Coder
from reasoner.bulk.columns import VISIT, Findings, findings_of, names_of, words_of
from reasoner.bulk.fill import Filler
from reasoner.bulk.measuring import Measuring
from reasoner.bulk.plans import Planner, Steps
from reasoner.bulk.results import Layout, aside_rows, schema_of
from reasoner.bulk.rows import RowReader
from reasoner.consult import judge, load_rulebook
from reasoner.facts.from_measures import measured_facts
from reasoner.facts.table import column
from reasoner.frozen import frozen
from reasoner.inference.evaluate import BLOCK, evaluate, run
from reasoner.inference.program import Flags, Floats
from reasoner.problems import BadInput
from reasoner.rules_cache import Ready
from reasoner.visit.model import Visit


@frozen
class Judged:
    """`results` and `aside` as told in the room's opening and in `aside`; `ids` is what each visit met is called, `set_aside`
    counts those not judged, `levels` the referrals."""

    results: Any
    aside: Any
    ids: Any
    visits: int
    set_aside: int
    levels: dict[str, int]


class Judge:
    """Judges tables by one rulebook. `ranges`: also how far each certainty could still move; that takes about ten times as
    long. One may be used from several threads: they wait for each other."""

    def __init__(self, ready: Ready | None = None, *, ranges: bool = False) -> None:
        self.ready = ready or load_rulebook()
        self.ranges = ranges
        program, book = self.ready.lean, self.ready.book
        self.words, self.book = self.ready.program.meta["words"], book
        self.reader = RowReader(book.vocabulary)
        codes = Codes(book.vocabulary, self.words, program.slots)
        measuring = Measuring(self.reader, self.words, book, program.slots)
        self.coder, self.filler = Coder(self.reader, codes), Filler(codes, len(program.slots), measuring)
        self.planner = Planner(program, book)
        self.layout = Layout(program, book, [action.number for action in self.planner.actions])
        full = {tuple(key): n for n, key in enumerate(self.ready.program.meta["conclusions"])}
        # The two programs keep their conclusions in orders of their own.
        self._full_order = [full[tuple(key)] for key in program.meta["conclusions"]]
        self._lock = threading.Lock()

    def table(self, table: Any, file: str = "table", number: int = 1) -> Judged:
        """Judge rows of findings in which each visit stands together. Raises BadInput where columns are missing."""
        with self._lock:
            self.reader.file = file
            findings = findings_of(table, file, number)
            coded = self.coder.coded(findings)
            parts: list[Any] = []
            levels = np.zeros(len(self.layout.levels), dtype=np.int64)
            aside: list[Aside] = []
            for here, readings in self.filler.blocks(findings, coded):
                odd = coded.odd[here]
                ids = findings.ids.slice(here.start, here.stop - here.start)
                day = findings.day[here].copy()
                bad = self._exactly(findings, here, readings, odd, day) if odd.any() else []
                good = np.ones(len(odd), dtype=np.bool_)
                for one in bad:
                    good[one.at - here.start] = False
                aside += bad
                rows = self._judged(readings, ids, day, good, levels)
                if bad:  # one piece, with one list of words
                    both = pa.concat_tables([rows, self._aside_rows(bad, findings.ids.type)])
                    rows = both.unify_dictionaries().combine_chunks()
                parts.append(rows)
            return self._whole(parts, aside, findings.visits, levels, findings.ids)

    def visits(self, visits: Sequence[Visit], ids: Sequence[str], aside: Sequence[Aside] = ()) -> Judged:
        """Judge visits already read; those of `aside` could not be."""
        levels = np.zeros(len(self.layout.levels), dtype=np.int64)
        parts: list[Any] = []
        with self._lock:
            for first in range(0, len(visits), BLOCK):
                some = visits[first : first + BLOCK]
                columns = [
                    column(self.ready.lean.slots, measured_facts(visit, self.words, self.book)) for visit in some
                ]
                day = np.array([float(visit.day.toordinal()) for visit in some])
                names = pa.array(list(ids[first : first + BLOCK]), pa.string())
                good = np.ones(len(some), dtype=np.bool_)
                worded = {at: visit for at, visit in enumerate(some) if visit.vets_words}
                parts.append(self._judged(np.concatenate(columns, axis=1), names, day, good, levels, worded))
        if aside:
            parts.append(self._aside_rows(aside, pa.string()))
        met = pa.array([*ids, *(one.called for one in aside)], pa.string())
        return self._whole(parts, list(aside), len(met), levels, met)

    def _exactly(self, findings: Findings, here: slice, readings: Floats, odd: Flags, day: Floats) -> list[Aside]:
        """The exact road for the visits that need it: their readings filled in, or everything that is wrong in them."""
        bad: list[Aside] = []
        for at in np.flatnonzero(odd).tolist():
            rows = findings.rows_of(here.start + at)
            called = findings.ids[here.start + at].as_py()
            nameless = (self.reader.nameless(rows[0].number),) if called in (None, "") else ()
            try:
                visit = self.reader.visit(rows)
                if nameless:
                    raise BadInput(())
            except BadInput as wrong:
                known = findings.day[here.start + at]
                problems = (*nameless, *wrong.problems)
                bad.append(Aside(here.start + at, called, None if known != known else int(known), problems))
                continue
            day[at] = visit.day.toordinal()
            readings[:, at] = column(self.ready.lean.slots, measured_facts(visit, self.words, self.book))[:, 0]
        return bad

    def _judged(
        self, readings: Floats, ids: Any, day: Floats, good: Flags, levels: Any, worded: dict[int, Visit] | None = None
    ) -> Any:  # fmt: skip
        result = evaluate(self.ready.lean, readings)
        ranks = np.arange(1, len(self.layout.levels))[:, None]
        level = (result.level * ranks).max(axis=0, initial=0)
        levels += np.bincount(level[good], minlength=len(levels))
        steps = self.planner.steps(result)
        for at, visit in (worded or {}).items():
            self._by_word(visit, at, steps)
        return self.layout.table(result, level, steps, ids, day, good, self._ranges(readings) if self.ranges else None)

    def _by_word(self, visit: Visit, at: int, steps: Steps) -> None:
        """The steps of a visit with a veterinarian's word, which opens and forbids: as its own plan has them."""
        plan = judge(visit, self.ready).plan
        number = {(key, side): n for n, (key, side, *_) in enumerate(self.ready.lean.meta["actions"])}
        put_off = {(one.key, one.side) for one in plan.withheld}
        for flags, actions in ((steps.step, plan.standing), (steps.put_off, put_off)):
            flags[:, at] = False
            flags[[number[action] for action in actions], at] = True

    def _ranges(self, readings: Floats) -> tuple[Floats, Floats]:
        lower, upper = [], []
        for first in range(0, readings.shape[1], BLOCK):
            block = np.ascontiguousarray(readings[:, first : first + BLOCK])
            result = run(self.ready.program, block, bounds=True)
            half = result.certainty.shape[1] // 2
            lower.append(result.certainty[:, :half])
            upper.append(result.certainty[:, half:])
        at = self._full_order
        return np.concatenate(lower, axis=1)[at], np.concatenate(upper, axis=1)[at]

    def _aside_rows(self, bad: Iterable[Aside], visit: Any) -> Any:
        return aside_rows([(one.called, one.day, one.problems[0].code) for one in bad], visit, ranges=self.ranges)

    def _whole(self, parts: list[Any], aside: list[Aside], visits: int, levels: Any, ids: Any) -> Judged:
        schema = schema_of(ids.type, ranges=self.ranges, plain=False)
        results = pa.concat_tables(parts) if parts else schema.empty_table()
        counts = dict(zip(self.layout.levels, levels.tolist(), strict=True))
        return Judged(results, aside_table(aside, ids.type), ids, visits, len(aside), counts)


@lru_cache(maxsize=1)
def _shipped(ranges: bool) -> Judge:
    return Judge(ranges=ranges)


def judged_table(findings: Any, judge: Judge | None = None, *, ranges: bool = False) -> Any:
    """The table of what was judged, from a table with one row a finding (both are told in `reasoner.bulk`).

    `findings` is an Arrow table or record batch, or anything with `__arrow_c_stream__` (data frames of pandas or polars). The
    rows of a visit need not stand together here. A visit in which something is wrong has one row, of kind "set aside",
    with a code; `Judge.table` tells all that is wrong in words. Raises BadInput where a column is missing.
    """
    table = arrow_table(findings)
    names = names_of(table.column_names, "table")
    judged = (judge or _shipped(ranges)).table(_together(table, names[VISIT]))
    return judged.results.cast(schema_of(judged.aside.schema.field(VISIT).type, ranges=(judge.ranges if judge else ranges),
                                         plain=True)).combine_chunks()  # fmt: skip


def arrow_table(findings: Any) -> Any:
    """An Arrow table of whatever hands one over. Raises TypeError for anything else."""
    if isinstance(findings, pa.Table):
        return findings
    if isinstance(findings, pa.RecordBatch):
        return pa.Table.from_batches([findings])
    if hasattr(findings, "__arrow_c_stream__"):
        return pa.RecordBatchReader.from_stream(findings).read_all()
    raise TypeError(f"a table was expected (Arrow, or a data frame), and {type(findings).__name__} was given")


def _together(table: Any, visit: str) -> Any:
    """The rows of each visit one after the other, in the order in which the visits first appear."""
    if not len(table):
        return table
    codes = words_of(table.column(visit), "table", VISIT).codes
    if np.count_nonzero(np.diff(codes)) + 1 == len(np.unique(codes)):
        return table
    order = np.argsort(_first_seen(codes), kind="stable")
    return table.take(pa.array(order))


def _first_seen(codes: Any) -> Any:
    """Each code by when it first appears."""
    _, first, at = np.unique(codes, return_index=True, return_inverse=True)
    return first[at]
