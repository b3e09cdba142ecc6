"""What follows from measurements, for many visits: each distinct set of measured rows is worked out once.

In: `Findings`, the rows that are measurements, a block of readings. Out: the readings with what follows filled in.
Not here: what follows from what (facts.from_measures). What was written by hand stands.

INVARIANT: what is worked out hangs on the measured entries of a visit alone, and on nothing else that a row may write.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from reasoner.bulk.codes import REFERENCE
from reasoner.bulk.columns import Findings
from reasoner.bulk.rows import RowReader
from reasoner.facts.from_measures import worked_out
from reasoner.facts.from_visit import Words, facts_of
from reasoner.inference.program import Flags, Floats, Ints
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Noted, Visit

Filled = tuple[tuple[tuple[int, float], ...], ...]
"""For each entry that follows, the rows of the readings table it writes and what."""


class Measuring:
    """Remembers what followed from each set of measured rows of one table."""

    def __init__(self, reader: RowReader, words: Words, book: Rulebook, slots: Sequence[str]) -> None:
        self.reader, self.words, self.book = reader, words, book
        self.row_of = {name: row for row, name in enumerate(slots)}
        self._table: Findings | None = None
        self._known: dict[tuple[tuple[int, ...], ...], Filled] = {}

    def add(self, findings: Findings, measured: Ints, odd: Flags, here: slice, readings: Floats) -> None:
        """Fill in what follows for the visits of this block, save those of `odd`, which take the exact road."""
        low, high = np.searchsorted(measured, findings.start[[here.start, here.stop]]).tolist()
        rows = measured[low:high]
        if not rows.size:
            return
        if findings is not self._table:
            self._table, self._known = findings, {}
        said = np.stack([column.codes[rows] for column in findings.columns.values()], axis=1).tolist()
        visit_of = findings.visit_of[rows]
        cuts = [0, *(np.flatnonzero(np.diff(visit_of)) + 1).tolist(), len(rows)]
        for first, last in pairwise(cuts):
            at = int(visit_of[first])
            if odd[at]:
                continue
            key = tuple(sorted(map(tuple, said[first:last])))
            filled = self._known.get(key)
            if filled is None:
                filled = self._known[key] = self._follows(findings, rows[first:last])
            for entry in filled:
                if all(np.isnan(readings[row, at - here.start]) for row, _ in entry):
                    for row, value in entry:
                        readings[row, at - here.start] = value

    def _follows(self, findings: Findings, rows: Ints) -> Filled:
        """What follows from these rows by themselves."""
        entries = [entry for at in rows.tolist() for entry in self.reader.read(findings.row(at), REFERENCE)]
        noted = tuple(entry for entry in entries if isinstance(entry, Noted))
        return tuple(self._slots(one) for one in worked_out(Visit(file="", day=REFERENCE, noted=noted), self.book))

    def _slots(self, noted: Noted) -> tuple[tuple[int, float], ...]:
        values = facts_of(Visit(file="", day=REFERENCE), self.words, (noted,)).values
        return tuple((self.row_of[name], value) for name, value in values.items() if name in self.row_of)
