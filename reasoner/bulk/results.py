"""From the results of a pass to rows of the table out.

In: a `Result`, what each visit is called, its day. Out: an Arrow table, the visits in order.
Not here: judging, files. The columns are told in the room's own opening.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, Any

import numpy as np
import pyarrow as pa

from reasoner.bulk.columns import EPOCH
from reasoner.bulk.plans import Steps
from reasoner.inference.evaluate import Result
from reasoner.inference.program import Flags, Floats, Ints, Program
from reasoner.rulebook.rulebook import Rulebook

if TYPE_CHECKING:
    from numpy.typing import NDArray

KINDS = ("referral", "concern", "conclusion", "action", "set aside")
REFERRAL, CONCERN, CONCLUSION, ACTION, ASIDE = range(len(KINDS))
STEP, PUT_OFF = "step", "not today"
NONE, AGAINST = "none", "against"


def schema_of(visit: Any, *, ranges: bool, plain: bool) -> Any:
    """The columns of the table out; `visit` is the type of what visits are called. Words are numbered, unless `plain`."""
    words = pa.string() if plain else pa.dictionary(pa.int32(), pa.string())
    named = words if is_text(visit) else visit
    numbers = [("certainty", pa.float64()), *((n, pa.float64()) for n in ("lower", "upper") if ranges)]
    return pa.schema([
        ("visit", named), ("date", pa.date32()), ("kind", words), ("name", words), ("side", words), ("place", words),
        *numbers, ("band", words),
    ])  # fmt: skip


def is_text(kind: Any) -> bool:
    """Whether a column holds texts, in whichever of Arrow's ways."""
    return bool(pa.types.is_string(kind) or pa.types.is_large_string(kind) or kind == pa.string_view())


class Layout:
    """The rows a visit can have: one for the referral, then concerns, conclusions, steps, and what is put off."""

    def __init__(self, program: Program, book: Rulebook, order: list[int]) -> None:
        concerns = program.meta["concerns"]
        conclusions = program.meta["conclusions"]
        actions = program.meta["actions"]
        self.order = np.array(order, dtype=np.int64)
        self.levels = [NONE, *book.scales.calls]
        scales = book.scales
        names = sorted(scales.bands, key=scales.bands.__getitem__)
        self.bands = [AGAINST, NONE, *names, *self.levels[1:], STEP, PUT_OFF]
        at = {word: n for n, word in enumerate(self.bands)}
        self.level_band = np.array([at[word] for word in self.levels], dtype=np.int32)
        # A band begins at its value, the lowest just above it: the scale is asked itself (see below).
        self.edges = np.array(sorted({*(scales.bands.values()), -min(scales.bands.values())}))
        self.between = np.array([at[scales.band(c)] for c in _between(self.edges)], dtype=np.int32)
        self.on = np.array([at[scales.band(c)] for c in self.edges.tolist()], dtype=np.int32)
        rows: list[tuple[int, str, str, str, int]] = [(REFERRAL, "", "", "", -1)]
        rows += [(CONCERN, key, side, place, at[book.concerns[key].call]) for key, side, place, _ in concerns]
        rows += [(CONCLUSION, key, side, "", -1) for key, side in conclusions]
        for band in (STEP, PUT_OFF):
            rows += [(ACTION, actions[n][0], actions[n][1], "", at[band]) for n in order]
        self.words = list(dict.fromkeys(word for row in rows for word in row[1:4] if word))
        number = {"": -1, **{word: n for n, word in enumerate(self.words)}}
        self.kind = np.array([row[0] for row in rows], dtype=np.int32)
        self.name = np.array([number[name] for _, name, _, _, _ in rows], dtype=np.int32)
        self.side = np.array([number[side] for _, _, side, _, _ in rows], dtype=np.int32)
        self.place = np.array([number[place] for _, _, _, place, _ in rows], dtype=np.int32)
        self.band = np.array([row[4] for row in rows], dtype=np.int32)
        self.first_conclusion = 1 + len(concerns)

    def table(
        self, result: Result, level: Ints, steps: Steps, ids: Any, day: Floats, good: Flags,
        ranges: tuple[Floats, Floats] | None = None,
    ) -> Any:  # fmt: skip
        """The rows of these visits. `good`: visits without it have no row here."""
        speaks = result.certainty != 0.0
        flags = np.concatenate([
            np.ones((1, len(good)), dtype=np.bool_), result.concern, speaks, steps.step[self.order],
            steps.put_off[self.order],
        ])  # fmt: skip
        some = np.flatnonzero(flags.any(axis=1))
        told = flags[some] if good.all() else flags[some] & good
        visit, at = np.nonzero(np.ascontiguousarray(told.T))
        row = some[at]
        kind = self.kind[row]
        band = self.band[row]
        conclusions = np.flatnonzero(kind == CONCLUSION)
        number, of = row[conclusions] - self.first_conclusion, visit[conclusions]
        spoken = result.certainty[number, of]
        certainty = np.full(len(row), np.nan)
        certainty[conclusions] = spoken
        band[conclusions] = self.bands_of(spoken)
        referrals = np.flatnonzero(kind == REFERRAL)
        band[referrals] = self.level_band[level[visit[referrals]]]
        numbers = [_numbers(certainty)]
        for bound in ranges or ():
            values = np.full(len(row), np.nan)
            values[conclusions] = bound[number, of]
            numbers.append(_numbers(values))
        columns = [
            _called(ids, visit), pa.array((np.nan_to_num(day)[visit] - EPOCH).astype(np.int32)).cast(pa.date32()),
            _worded(kind, KINDS), _worded(self.name[row], self.words), _worded(self.side[row], self.words),
            _worded(self.place[row], self.words), *numbers, _worded(band, self.bands),
        ]  # fmt: skip
        return pa.Table.from_arrays(columns, schema=schema_of(ids.type, ranges=ranges is not None, plain=False))

    def bands_of(self, certainty: Floats) -> NDArray[np.int32]:
        """The band of each certainty, as a number of `bands`."""
        at = np.searchsorted(self.edges, certainty)
        exact = self.edges.take(at, mode="clip") == certainty
        found: NDArray[np.int32] = np.where(exact, self.on.take(at, mode="clip"), self.between.take(at))
        return found


