"""Whether an answer could change at all, from the bounds: readings under study unknown, at their worst and at their best.

In: rows of readings with what is under study left out. Out: for each row whether the leading cause, the referral or the
first step could be another than now. "No" is certain; "yes" means only that the bounds do not rule it out.
Not here: which readings are studied (overturn).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from reasoner.inference.evaluate import Result, run
from reasoner.inference.program import Flags, Floats
from reasoner.questions.first_steps import PRESSING, FirstSteps
from reasoner.questions.outcomes import bands_of, causes_of

if TYPE_CHECKING:
    from reasoner.consult import Answer

LEADING, REFERRAL, FIRST_STEP = QUESTIONS = ("leading", "referral", "first_step")


class CouldChange:
    """The bounds of rows held against the answer as it is now."""

    def __init__(self, answer: Answer, steps: FirstSteps, first: int) -> None:
        self.program, self.book = answer.ready.program, answer.ready.book
        self.steps, self.first = steps, first
        self.causes = causes_of(self.program, self.book)
        self.leaders = self._leaders(answer)

    def _leaders(self, answer: Answer) -> Flags:
        keys = self.program.meta["conclusions"]
        leading = set(answer.explanation.leading)
        return np.array([tuple(keys[n]) in leading for n in self.causes], dtype=np.bool_)

    def of(self, table: Floats, question: str) -> tuple[Flags, Floats]:
        """(could it change, how much room there is for it) of each row; the room only orders what is looked at first."""
        result = run(self.program, table, bounds=True)
        rows = table.shape[1]
        return {LEADING: self._leading, REFERRAL: self._referral, FIRST_STEP: self._first_step}[question](result, rows)

    def _leading(self, result: Result, rows: int) -> tuple[Flags, Floats]:
        weight, band = result.weight[self.causes], bands_of(result.certainty[self.causes], self.book) > 0
        low, high, drawn, may_be = weight[:, :rows], weight[:, rows:], band[:, :rows], band[:, rows:]
        most = np.where(may_be & ~self.leaders[:, None], high, 0).max(axis=0, initial=0).astype(np.float64)
        if not self.leaders.any():
            return np.logical_or.reduce(may_be, axis=0), most
        least = low[self.leaders].min(axis=0)
        certain: Flags = drawn[self.leaders].all(axis=0) & (most < least)
        if self.leaders.sum() > 1:  # they stay level only where none of them can move
            certain &= (low[self.leaders] == high[self.leaders]).all(axis=0)
        return ~certain, most - least

    def _referral(self, result: Result, rows: int) -> tuple[Flags, Floats]:
        open_ = result.concern[:, :rows] != result.concern[:, rows:]
        return open_.any(axis=0), open_.sum(axis=0).astype(np.float64)

    def _first_step(self, result: Result, rows: int) -> tuple[Flags, Floats]:
        open_concerns = (result.concern[:, :rows] != result.concern[:, rows:]).any(axis=0)
        may, must = self._stands(result, rows)
        room = (may != must).sum(axis=0).astype(np.float64) + open_concerns
        if self.steps.needs_visits:  # what a veterinarian's word reaches hangs on more than the concerns
            return np.ones(rows, dtype=np.bool_), room
        # With the concerns that stand at any rate.
        raised, level = result.concern[:, :rows], result.level[:, :rows]
        firsts = [
            self.steps.of(Result(result.certainty, result.weight, raised, stands, ~stands, level))
            for stands in (may, must)
        ]
        # Actions at most and at least: where both begin with the same step on the same sides, every state between does.
        same = (firsts[0] == self.first) & (firsts[1] == self.first)
        settled = same & (~open_concerns | (firsts[0] == PRESSING))
        return ~settled, room

    def _stands(self, result: Result, rows: int) -> tuple[Flags, Flags]:
        """Which actions may stand, and which must: wanted, nothing needed lacking, nothing forbidding."""
        assert result.leaves is not None
        graded, above = result.leaves[1], self.program.fires_above
        wanted = graded[self.program.wanted_row] > above
        ready = graded[self.program.ready_row] > above
        forbidden = graded[self.program.forbid_row] > above
        may = wanted[:, rows:] & ready[:, rows:] & ~forbidden[:, :rows]
        must = wanted[:, :rows] & ready[:, :rows] & ~forbidden[:, rows:]
        return may, must
