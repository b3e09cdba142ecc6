"""Rows of the batch: one visit, and the same visit with some readings written otherwise.

In: an `Answer` and changes. Out: a table of readings, slots x rows, ready for the pass.
Not here: which changes are worth a row, what comes out of them.

INVARIANT: a row equals the column of the edited visit, number for number; only the slots a change reaches are worked out anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from itertools import repeat
from typing import TYPE_CHECKING

import numpy as np

from reasoner.facts.from_visit import SETTLED, facts_of
from reasoner.facts.table import column
from reasoner.inference.program import Floats
from reasoner.inference.slots import split
from reasoner.questions.changes import Change, Spot, changed
from reasoner.visit.model import Noted, Touch, Visit

if TYPE_CHECKING:
    from reasoner.consult import Answer


class Rows:
    """What one visit's column becomes under changes."""

    def __init__(self, answer: Answer) -> None:
        self.visit, self.program = answer.visit, answer.ready.program
        self.words = self.program.meta["words"]
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
        if any(key == SETTLED for key, _ in change.spots):
            # Whether the horse had settled weighs on every reading of the visit.
            whole = column(self.program.slots, facts_of(changed(self.visit, change), self.words))[:, 0]
            reached = np.flatnonzero(~((whole == self.base) | (np.isnan(whole) & np.isnan(self.base))))
            return reached.tolist(), whole[reached].tolist()
        spots = change.spots
        values = facts_of(self._only(spots, change), self.words).values
        rows = [(row, name) for spot in spots for row, name in self._slots_of.get(spot, ())]
        return [row for row, _ in rows], list(map(values.get, (name for _, name in rows), repeat(float("nan"))))

    def of_spot(self, spot: Spot) -> list[int]:
        """The rows of the readings table that hold anything of this place or observation and side."""
        return [row for row, _ in self._slots_of.get(spot, ())]

    def _only(self, spots: Iterable[Spot], change: Change) -> Visit:
        """The edited visit, but for what it says of anything else."""
        touches = tuple(t for spot in spots for t in self._touches.get(spot, ()))
        noted = tuple(n for spot in spots for n in self._noted.get(spot, ()))
        return changed(replace(self.visit, touches=touches, noted=(*noted, *self._settled)), change)

    @cached_property
    def _touches(self) -> Mapping[Spot, list[Touch]]:
        found: dict[Spot, list[Touch]] = {}
        for touch in self.visit.touches:
            found.setdefault((touch.place, touch.side or ""), []).append(touch)
        return found

    @cached_property
    def _noted(self) -> Mapping[Spot, list[Noted]]:
        found: dict[Spot, list[Noted]] = {}
        for noted in self.visit.noted:
            found.setdefault((noted.key, noted.side or ""), []).append(noted)
        return found

    @cached_property
    def _settled(self) -> tuple[Noted, ...]:
        return tuple(n for n in self.visit.noted if n.key == SETTLED)

    @cached_property
    def _slots_of(self) -> Mapping[Spot, list[tuple[int, str]]]:
        found: dict[Spot, list[tuple[int, str]]] = {}
        for row, name in enumerate(self.program.slots):
            key, side, _ = split(name)
            found.setdefault((key, side), []).append((row, name))
        return found
