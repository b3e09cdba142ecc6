"""What would change my mind? The fewest readings, and of those the fewest points, that change the answer.

In: an `Answer`. Out: an `Overturned`: for the leading cause, the referral and the first step of the plan each, every
smallest change that brings another, or how far the search went without one.
Not here: which readings could have been otherwise (edits), bounds (could_change), sentences.

Sets of one reading are all tried, then of two, then of three. A set whose bounds leave the answer as it is, whatever its
readings were, is passed over, and so is each beginning of a set (its first readings fixed, the rest unknown). Of changes of
as many readings, of which as many are words, those that move the scores by the fewest points are smallest: a word has no
points, so that it is neither smaller nor larger than a number. How much is tried is counted in rows, never by the clock: the
same visit gets the same answer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import reduce
from itertools import islice
from operator import add
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from reasoner.facts.table import column
from reasoner.frozen import frozen
from reasoner.inference.evaluate import evaluate
from reasoner.inference.program import Flags, Floats, Ints
from reasoner.questions.changes import Change, changed
from reasoner.questions.could_change import FIRST_STEP, LEADING, QUESTIONS, REFERRAL, CouldChange
from reasoner.questions.edits import Edit, Unit, over_each_other, units_of
from reasoner.questions.first_steps import FirstSteps
from reasoner.questions.outcomes import causes_of, outcomes_of
from reasoner.questions.rows import Rows

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from reasoner.consult import Answer

MOST_READINGS = 3
WORK = 100_000  # for each question beyond sets of one reading, in rows of the pass: some three seconds
BOUNDS = 6  # what the bounds of a row cost, in such rows
BEGIN = 25  # what it costs to begin a pass at all
AT_ONCE = 512  # sets, or beginnings of sets, held in memory together
Progress = Callable[[str], None]
Number = TypeVar("Number", bound=np.generic)


@frozen
class Overturning:
    """One smallest change. `becomes`: the leading causes as (key, side), or the first step; for the referral the level, and in
    `raised` and `gone` the reasons to call as (key, side, place) that it brings or takes away."""

    edits: tuple[Edit, ...]
    points: float
    becomes: object
    raised: tuple[tuple[str, str, str], ...] = ()
    gone: tuple[tuple[str, str, str], ...] = ()


@frozen
class Found:
    """The answer to one question: all smallest changes, each of `readings` readings; where there are none, up to how many were
    tried. `whole`: every set of so many readings was tried or ruled out, so that nothing smaller or as small is missing;
    otherwise `tried` of `sets` of the last size were."""

    changes: tuple[Overturning, ...]
    readings: int
    whole: bool
    tried: int
    sets: int


@frozen
class Overturned:
    """What would change each part of the answer. `units` readings were open to change; `most_readings` is the cap."""

    leading: Found
    referral: Found
    first_step: Found
    units: int
    unexamined: bool
    most_readings: int


def overturned(
    answer: Answer, *, unexamined: bool = False, work: int = WORK, progress: Progress = lambda _: None
) -> Overturned:
    """The smallest changes; `work` bounds what is tried for each question, in rows of the pass; `progress` is told of it."""
    search = _Search(answer, unexamined, progress)
    progress("changes of one reading")
    found = search.of_one()
    for question in QUESTIONS:
        left = work
        for size in range(2, min(MOST_READINGS, len(search.units)) + 1):
            if found[question].changes or not found[question].whole:
                break
            found[question], left = search.of_several(question, size, left)
    return Overturned(
        found[LEADING], found[REFERRAL], found[FIRST_STEP], len(search.units), unexamined, MOST_READINGS
    )  # fmt: skip


@frozen
class _Changed:
    """What rows came to, beside the answer as it is: which differ, question by question, and the results to tell it from."""

    differs: dict[str, Flags]
    leading: Flags
    level: Ints
    concern: Flags
    first: Ints


class _Best:
    """The smallest changes found so far, by how many of their readings are words."""

    def __init__(self) -> None:
        self.found: dict[int, list[Overturning]] = {}

    def take(self, one: Overturning) -> None:
        words = sum(edit.word for edit in one.edits)
        known = self.found.setdefault(words, [])
        if not known or one.points < known[0].points:
            self.found[words] = [one]
        elif one.points == known[0].points:
            known.append(one)

    def least(self, words: int) -> float:
        """The fewest points so far with so many words; infinity where nothing was found."""
        known = self.found.get(words)
        return known[0].points if known else float("inf")

    def all(self) -> tuple[Overturning, ...]:
        """The smallest changes, scores before words, in an order that is not that of the paper."""
        return tuple(one for words in sorted(self.found) for one in sorted(self.found[words], key=_by_name))


class _Search:
    """The readings of one visit that could have been otherwise, and the answer as it is."""

    def __init__(self, answer: Answer, unexamined: bool, progress: Progress) -> None:
        self.answer, self.progress, self.book = answer, progress, answer.ready.book
        self.rows, self.lean = Rows(answer), answer.ready.lean
        # INVARIANT: both programs are compiled from one network, and so read the same slots.
        assert self.lean.slots == answer.ready.program.slots
        self.steps = FirstSteps(answer)
        base = column(self.lean.slots, answer.facts)
        result = evaluate(self.lean, base)
        self.now = outcomes_of(self.lean, result, self.book)
        self.first = int(self.steps.of(result, base, lambda _: answer.visit)[0])
        self.causes = [tuple(self.lean.meta["conclusions"][n]) for n in causes_of(self.lean, self.book)]
        self.could = CouldChange(answer, self.steps, self.first)
        self.units = sorted(units_of(answer, self.rows, unexamined=unexamined), key=lambda unit: _named(unit.edits[0]))

    # -- one reading -------------------------------------------------------------------------------------------------

    def of_one(self) -> dict[str, Found]:
        """All changes of one reading, for every question at once."""
        best = {question: _Best() for question in QUESTIONS}
        for units in _parts(self.units, AT_ONCE // 16):
            table = np.concatenate([self._table((unit,), _choices((unit,))) for unit in units], axis=1)
            sets = [(edit,) for unit in units for edit in unit.edits]
            self._take(table, sets, best)
        count = len(self.units)
        return {question: Found(best[question].all(), 1, True, count, count) for question in QUESTIONS}

    # -- several -----------------------------------------------------------------------------------------------------

    def of_several(self, question: str, size: int, work: int) -> tuple[Found, int]:
        """(all smallest changes of so many readings, work left); the readings with the most room come first."""
        best, tried = {question: _Best()}, 0
        units = self._by_room(question)
        sets = math.comb(len(units), size)
        for chosen in _parts_of(_combinations(len(units), size), AT_ONCE):
            self.progress(f"changes of {size} readings: {tried:,} of {sets:,} sets")
            tables = np.repeat(self.rows.base[:, None], len(chosen), axis=1)
            for at, numbers in enumerate(chosen):
                self._leave_out(tables, at, [units[n] for n in numbers])
            may, _ = self.could.of(tables, question)
            work -= BEGIN + BOUNDS * len(chosen)
            for at in np.flatnonzero(may).tolist():
                work -= self._through(question, tuple(units[n] for n in chosen[at]), best)
                if work < 0:
                    return Found(best[question].all(), size, False, tried + at, sets), 0
            tried += len(chosen)
            if work < 0 and tried < sets:
                return Found(best[question].all(), size, False, tried, sets), 0
        return Found(best[question].all(), size, True, tried, sets), work

    def _by_room(self, question: str) -> list[Unit]:
        table = np.repeat(self.rows.base[:, None], len(self.units), axis=1)
        for at, unit in enumerate(self.units):
            self._leave_out(table, at, [unit])
        room = np.concatenate([self.could.of(part, question)[1] for part in _columns(table, AT_ONCE)])
        return [self.units[n] for n in np.argsort(-room, kind="stable")]

    def _leave_out(self, table: Floats, column: int, units: Sequence[Unit]) -> None:
        """Make unknown what these readings reach, alone or together."""
        for unit in units:
            table[unit.rows, column] = np.nan
            if over_each_other(units):
                table[self.rows.of_spot(unit.spot), column] = np.nan

    def _through(self, question: str, units: tuple[Unit, ...], best: dict[str, _Best]) -> int:
        """Try every change of exactly these readings that could be among the smallest; how much work it was."""
        work, begun = 0, np.zeros((0, 1), dtype=np.int64)  # chosen edits of the first readings (readings x beginnings)
        together = over_each_other(units)
        words = sum(unit.edits[0].word for unit in units)
        points = [np.array([edit.points for edit in unit.edits]) for unit in units]
        for depth, unit in enumerate(units, 1):
            begun = _longer(begun, len(unit.edits))
            so_far = sum((points[n][begun[n]] for n in range(depth)), np.zeros(begun.shape[1]))
            begun = begun[:, so_far + sum(p.min() for p in points[depth:]) <= best[question].least(words)]
            last = depth == len(units)
            kept = [begun[:, :0]]
            for part in _columns(begun, AT_ONCE):
                table = self._table(units[:depth], part, together=together)
                if last:
                    sets = [tuple(u.edits[n] for u, n in zip(units, some, strict=True)) for some in part.T.tolist()]
                    self._take(table, sets, best)
                elif not together:  # those that bear on one another's rows are judged once all are written
                    for rest in units[depth:]:
                        table[rest.rows] = np.nan
                    part = part[:, self.could.of(table, question)[0]]
                work += BEGIN + table.shape[1] * (1 if last or together else BOUNDS)
                kept.append(part)
            begun = np.concatenate(kept, axis=1)
        return work

    # -- rows --------------------------------------------------------------------------------------------------------

    def _table(self, units: Sequence[Unit], chosen: Ints, *, together: bool = False) -> Floats:
        """The visit's column with the chosen edits of these readings written in, one column a choice."""
        if together:
            edits = ([u.edits[n] for u, n in zip(units, numbers, strict=True)] for numbers in chosen.T.tolist())
            return self.rows.table([_sum(some) for some in edits])
        table = np.repeat(self.rows.base[:, None], chosen.shape[1], axis=1)
        for unit, numbers in zip(units, chosen, strict=True):
            table[unit.rows] = unit.values[:, numbers]
        return table

    def _take(self, table: Floats, sets: Sequence[tuple[Edit, ...]], best: dict[str, _Best]) -> None:
        """Judge the rows and keep what is smallest for each question asked."""
        told = self._judged(table, sets, tuple(best))
        for question, known in best.items():
            for row in np.flatnonzero(told.differs[question]).tolist():
                known.take(self._overturning(question, told, row, sets[row]))

    def _judged(self, table: Floats, sets: Sequence[tuple[Edit, ...]], questions: Sequence[str]) -> _Changed:
        result = evaluate(self.lean, table)
        told = outcomes_of(self.lean, result, self.book)
        first = np.full(table.shape[1], self.first)
        if FIRST_STEP in questions:
            first = self.steps.of(result, table, lambda row: changed(self.answer.visit, _sum(sets[row])))
        differs = {
            LEADING: (told.leading != self.now.leading).any(axis=0),
            REFERRAL: (told.concern != self.now.concern).any(axis=0) | (told.level != self.now.level),
            FIRST_STEP: first != self.first,
        }
        return _Changed(differs, told.leading, told.level, told.concern, first)

    def _overturning(self, question: str, told: _Changed, row: int, edits: tuple[Edit, ...]) -> Overturning:
        edits = tuple(sorted(edits, key=_named))
        points = sum(edit.points for edit in edits)
        if question == LEADING:
            keys = tuple(sorted(self.causes[n] for n in np.flatnonzero(told.leading[:, row]).tolist()))
            return Overturning(edits, points, keys)
        if question == FIRST_STEP:
            return Overturning(edits, points, self.steps.first(int(told.first[row])))
        levels = ("none", *self.book.scales.calls)
        before, after = self.now.concern[:, 0], told.concern[:, row]
        raised, gone = self._concerns(after & ~before), self._concerns(before & ~after)
        return Overturning(edits, points, levels[int(told.level[row])], raised, gone)

    def _concerns(self, flags: Flags) -> tuple[tuple[str, str, str], ...]:
        entries = (self.lean.meta["concerns"][n] for n in np.flatnonzero(flags).tolist())
        return tuple(sorted((key, side, place) for key, side, place, _ in entries))


