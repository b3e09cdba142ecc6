"""From an Arrow table to plain columns: numbers of words and the words, the visit of each row, the day of each visit.

In: a table with one row a finding. Out: `Findings`.
Not here: what the words mean (coding), reading files (parts).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from reasoner.bulk.rows import EXTRAS, Row
from reasoner.frozen import frozen
from reasoner.inference.program import Flags, Floats, Ints
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.rulebook.vocabulary import canonical
from reasoner.visit.dates import FIRST_VISIT, LAST_VISIT, parse_date

if TYPE_CHECKING:
    from numpy.typing import NDArray

register(
    {"BT06": "a column of the table is missing, or stands twice", "BT07": "a column holds neither words nor numbers"}
)

VISIT, DAY, FINDING, SIDE, VALUE = "visit", "date", "finding", "side", "value"
WORDS = (FINDING, SIDE, VALUE, *EXTRAS)
NEEDED = (VISIT, DAY, FINDING, VALUE)
COLUMNS = (VISIT, DAY, *WORDS)
EPOCH = date(1970, 1, 1).toordinal()


@frozen
class Words:
    """A column of words: the number of each row's word (0 where nothing stands) and the words, the first of them empty."""

    codes: NDArray[np.int32]
    words: list[str]


@frozen
class Findings:
    """Rows of findings. `visit_of` gives the visit of each row, `start` where each visit begins (and, last, the number of rows),
    `ids` what each visit is called, `day` its day as an ordinal (NaN where the exact road must look), `number` the number in
    the whole table of the first row here. `odd`: visits that must take the exact road."""

    visit_of: NDArray[np.int32]
    start: Ints
    ids: Any
    day: Floats
    odd: Flags
    columns: Mapping[str, Words]
    days: Words
    number: int = 1

    @property
    def visits(self) -> int:
        """How many visits there are."""
        return len(self.start) - 1

    def rows_of(self, visit: int) -> tuple[Row, ...]:
        """The rows of one visit, as texts."""
        return tuple(self.row(at) for at in range(int(self.start[visit]), int(self.start[visit + 1])))

    def row(self, at: int) -> Row:
        """One row, as texts."""

        def said(name: str) -> str:
            column = self.columns.get(name)
            return "" if column is None else column.words[column.codes[at]]

        when, response, felt, depth, touch, leg = map(said, EXTRAS)
        extras = (when, response, felt, depth, touch, leg)
        day = self.days.words[self.days.codes[at]]
        return Row(self.number + at, said(FINDING), said(SIDE), said(VALUE), extras, day)


def names_of(names: Sequence[str], file: str) -> dict[str, str]:
    """Our name of each column to its name in the table. Raises BadInput (BT06) where a needed one is missing."""
    found: dict[str, str] = {}
    problems: list[Problem] = []
    for name in names:
        word = canonical(name)
        if word in found:
            problems.append(
                Problem(file, 0, "BT06", f'the column "{word}" stands twice in the table.', "Keep one of them.")
            )
        elif word in COLUMNS:
            found[word] = name
    if len(names) == 1 and canonical(names[0]) not in COLUMNS:
        apart = next((mark for mark in (";", "\t", "|") if mark in names[0]), None)
        if apart is not None:
            mark = "tabs" if apart == "\t" else f'"{apart}"'
            said = f"the columns stand apart by {mark}, and commas were expected."
            raise BadInput([Problem(file, 0, "BT06", said, "Save the table again as CSV with commas.")])
    for word in NEEDED:
        if word not in found:
            others = [n for n in names if canonical(n) not in found]
            problems.append(Problem(file, 0, "BT06", f'the column "{word}" is missing; needed are {", ".join(NEEDED)}.',
                                    near_hint(word, others)))  # fmt: skip
    if problems:
        raise BadInput(problems)
    return found


def findings_of(table: Any, file: str = "table", number: int = 1) -> Findings:
    """The plain columns of a table whose visits stand together. Raises BadInput (BT06, BT07)."""
    named = names_of(table.column_names, file)
    visit_of, ids = _visits(_whole(table.column(named[VISIT])))
    rows = len(visit_of)
    start = np.append(np.flatnonzero(np.diff(visit_of, prepend=-1)), rows).astype(np.int64)
    days = words_of(table.column(named[DAY]), file, DAY)
    day, odd = _days(days, visit_of, start)
    columns = {name: words_of(table.column(named[name]), file, name) for name in WORDS if name in named}
    nameless = pc.is_null(ids)
    if not pa.types.is_integer(ids.type):
        nameless = pc.or_kleene(nameless, pc.equal(ids.cast(pa.string()), "")).fill_null(True)
    odd |= np.asarray(nameless.to_numpy(zero_copy_only=False), dtype=np.bool_)
    return Findings(
        visit_of, start, ids, day, odd,
        {name: column for name, column in columns.items() if len(column.words) > 1 or name in NEEDED}, days, number,
    )  # fmt: skip


