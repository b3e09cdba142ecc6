"""Rows of the batch: one visit, and the same visit with some readings written otherwise.

In: an `Answer` and changes. Out: a table of readings, slots x rows, ready for the pass.
Not here: which changes are worth a row, what comes out of them.

INVARIANT: a row equals the column of the edited visit, number for number; only the slots a change reaches are worked out anew.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from reasoner.facts.from_measures import measured_facts, not_by_hand, worked_out
from reasoner.facts.from_visit import SETTLED, facts_of
from reasoner.facts.table import column
from reasoner.inference.program import Floats
from reasoner.inference.slots import split
from reasoner.questions.changes import Change, Spot, by_spot, changed
from reasoner.visit.model import Noted, Touch

NAN = float("nan")

if TYPE_CHECKING:
    from reasoner.consult import Answer


class Rows:
    """What one visit's column becomes under changes."""

    def __init__(self, answer: Answer) -> None:
        self.visit, self.program = answer.visit, answer.ready.program
        self.words, self.book = self.program.meta["words"], answer.ready.book
        # What is worked out from measurements hangs on several entries at once; so does what weighs on every reading.
        self.reaching = {SETTLED, *self.book.vocabulary.measured, *(noted.key for noted in answer.facts.worked_out)}
        self.measured = any(noted.key in self.book.vocabulary.measured for noted in answer.visit.noted)
        self.worked_out = answer.facts.worked_out
        self.base: Floats = column(self.program.slots, answer.facts)[:, 0]

    def table(self, changes: Sequence[Change]) -> Floats:
        """One row of the batch for each change, shape (slots, len(changes)), NaN where nothing is recorded."""
        table = np.repeat(self.base[:, None], len(changes), axis=1)
        for row, change in enumerate(changes):
            rows, values = self.difference(change)
            table[rows, row] = values
        return table

    def difference(self, change: Change) -> tuple[list[int], list[float]]:
        """The rows of the readings table a change reaches, and what then stands in them."""
        if any(key in self.reaching for key, _ in change.spots) or self._measures_otherwise(change):
            whole = column(self.program.slots, measured_facts(changed(self.visit, change), self.words, self.book))[:, 0]
            differs = np.flatnonzero(~((whole == self.base) | (np.isnan(whole) & np.isnan(self.base))))
            return differs.tolist(), whole[differs].tolist()
        touches, noted = by_spot(change.touches), by_spot(change.noted)
        rows: list[int] = []
        values: list[float] = []
        for spot in change.spots:
            reached, become = self._spot(spot, touches.get(spot, ()), noted.get(spot, ()), spot in change.without)
            rows += reached
            values += become
        return rows, values

    def _measures_otherwise(self, change: Change) -> bool:
        """Whether a change of an entry that measures only lean on, such as a horse's weight, changes what follows from them."""
        if not self.measured or not (change.noted or change.without):
            return False
        after = changed(self.visit, change)
        return not_by_hand(after, worked_out(after, self.book)) != self.worked_out

    def of_spot(self, spot: Spot) -> list[int]:
        """The rows of the readings table that hold anything of this place or observation and side."""
        return [row for row, _, _ in self._slots_of.get(spot, ())]

    def _spot(
        self, spot: Spot, touches: Sequence[Touch], noted: Sequence[Noted], gone: bool
    ) -> tuple[list[int], list[float]]:
        """The rows of one spot and what then stands in them: spots do not reach into each other, so each is worked out once."""
        key = (spot, gone, *map(id, touches), *map(id, noted))
        known = self._known.get(key)
        if known is None and len(touches) == 1 and not noted and spot not in self._touches:
            by_quality = self._first_touch(touches[0])
            slots = self._slots_of.get(spot, ())
            become = [by_quality.get(quality, NAN) for _, _, quality in slots]
            known = self._known[key] = ([row for row, _, _ in slots], become, touches, noted)
        if known is None:
            only = replace(
                self.visit, touches=tuple(self._touches.get(spot, ())),
                noted=(*self._noted.get(spot, ()), *self._settled),
            )  # fmt: skip
            change = Change(tuple(touches), tuple(noted), (spot,) if gone else ())
            told = facts_of(changed(only, change), self.words).values
            slots = self._slots_of.get(spot, ())
            become = [told.get(name, NAN) for _, name, _ in slots]
            # The entries themselves are kept, so that no other one can take their place in memory and be taken for them.
            known = self._known[key] = ([row for row, _, _ in slots], become, touches, noted)
        return known[0], known[1]

    def _first_touch(self, touch: Touch) -> Mapping[str, float]:
        """What a place's first touch writes, by quality: the same at every place, so that each kind of touch is read once."""
        kind = replace(touch, place="", side=None, line=0)
        known = self._kinds.get(kind)
        if known is None:
            told = facts_of(replace(self.visit, touches=(kind,), noted=self._settled), self.words).values
            known = self._kinds[kind] = {split(name)[2]: value for name, value in told.items() if name.startswith("|")}
        return known

    @cached_property
    def _kinds(self) -> dict[Touch, Mapping[str, float]]:
        return {}

    @cached_property
    def _known(self) -> dict[tuple[object, ...], tuple[list[int], list[float], Sequence[Touch], Sequence[Noted]]]:
        return {}

    @cached_property
    def _touches(self) -> Mapping[Spot, list[Touch]]:
        return by_spot(self.visit.touches)

    @cached_property
    def _noted(self) -> Mapping[Spot, list[Noted]]:
        return by_spot(self.visit.noted)

    @cached_property
    def _settled(self) -> tuple[Noted, ...]:
        return tuple(n for n in self.visit.noted if n.key == SETTLED)

    @cached_property
    def _slots_of(self) -> Mapping[Spot, list[tuple[int, str, str]]]:
        """(row, slot, quality) of everything read of a spot."""
        found: dict[Spot, list[tuple[int, str, str]]] = {}
        for row, name in enumerate(self.program.slots):
            key, side, quality = split(name)
            found.setdefault((key, side), []).append((row, name, quality))
        return found