def _named(edit: Edit) -> tuple[str, ...]:
    return edit.key, edit.side, edit.when, *(edit.about or ("", ""))


def _by_name(one: Overturning) -> tuple[tuple[str, ...], ...]:
    return tuple((*_named(edit), edit.after) for edit in one.edits)


def _sum(edits: Sequence[Edit]) -> Change:
    return reduce(add, (edit.change for edit in edits), Change())


def _choices(units: Sequence[Unit]) -> Ints:
    """Every choice of one edit of each (readings x choices)."""
    return np.indices([len(unit.edits) for unit in units]).reshape(len(units), -1)


def _longer(begun: Ints, edits: int) -> Ints:
    """Every beginning with each edit of one more reading."""
    count = begun.shape[1]
    return np.concatenate([np.repeat(begun, edits, axis=1), np.tile(np.arange(edits), count)[None, :]])


def _combinations(count: int, size: int) -> Iterator[tuple[int, ...]]:
    """Sets of numbers below `count`, those of the lowest numbers first."""
    if size == 0:
        yield ()
        return
    for last in range(size - 1, count):
        for rest in _combinations(last, size - 1):
            yield (*rest, last)


def _parts(units: Sequence[Unit], size: int) -> Iterator[Sequence[Unit]]:
    for start in range(0, len(units), size):
        yield units[start : start + size]


def _parts_of(sets: Iterator[tuple[int, ...]], size: int) -> Iterator[list[tuple[int, ...]]]:
    while part := list(islice(sets, size)):
        yield part


def _columns(table: NDArray[Number], size: int) -> Iterator[NDArray[Number]]:
    for start in range(0, table.shape[1], size):
        yield np.ascontiguousarray(table[:, start : start + size])