def _whole(column: Any) -> Any:
    """One array, its dictionary one where it has any, that numbers words with sign."""
    if column.type == pa.string_view():  # most of what Arrow can do, it cannot yet do with these
        column = column.cast(pa.string())
    if pa.types.is_dictionary(column.type) and pa.types.is_unsigned_integer(column.type.index_type):
        column = column.cast(pa.dictionary(pa.int64(), column.type.value_type))
    if pa.types.is_dictionary(column.type) and column.num_chunks > 1:
        column = column.unify_dictionaries()
    return column.combine_chunks() if isinstance(column, pa.ChunkedArray) else column


def _visits(column: Any) -> tuple[NDArray[np.int32], Any]:
    """(the number of the visit of each row, what each is called): a new one begins where the name changes."""
    if isinstance(column, pa.ChunkedArray):
        column = column.chunk(0) if column.num_chunks else pa.array([], column.type)
    rows = len(column)
    if not rows:
        return np.zeros(0, dtype=np.int32), column
    keys = column.indices if pa.types.is_dictionary(column.type) else column
    if pa.types.is_integer(keys.type):
        nothing = -1 if pa.types.is_signed_integer(keys.type) else 0
        low = np.asarray(keys.fill_null(nothing).to_numpy(zero_copy_only=False))
        changes = low[1:] != low[:-1]
        if keys.null_count:
            empty = np.asarray(pc.is_null(keys).to_numpy(zero_copy_only=False))
            changes |= empty[1:] != empty[:-1]
    else:
        one, two = keys.slice(1), keys.slice(0, rows - 1)
        same = pc.fill_null(pc.equal(one, two), False)
        if keys.null_count:
            same = pc.or_(same, pc.and_(pc.is_null(one), pc.is_null(two)))
        changes = ~np.asarray(same.to_numpy(zero_copy_only=False))
    visit_of = np.zeros(rows, dtype=np.int32)
    np.cumsum(changes, out=visit_of[1:])
    first = np.append(0, np.flatnonzero(changes) + 1)
    ids = column.take(pa.array(first))
    return visit_of, ids.dictionary_decode() if pa.types.is_dictionary(ids.type) else ids


def words_of(column: Any, file: str, name: str) -> Words:
    """Any column as numbers of words: texts, numbers and dates alike, each distinct one written out once."""
    if pa.types.is_timestamp(column.type):
        column = column.cast(pa.date32(), safe=False)
    if isinstance(column, pa.ChunkedArray) and column.null_count == len(column):
        return Words(np.zeros(len(column), dtype=np.int32), [""])
    try:
        column = _whole(column)
        if isinstance(column, pa.ChunkedArray):
            column = column.chunk(0)
        if not pa.types.is_dictionary(column.type):
            column = column.dictionary_encode()
        dictionary = column.dictionary.cast(pa.string()).to_pylist()
    except (pa.ArrowInvalid, pa.ArrowNotImplementedError):
        raise BadInput([Problem(file, 0, "BT07", f'the column "{name}" holds neither words nor numbers ({column.type}).',
                                "Write it as text."), ]) from None  # fmt: skip
    indices = column.indices
    codes = np.asarray(indices.fill_null(-1).to_numpy(zero_copy_only=False) if indices.null_count else indices)
    if any(not word for word in dictionary):  # an empty text is nothing written
        places = np.array([0, *(n + 1 if word else 0 for n, word in enumerate(dictionary))], dtype=np.int32)
        codes = places[codes.astype(np.int32) + 1]
    else:
        codes = codes.astype(np.int32)
        codes += 1
    return Words(codes, ["", *(word or "" for word in dictionary)])


def _days(days: Words, visit_of: NDArray[np.int32], start: Ints) -> tuple[Floats, Flags]:
    """The day of each visit, and the visits whose days must be looked at: none, several, or none that is possible."""
    if not len(visit_of):
        return np.zeros(0), np.zeros(0, dtype=np.bool_)
    known = np.array(list(_ordinals(days.words)))
    first = days.codes[start[:-1]]
    differs = (days.codes != first[visit_of]) & (days.codes != 0)
    day: Floats = known[first]
    odd = np.isnan(day)
    odd[visit_of[differs]] = True
    return day, odd


def _ordinals(words: Iterable[str]) -> Iterable[float]:
    for word in words:
        span = parse_date(word.strip())
        exact = not isinstance(span, str) and span.first == span.last and FIRST_VISIT <= span.first <= LAST_VISIT
        yield float(span.first.toordinal()) if exact and not isinstance(span, str) else float("nan")
