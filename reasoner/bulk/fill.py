"""Codes to a readings table: slots x visits, ready for the pass.

In: `Coded` rows of some visits. Out: the table, and the visits that only the exact road can judge.
Not here: reading rows (coding), what a code stands for (codes).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from reasoner.bulk.codes import DAYS, QUIET_CELL, UNSETTLED, Codes, Domain, Group, contradicts
from reasoner.bulk.coding import Coded, Put
from reasoner.bulk.columns import Findings
from reasoner.inference.program import Flags, Floats, Ints

if TYPE_CHECKING:
    from reasoner.bulk.coding import Small

#: So many visits are filled at a time: enough that going slot by slot costs little, few enough that the table stays small.
VISITS = 2048


class Filler:
    """One table of readings, used again for each block of visits."""

    def __init__(self, codes: Codes, slots: int) -> None:
        self.codes = codes
        self.table: Floats = np.full((slots, VISITS), np.nan)
        self.cells: Small = np.zeros((codes.cells, VISITS), dtype=np.int32)

    def blocks(self, findings: Findings, coded: Coded) -> Iterator[tuple[slice, Floats]]:
        """(which visits, their readings (slots x visits)) in order. `coded.odd` grows on the way: see `_spread`."""
        for first in range(0, findings.visits, VISITS):
            here = slice(first, min(first + VISITS, findings.visits))
            self._spread(findings, coded, here)
            yield here, self._filled(findings, coded, here)

    def _spread(self, findings: Findings, coded: Coded, here: slice) -> None:
        """Put every code into its cell. What is written twice is for the exact road to tell."""
        self.cells[:] = 0
        twice = self._put(findings, coded.puts, here)
        coded.odd[here.start + twice % VISITS] = True
        marked = self._put(findings, coded.quiet, here)
        if marked.size:  # a place by itself and within its region: only the same mark twice is a slip
            doubtful = np.zeros(VISITS, dtype=np.bool_)
            doubtful[marked % VISITS] = True
            again = []
            for rows, marks in coded.marks:
                at = slice(*np.searchsorted(rows, findings.start[[here.start, here.stop]]).tolist())
                visit = findings.visit_of[rows[at]] - here.start
                again.append((marks[at] * np.int64(VISITS) + visit)[doubtful[visit]])
            coded.odd[here.start + _repeated(np.concatenate(again)) % VISITS] = True

    def _put(self, findings: Findings, puts: tuple[Put, ...], here: slice) -> Ints:
        """Write these codes; the cells that were written twice, as places in the table."""
        low, high = int(findings.start[here.start]), int(findings.start[here.stop])
        cells = self.cells.reshape(-1)
        before = np.count_nonzero(cells)
        flat: list[Ints] = []
        for put in puts:
            at = slice(low, high) if put.whole else slice(*np.searchsorted(put.rows, (low, high)).tolist())
            if at.stop == at.start:
                continue
            places = put.cell[at] * np.int64(VISITS)
            places += findings.visit_of[low:high] if put.whole else findings.visit_of[put.rows[at]]
            places -= here.start
            cells[places] = put.code[at]
            flat.append(places)
        if np.count_nonzero(cells) - before == sum(map(len, flat)):
            return np.zeros(0, dtype=np.int64)
        return _repeated(np.concatenate(flat))

    def _filled(self, findings: Findings, coded: Coded, here: slice) -> Floats:
        count = here.stop - here.start
        table, cells = self.table[:, :count], self.cells[:, :count]
        speaks = cells.any(axis=1)
        day = findings.day[here]
        odd = coded.odd[here]
        state = self.codes.settled_state().take(cells[self.codes.settled_cell]) if self.codes.settled_cell >= 0 else None
        for group in self.codes.groups:
            if not group.slots and group.cells == 1 and not group.dated:
                continue
            active = np.flatnonzero(speaks[group.cell : group.cell + group.cells])
            if not active.size:
                for row, _ in group.slots:
                    table[row] = np.nan
                continue
            if group.dated:
                first = self.codes.domains[group.domain].table(DAYS[1])
                for n in active.tolist():
                    odd |= first.take(cells[group.cell + n]) > day  # it lies after the day of the visit
            code = self._code(group, active, cells, odd)
            self._write(group, code, table, day, state)
        for row in self.codes.others:
            table[row] = np.nan
        return table

    def _code(self, group: Group, active: Ints, cells: Small, odd: Flags) -> Small:
        """One code for all that is written of a place or thing; what was quiet is covered by anything else written there."""
        domain = self.codes.domains[group.domain]
        place = group.domain == 0
        spoken = [n for n in active.tolist() if not (place and n == QUIET_CELL)]
        code: Small = cells[group.cell + spoken[0]].copy() if spoken else np.zeros(cells.shape[1], dtype=np.int32)
        for n in spoken[1:]:
            code += cells[group.cell + n]
        if len(spoken) > 1:
            many = np.flatnonzero(np.count_nonzero(cells[[group.cell + n for n in spoken]], axis=0) > 1)
            code[many] = self._together(domain, [cells[group.cell + n][many] for n in spoken], spoken, many, odd, place)
        if place and QUIET_CELL in active:
            np.copyto(code, cells[group.cell + QUIET_CELL], where=code == 0)
        return code

    def _together(
        self, domain: Domain, codes: list[Small], which: list[int], many: Ints, odd: Flags, place: bool
    ) -> Small:
        """The codes of several readings of one thing, each distinct set of them put together once."""
        distinct, at = np.unique(np.stack(codes), axis=1, return_inverse=True)
        numbers = []
        bad = []
        for said in distinct.T.tolist():
            parts = [n for n, code in zip(which, said, strict=True) if code]
            wrong = not place and contradicts(parts)
            numbers.append(0 if wrong else domain.together(tuple(code for code in said if code)))
            bad.append(wrong)
        odd[many[np.array(bad, dtype=np.bool_)[at.reshape(-1)]]] = True
        whole: Small = np.array(numbers, dtype=np.int32)[at.reshape(-1)]
        return whole

    def _write(self, group: Group, code: Small, table: Floats, day: Floats, state: Ints | None) -> None:
        domain = self.codes.domains[group.domain]
        for row, quality in group.slots:
            if quality == UNSETTLED and state is not None:
                values = domain.unsettled()
                values.reshape(-1).take(code * np.int64(values.shape[1]) + state, out=table[row], mode="clip")
                continue
            domain.table(quality).take(code, out=table[row], mode="clip")
            if quality in DAYS:
                np.subtract(day, table[row], out=table[row])
                np.maximum(table[row], 0.0, out=table[row])


def _repeated(numbers: Ints) -> Ints:
    """The numbers that stand more than once."""
    every = np.sort(numbers)
    return every[1:][every[1:] == every[:-1]]
