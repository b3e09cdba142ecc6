"""Rows to codes: which cell of its visit each row writes, and what.

In: `Findings`. Out: `Coded`, cells and codes for all rows at once.
Not here: what a code stands for (codes), readings tables (fill). Each distinct row is read once, by the exact reader; what it
cannot read, or what only a whole visit can tell, marks the visit as one for the exact road.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from reasoner.bulk.codes import REFERENCE, Codes, cell_in_group, same_side
from reasoner.bulk.columns import FINDING, SIDE, VALUE, Findings, Words
from reasoner.bulk.quiet import Put, Quiets, used
from reasoner.bulk.rows import EXTRAS, NO_EXTRAS, Extras, Row, RowReader, is_quiet
from reasoner.frozen import frozen
from reasoner.inference.program import Flags, Ints
from reasoner.problems import BadInput
from reasoner.questions.changes import spot_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Small = NDArray[np.int32]

#: More distinct words than this are forgotten before the next rows, so that memory stays bounded.
MOST_WORDS = 50_000
MOST_ATOMS = 3
#: Domains of names: those nobody can read, those that take free text, then those of `Codes` in their order.
UNREADABLE, FREE_TEXT, OWN = range(3)
#: Readings: those nobody can read, free text, then those met.
_NO_READING, _TEXT = range(2)


@frozen
class Coded:
    """Everything the rows write; `odd` are the visits for the exact road. `quiet` marks places as quiet, where one place may
    be marked by itself and within its region; what is marked, `marks` (row, number), may stand once in a visit. `measured` are
    the rows from which others are worked out."""

    puts: tuple[Put, ...]
    quiet: tuple[Put, ...]
    marks: tuple[tuple[Ints, Small], ...]
    mark_count: int
    odd: Flags
    measured: Ints


class _Grown:
    """A list of numbers that is an array when it is looked up."""

    def __init__(self, *first: int) -> None:
        self.items = list(first)
        self._array: Small = np.zeros(0, dtype=np.int32)

    def add(self, item: int) -> None:
        self.items.append(item)

    @property
    def array(self) -> Small:
        if len(self._array) != len(self.items):
            self._array = np.array(self.items, dtype=np.int32)
        return self._array


class Coder:
    """Remembers every distinct name and reading it has met."""

    def __init__(self, reader: RowReader, codes: Codes) -> None:
        self.reader, self.codes = reader, codes
        self.texts = {n for n, d in codes.domain_of.items() if n not in reader.vocabulary.places
                      and reader.vocabulary.observations[n].kind == "text"}  # fmt: skip
        self._forget()

    def _forget(self) -> None:
        # Names: (finding, side) to a number; its domain in `table`, its one or two cells (-1: none).
        self.names: dict[tuple[str, str], int] = {}
        self.name_texts: list[tuple[str, str]] = []
        self.keys: list[str] = []
        self.domain, self.one, self.two = _Grown(), _Grown(), _Grown()
        self.quiets = Quiets(self.reader, self.codes)
        # Values: (value, extras) to a number.
        self.values: dict[tuple[str, Extras], int] = {}
        self.value_texts: list[tuple[str, Extras]] = []
        # Readings: up to three cells within the group, and the code for each.
        self.readings: dict[tuple[tuple[int, int], ...], int] = {}
        self.atoms = [(_Grown(-1, 0 if at == 0 else -1), _Grown(0, 1 if at == 0 else 0)) for at in range(MOST_ATOMS)]
        self.table: Small = np.zeros((OWN + len(self.codes.domains), 0), dtype=np.int32)

    def coded(self, findings: Findings) -> Coded:
        """The cells and codes of every row."""
        if len(self.values) > MOST_WORDS or len(self.names) > MOST_WORDS:
            self._forget()
        odd = findings.odd.copy()
        name = self._named(findings)
        domain = self.domain.array[name]
        value = self._valued(findings, domain)
        reading = self.table[domain, value]
        missing = np.flatnonzero(reading < 0)
        if missing.size:
            self._read(name[missing], domain[missing], value[missing])
            reading = self.table[domain, value]
        (cell_at, code_at), *more = self.atoms
        within = cell_at.array[reading]
        self._free_texts(findings, domain, odd)
        puts: list[Put] = []
        quiet, marked, marks = self.quiets.found(findings, name, self.name_texts, odd)
        good = within >= 0
        unread = ~good
        if quiet is not None:
            good &= ~quiet
            unread &= ~quiet
        odd[findings.visit_of[unread]] = True
        measured = self._measured(findings, name, odd)
        every = bool(good.all())
        rows = np.arange(len(name)) if every else np.flatnonzero(good)
        if not every:
            name, within, reading = name[rows], within[rows], reading[rows]
        code = code_at.array[reading]
        puts.append(Put(rows, self.one.array[name] + within, code, every))
        second = self.two.array[name]
        both = np.flatnonzero(second >= 0)
        if both.size:
            puts.append(Put(rows[both], second[both] + within[both], code[both]))
        for cells, codes in more:
            if max(cells.items) >= 0:
                again = cells.array[reading]
                for first in (self.one.array[name], second):
                    some = np.flatnonzero((again >= 0) & (first >= 0))
                    if some.size:
                        puts.append(Put(rows[some], first[some] + again[some], codes.array[reading[some]]))
        return Coded(tuple(puts), marked, marks, len(self.quiets.marks), odd, measured)

    # -- names

    def _named(self, findings: Findings) -> Small:
        """The number of the name and side of each row."""
        finding, side = findings.columns[FINDING], findings.columns.get(SIDE)
        sides = side.words if side is not None else [""]
        pair = finding.codes.astype(np.int64)
        if side is not None:
            pair *= len(sides)
            pair += side.codes
        met = used(pair, len(finding.words) * len(sides))
        number = np.zeros(len(finding.words) * len(sides), dtype=np.int32)
        number[met] = [self._name(finding.words[at // len(sides)], sides[at % len(sides)]) for at in met.tolist()]
        return number[pair]

    def _name(self, finding: str, side: str) -> int:
        known = self.names.get((finding, side))
        if known is not None:
            return known
        known = self.names[finding, side] = len(self.names)
        self.name_texts.append((finding, side))
        try:
            found = self.reader.find(finding, side)
        except BadInput:
            self._add_name("", UNREADABLE, -1, -1)
            return known
        key = found.named.key
        cells = [self.codes.groups[self.codes.group_of[key, s]].cell for s in found.sides]
        domain = FREE_TEXT if key in self.texts else OWN + self.codes.domain_of[key]
        self._add_name(key, domain, cells[0], cells[1] if len(cells) > 1 else -1)
        return known

    def _add_name(self, key: str, domain: int, one: int, two: int) -> None:
        self.keys.append(key)
        self.domain.add(domain)
        self.one.add(one)
        self.two.add(two)

    # -- values

    def _valued(self, findings: Findings, domain: Small) -> Small:
        """The number of the value of each row with all that stands beside it; 0 for free texts, which are all one."""
        column = findings.columns[VALUE]
        matters = domain >= OWN
        extras = [(at, findings.columns[name]) for at, name in enumerate(EXTRAS) if name in findings.columns]
        filled = np.zeros(len(domain), dtype=np.bool_)
        for _, words in extras:
            filled |= words.codes != 0
        self._value("", NO_EXTRAS)
        plain = column.codes if bool(matters.all()) else np.where(matters, column.codes, 0)
        met = used(plain, len(column.words))
        number = np.zeros(len(column.words), dtype=np.int32)
        number[met] = [self._value(column.words[at], NO_EXTRAS) for at in met.tolist()]
        value = number[plain]
        some = np.flatnonzero(filled)
        if some.size:
            numbers: dict[int, int] = {}
            key, sizes = self._key([column, *(words for _, words in extras)], some)
            distinct, where = np.unique(key, return_inverse=True)
            for said in distinct.tolist():
                rest: int = said
                codes: list[int] = []
                for size in reversed(sizes):
                    rest, code = divmod(rest, size)
                    codes.insert(0, code)
                whole = list(NO_EXTRAS)
                for (place, words), code in zip(extras, codes[1:], strict=True):
                    whole[place] = words.words[code]
                numbers[said] = self._value(column.words[codes[0]], tuple(whole))  # type: ignore[arg-type]
            value[some] = np.array([numbers[said] for said in distinct.tolist()], dtype=np.int32)[where]
        self._widen()
        return value

    def _key(self, columns: list[Words], rows: Ints) -> tuple[Any, list[int]]:
        """One number for what several columns say of these rows, and the sizes it is made of."""
        sizes = [len(words.words) for words in columns]
        # Whole numbers of any size where 64 bits do not hold them: a table of nothing but different words.
        kind = np.int64 if math.prod(sizes) < 1 << 62 else object
        key = np.zeros(len(rows), dtype=kind)
        for words, size in zip(columns, sizes, strict=True):
            key = key * size + words.codes[rows]
        return key, sizes

    def _value(self, value: str, extras: Extras) -> int:
        known = self.values.get((value, extras))
        if known is None:
            known = self.values[value, extras] = len(self.values)
            self.value_texts.append((value, extras))
        return known

    def _widen(self) -> None:
        if len(self.values) > self.table.shape[1]:
            wide = max(len(self.values), 2 * self.table.shape[1], 512)
            table = np.full((self.table.shape[0], wide), -1, dtype=np.int32)
            table[:, : self.table.shape[1]] = self.table
            table[UNREADABLE], table[FREE_TEXT] = _NO_READING, _TEXT
            self.table = table

    # -- readings

    def _read(self, names: Small, domains: Small, values: Small) -> None:
        """Read what was not met before: each value of each domain once, by the exact reader."""
        keys = domains.astype(np.int64) * self.table.shape[1] + values
        _, first = np.unique(keys, return_index=True)
        for at in first.tolist():
            name, value = int(names[at]), int(values[at])
            self.table[domains[at], value] = self._reading(name, int(domains[at]) - OWN, value)

    def _reading(self, name: int, domain: int, value: int) -> int:
        (finding, side), (text, extras) = self.name_texts[name], self.value_texts[value]
        if is_quiet(text):
            return _NO_READING  # which places it speaks of depends on the name: see _quiet
        try:
            entries = same_side(self.reader.read(Row(0, finding, side, text, extras), REFERENCE))
            if {spot_of(entry)[0] for entry in entries} != {self.keys[name]}:
                return _NO_READING  # it speaks of more than its name: what else was seen of a leg
            own = self.codes.domains[domain]
            atoms = tuple((cell_in_group(entry), own.code([entry])) for entry in entries)
        except BadInput:
            return _NO_READING
        if len(atoms) > MOST_ATOMS:
            return _NO_READING
        known = self.readings.get(atoms)
        if known is None:
            known = self.readings[atoms] = len(self.atoms[0][0].items)
            for at, (cells, codes) in enumerate(self.atoms):
                cells.add(atoms[at][0] if at < len(atoms) else -1)
                codes.add(atoms[at][1] if at < len(atoms) else 0)
        return known

    # -- what is particular

    def _measured(self, findings: Findings, name: Small, odd: Flags) -> Ints:
        """The rows that are measurements: what is worked out from them hangs on several at once (measuring). Where it hangs on
        other entries too, as on a horse's weight and age, the visit goes the exact road."""
        words = self.reader.vocabulary
        with_others = np.array([key in words.measured_with_others for key in self.keys], dtype=np.bool_)
        if with_others.any():
            odd[findings.visit_of[with_others[name]]] = True
        measured = np.array([key in words.measured for key in self.keys], dtype=np.bool_)
        return np.flatnonzero(measured[name]) if measured.any() else np.zeros(0, dtype=np.int64)

    def _free_texts(self, findings: Findings, domain: Small, odd: Flags) -> None:
        """Free text judges nothing; it must only be text that a visit file may hold."""
        rows = np.flatnonzero(domain == FREE_TEXT)
        if not rows.size:
            return
        column = findings.columns[VALUE]
        met = used(column.codes[rows], len(column.words))
        refusal = self.reader.names.reader.refusal
        bad = np.zeros(len(column.words), dtype=np.bool_)
        bad[met] = [
            not text.strip() or text.lstrip()[0] in "{[" or not text.isprintable() or bool(refusal(text, free=True))
            for text in (column.words[at] for at in met.tolist())
        ]
        doubtful = bad[column.codes[rows]]
        for name in EXTRAS:
            if name in findings.columns:
                doubtful |= findings.columns[name].codes[rows] != 0
        odd[findings.visit_of[rows[doubtful]]] = True
