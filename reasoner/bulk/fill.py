"""Codes to a readings table: slots x visits, ready for the pass.

In: `Coded` rows of some visits. Out: the table, and the visits that only the exact road can judge.
Not here: reading rows (coding), what a code stands for (codes).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from reasoner.bulk.codes import DAYS, QUIET_CELL, UNSETTLED, Codes, Group, contradicts
from reasoner.bulk.coding import Coded
from reasoner.bulk.columns import Findings
from reasoner.bulk.measuring import Measuring
from reasoner.bulk.quiet import Put
from reasoner.inference.program import Flags, Floats, Ints

if TYPE_CHECKING:
    from reasoner.bulk.quiet import Small

#: So many visits are filled at a time: enough that going slot by slot costs little, few enough that the table stays small.
VISITS = 2048


class Filler:
    """One table of readings, used again for each block of visits."""

    def __init__(self, codes: Codes, slots: int, measuring: Measuring) -> None:
        self.codes, self.measuring = codes, measuring
        self.table: Floats = np.full((slots, VISITS), np.nan)
        self.marks: Flags = np.zeros((0, VISITS), dtype=np.bool_)
        self.cells: Small = np.zeros((codes.cells, VISITS), dtype=np.int32)

    def blocks(self, findings: Findings, coded: Coded) -> Iterator[tuple[slice, Floats]]:
        """(which visits, their readings (slots x visits)) in order. `coded.odd` grows on the way: see `_spread`."""
        if not findings.visits:
            return
        # Blocks of one size: a small last one costs nearly as much as the others.
        blocks = -(-findings.visits // VISITS)
        size = -(-findings.visits // blocks)
        for first in range(0, findings.visits, size):
            here = slice(first, min(first + size, findings.visits))
            self._spread(findings, coded, here)
            readings = self._filled(findings, coded, here)
            self.measuring.add(findings, coded.measured, coded.odd, here, readings)
            yield here, readings

    def _spread(self, findings: Findings, coded: Coded, here: slice) -> None:
        """Put every code into its cell. What is written twice is for the exact road to tell."""
        self.cells[:] = 0
        if coded.mark_count > len(self.marks):
            self.marks = np.zeros((2 * coded.mark_count, VISITS), dtype=np.bool_)
        twice = self._put(findings, coded.puts, here)
        coded.odd[here.start + twice % VISITS] = True
        # A place may be marked quiet by itself and within its region; only the same mark twice is a slip.
        self._put(findings, coded.quiet, here, once=False)
        self.marks[:] = False
        marks, seen = self.marks.reshape(-1), []
        for rows, mark in coded.marks:
            at = slice(*np.searchsorted(rows, findings.start[[here.start, here.stop]]).tolist())
            seen.append(mark[at] * np.int64(VISITS) + (findings.visit_of[rows[at]] - here.start))
            marks[seen[-1]] = True
        if np.count_nonzero(marks) != sum(map(len, seen)):
            coded.odd[here.start + _repeated(np.concatenate(seen)) % VISITS] = True

    def _put(self, findings: Findings, puts: tuple[Put, ...], here: slice, *, once: bool = True) -> Ints:
        """Write these codes; the cells that were written twice, as places in the table, where that matters (`once`)."""
        low, high = int(findings.start[here.start]), int(findings.start[here.stop])
        cells = self.cells.reshape(-1)
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
        if not once or np.count_nonzero(cells) == sum(map(len, flat)):
            return np.zeros(0, dtype=np.int64)
        return _repeated(np.concatenate(flat))

    def _filled(self, findings: Findings, coded: Coded, here: slice) -> Floats:
        count = here.stop - here.start
        table, cells = self.table[:, :count], self.cells[:, :count]
        speaks: Flags = np.any(cells, axis=1)
        day = findings.day[here]
        odd = coded.odd[here]
        at = self.codes.settled_cell
        state = self.codes.settled_state().take(cells[at]) if at >= 0 else None
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

    def _code(self, group: Group, active: Ints, cells: Small, odd: Flags) -> Ints:
        """One code for all that is written of a place or thing; what was quiet is covered by anything else written there."""
        place = group.domain == 0
        spoken = [n for n in active.tolist() if not (place and n == QUIET_CELL)]
        code = cells[group.cell + spoken[0]].astype(np.int64) if spoken else np.zeros(cells.shape[1], dtype=np.int64)
        many = np.zeros(cells.shape[1], dtype=np.bool_)
        for n in spoken[1:]:
            more = cells[group.cell + n]
            some = np.flatnonzero(more)
            many[some] |= code[some] != 0
            code[some] = more[some]
        if many.any():
            at = np.flatnonzero(many)
            code[at] = self._together(group, cells[:, at], spoken, at, odd, place)
        if place and QUIET_CELL in active:
            np.copyto(code, cells[group.cell + QUIET_CELL], where=code == 0)
        return code

    def _together(self, group: Group, cells: Small, spoken: list[int], at: Ints, odd: Flags, place: bool) -> Ints:
        """The codes of several readings of one thing, each distinct set of them put together once."""
        domain = self.codes.domains[group.domain]
        key = np.zeros(len(at), dtype=np.int64)
        size = domain.size
        for n in spoken:
            key *= size
            key += cells[group.cell + n]
        numbers: dict[int, int] = {}
        for said in np.unique(key).tolist():
            rest, parts = said, {}
            for n in reversed(spoken):
                rest, parts[n] = divmod(rest, size)
            some = sorted(n for n in spoken if parts[n])
            if not place and contradicts(some):
                odd[at[key == said]] = True
            numbers[said] = domain.together(tuple(parts[n] for n in some))
        return np.array([numbers[said] for said in key.tolist()], dtype=np.int64)

    def _write(self, group: Group, code: Ints, table: Floats, day: Floats, state: Ints | None) -> None:
        domain = self.codes.domains[group.domain]
        for row, quality in group.slots:
            if quality == UNSETTLED and state is not None:
                values = domain.unsettled()
                values.reshape(-1).take(code * values.shape[1] + state, out=table[row], mode="clip")
                continue
            domain.table(quality).take(code, out=table[row], mode="clip")
            if quality in DAYS:
                np.subtract(day, table[row], out=table[row])
                np.maximum(table[row], 0.0, out=table[row])


def _repeated(numbers: Ints) -> Ints:
    """The numbers that stand more than once."""
    every: Ints = np.sort(numbers)
    found: Ints = every[1:][every[1:] == every[:-1]]
    return found
