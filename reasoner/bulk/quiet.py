"""Rows that mark a place or a whole region as examined and quiet.

In: `Findings` and the numbers of their names. Out: what such rows write, as `Put`s, and what they mark.
Not here: any other row (coding). Anything else written of a place covers that it was marked quiet.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from reasoner.bulk.codes import QUIET_CELL, REFERENCE, Codes
from reasoner.bulk.columns import VALUE, Findings
from reasoner.bulk.rows import EXTRAS, Row, RowReader, is_quiet
from reasoner.frozen import frozen
from reasoner.inference.program import Flags, Ints
from reasoner.problems import BadInput
from reasoner.visit.model import Touch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Small = NDArray[np.int32]


@frozen
class Put:
    """What some rows write: `rows` (in order), the cell of each, its code. `whole`: these are all the rows there are."""

    rows: Ints
    cell: Small
    code: Small
    whole: bool = False


class Quiets:
    """Remembers what each name marks; the number of a name is the coder's."""

    def __init__(self, reader: RowReader, codes: Codes) -> None:
        self.reader, self.codes = reader, codes
        self.names: dict[int, tuple[tuple[int, ...], tuple[int, ...]]] = {}
        self.marks: dict[object, int] = {}
        self.code = 0

    def found(
        self, findings: Findings, name: Small, texts: list[tuple[str, str]], odd: Flags
    ) -> tuple[Flags | None, tuple[Put, ...], tuple[tuple[Ints, Small], ...]]:
        """The rows that mark a place or region as quiet, what they write (anything else written there covers it), and what
        they mark."""
        column = findings.columns[VALUE]
        words = [at for at, word in enumerate(column.words) if word and is_quiet(word)]
        if not words:
            return None, (), ()
        quiet: Flags = np.isin(column.codes, words) if len(words) > 1 else column.codes == words[0]
        rows = np.flatnonzero(quiet)
        strange = np.zeros(rows.size, dtype=np.bool_)
        for extra in EXTRAS:
            if extra in findings.columns:
                strange |= findings.columns[extra].codes[rows] != 0
        named = name[rows]
        cells: dict[int, Small] = {}
        marks: dict[int, Small] = {}
        known = np.zeros(len(texts), dtype=np.bool_)
        for number in used(named, len(known)).tolist():
            found = self._cells(number, texts[number], column.words[words[0]])
            known[number] = bool(found[0])
            for table, numbers in ((cells, found[0]), (marks, found[1])):
                for at, one in enumerate(numbers):
                    if at not in table:
                        table[at] = np.full(len(known), -1, dtype=np.int32)
                    table[at][number] = one
        odd[findings.visit_of[rows[strange | ~known[named]]]] = True
        spread = [(rows[some], one[some]) for one, some in _looked_up(cells, named)]
        puts = tuple(Put(at, cell, np.full(len(at), self.code, dtype=np.int32)) for at, cell in spread)
        return quiet, puts, tuple((rows[some], one[some]) for one, some in _looked_up(marks, named))

    def _cells(self, name: int, texts: tuple[str, str], word: str) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """(the cells a name marks as quiet, the numbers of what is marked); nothing where it cannot be read."""
        known = self.names.get(name)
        if known is None:
            row = Row(0, *texts, word)
            try:
                touches = [e for e in self.reader.read(row, REFERENCE) if isinstance(e, Touch)]
                marks = self.reader.marks(row)
            except BadInput:
                touches, marks = [], ()
            groups = [self.codes.groups[self.codes.group_of[t.place, t.side or ""]] for t in touches]
            if touches:
                self.code = self.codes.domains[0].code(touches[:1])
            numbers = tuple(self.marks.setdefault(mark, len(self.marks)) for mark in marks)
            known = self.names[name] = tuple(group.cell + QUIET_CELL for group in groups), numbers
        return known


def _looked_up(tables: dict[int, Small], named: Small) -> Iterator[tuple[Small, Ints]]:
    """(what each table says of every name, where it says anything)."""
    for table in tables.values():
        one = table[named]
        yield one, np.flatnonzero(one >= 0)


def used(codes: NDArray[np.int32] | Ints, size: int) -> Ints:
    """Which of the numbers below `size` occur, in order."""
    flags = np.zeros(size, dtype=np.bool_)
    flags[codes] = True
    return np.flatnonzero(flags)