def aside_rows(visits: list[tuple[Any, int | None, str]], visit: Any, *, ranges: bool) -> Any:
    """Rows for visits that were set aside: (what each is called, its day as an ordinal or None, the first code)."""
    schema = schema_of(visit, ranges=ranges, plain=False)
    count = len(visits)
    empty = pa.nulls(count, pa.float64())
    days = pa.array([None if day is None else day - EPOCH for _, day, _ in visits], pa.int32()).cast(pa.date32())
    codes = sorted({code for *_, code in visits})
    none = _worded(np.full(count, -1, dtype=np.int32), ())
    columns = [
        _called(pa.array([v for v, _, _ in visits], visit), np.arange(count)), days,
        _worded(np.full(count, ASIDE, dtype=np.int32), KINDS),
        _worded(np.array([codes.index(code) for *_, code in visits], dtype=np.int32), codes), none, none, empty,
        *((empty, empty) if ranges else ()), none,
    ]  # fmt: skip
    return pa.Table.from_arrays(columns, schema=schema)


def _between(edges: NDArray[np.float64]) -> list[float]:
    """A certainty below the first edge, one between each two, one above the last."""
    ends = [-1.0, *edges.tolist(), 1.0]
    return [(low + high) / 2 for low, high in itertools.pairwise(ends)]


def _called(ids: Any, visit: Ints) -> Any:
    if not is_text(ids.type):
        return ids.take(pa.array(visit))
    nameless = np.asarray(ids.is_null().to_numpy(zero_copy_only=False))[visit] if ids.null_count else None
    at = pa.array(visit.astype(np.int32), mask=nameless)
    return pa.DictionaryArray.from_arrays(at, ids.cast(pa.string()).fill_null(""))


def _worded(codes: NDArray[np.int32], words: Any) -> Any:
    """Numbers as words; -1 is nothing."""
    none = codes < 0
    indices = pa.array(codes, mask=none) if none.any() else pa.array(codes)
    return pa.DictionaryArray.from_arrays(indices, pa.array(list(words), pa.string()))


def _numbers(values: Floats) -> Any:
    return pa.array(values, mask=np.isnan(values))
