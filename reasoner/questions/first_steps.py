"""The first step of the plan in each of many rows.

In: the result of a pass over rows, and where a veterinarian's word stands in the visit also the rows as visits. Out: which first
step each row has. Not here: making the rows, whole plans (plan.selection, which settles on one visit what may stand).

The first step is the first action in the plan's order that is wanted, not held, and not stopped by the referral: one change of
tack at a time and how many steps a day holds bear on later ones only. What a referral stops is asked of the plan's own code: once
for each concern where no veterinarian's word stands, since the concerns then stop each by itself; else once for each different
set of concerns and of what they rest on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from reasoner.facts.from_measures import measured_facts
from reasoner.facts.table import column
from reasoner.inference.evaluate import BLOCK, Result, run
from reasoner.inference.program import Flags, Floats, Ints
from reasoner.inference.record import Record
from reasoner.plan.concerns import Referral
from reasoner.plan.done_before import behind
from reasoner.plan.model import Plan
from reasoner.plan.referral import raised_concern, referral_of
from reasoner.plan.selection import CALL, Wanted, order_of, stopped_by_referral
from reasoner.visit.model import Visit

if TYPE_CHECKING:
    from reasoner.consult import Answer

ROUTINE = "routine"
First = tuple[tuple[str, str], ...]
"""The first step: its page with each side it stands for today (neither side comes first); or one of the two below."""
VETERINARIAN: First = (("veterinarian", ""),)
NOTHING: First = ()
NO_PAGE, PRESSING = -2, -1


def first_of(plan: Plan, referral: Referral) -> First:
    """The first step of a plan; where it has none, the veterinarian if the call is pressing, else nothing."""
    if plan.steps:
        return tuple((s.key, s.side) for s in plan.steps if s.key == plan.steps[0].key)
    return VETERINARIAN if referral.level not in ("none", ROUTINE) else NOTHING


class FirstSteps:
    """What the first step is, row by row, for one visit and its what-ifs."""

    def __init__(self, answer: Answer) -> None:
        self.visit, self.ready, self.book = answer.visit, answer.ready, answer.ready.book
        self.program = answer.ready.program
        actions = [
            Wanted(self.book.actions[key], side, (), (), tuple((p, s) for p, s in works_on))
            for key, side, _, _, _, works_on in self.program.meta["actions"]
        ]
        back = behind(self.visit, ((one.page.id, one.side, one.page.kind) for one in actions), self.book)
        self.order = sorted(range(len(actions)), key=lambda n: order_of(actions[n], self.book, back))
        self.actions = [actions[n] for n in self.order]
        ids = [one.page.id for one in self.actions]
        self.pages = list(dict.fromkeys(ids))
        self.starts = [ids.index(page) for page in self.pages]
        turns = [n - ids.index(page) for n, page in enumerate(ids)]
        self.bits = 1 << np.array(turns, dtype=np.int64)[:, None]  # one for each side of a page
        self._alone: dict[int, Flags] = {}

    @property
    def needs_visits(self) -> bool:
        """Whether a veterinarian's word stands in the visit, so that the rows are asked for as visits."""
        return bool(self.visit.vets_words)

    def of(self, result: Result, readings: Floats | None = None, edited: Callable[[int], Visit] | None = None) -> Ints:
        """A number for the first step of each row, (rows,); `first` tells what it means.

        With a veterinarian's word the rows are also needed as a table over the full program's slots and as visits.
        """
        if not self.actions:
            free = np.zeros((0, result.level.shape[1]), dtype=np.bool_)
        else:
            free = (result.wanted & ~result.held)[self.order]
        if not self.needs_visits:
            free &= ~self._stopped_alone(result.concern)
        else:
            assert readings is not None
            assert edited is not None
            free &= ~self._stopped_together(result.concern, readings, edited)
        return self._numbered(free, result.level)

    def first(self, number: int) -> First:
        """The first step of a number."""
        if number < 0:
            return VETERINARIAN if number == PRESSING else NOTHING
        page, sides = divmod(number, 8)
        start = self.starts[page]
        return tuple((self.pages[page], self.actions[start + n].side) for n in range(3) if sides >> n & 1)

    def _numbered(self, free: Flags, level: Flags) -> Ints:
        pressing = level[self._pressing_levels].any(axis=0)
        out = np.where(pressing, PRESSING, NO_PAGE)
        if not self.actions:
            return out
        codes = np.add.reduceat(free * self.bits, self.starts, axis=0)
        page = (codes != 0).argmax(axis=0)
        told = codes[page, np.arange(codes.shape[1])]
        return np.where(told > 0, page * 8 + told, out)

    @cached_property
    def _pressing_levels(self) -> list[int]:
        return [n for n, call in enumerate(self.book.scales.calls) if call != ROUTINE]

    # -- what the referral stops -------------------------------------------------------------------------------------

    def _stops(self, referral: Referral) -> Flags:
        """Which of the actions, in the plan's order, this referral holds back."""
        pressing = any(concern.call != ROUTINE for concern in referral.concerns)
        return np.array(
            [
                (pressing and one.page.kind == CALL)
                or next(stopped_by_referral(one, referral, self.book), None) is not None
                for one in self.actions
            ],
            dtype=np.bool_,
        )

    def _stopped_alone(self, concern: Flags) -> Flags:
        """Without a veterinarian's word: what any concern raised stops by itself (actions x rows)."""
        stopped = np.zeros((len(self.actions), concern.shape[1]), dtype=np.bool_)
        for number in np.flatnonzero(concern.any(axis=1)).tolist():
            if number not in self._alone:
                key, side, place, _ = self.program.meta["concerns"][number]
                raised = raised_concern((key, side, place), (), (), self.book)
                self._alone[number] = self._stops(Referral(raised.call, (raised,), ()))
            stopped[self._alone[number]] |= concern[number]
        return stopped

    def _stopped_together(self, concern: Flags, readings: Floats, edited: Callable[[int], Visit]) -> Flags:
        """With a veterinarian's word, which is about some findings: one referral for each different state of them."""
        rests = self._rests_on(np.flatnonzero(concern.any(axis=1)).tolist(), readings)
        state = np.packbits(np.concatenate([concern, rests]), axis=0)
        _, first, back = np.unique(state, axis=1, return_index=True, return_inverse=True)
        stops = [self._stops(self._referral(edited(row))) for row in first.tolist()]
        found = np.array(stops, dtype=np.bool_).reshape(len(stops), len(self.actions))
        together: Flags = found[back.reshape(-1)].T
        return together

    def _referral(self, visit: Visit) -> Referral:
        facts = measured_facts(visit, self.program.meta["words"], self.book)
        record = Record(self.program, run(self.program, column(self.program.slots, facts)))
        return referral_of(record, facts, visit, self.book)

    def _rests_on(self, concerns: Iterable[int], readings: Floats) -> Flags:
        """Whether each leaf below the signs of these concerns speaks: it decides which findings a concern is about."""
        columns = np.array(sorted({leaf for number in concerns for leaf in self._leaves(number)}), dtype=np.int64)
        at = self.program.truth_from[np.concatenate([2 * columns, 2 * columns + 1])]
        parts = []
        for start in range(0, readings.shape[1], BLOCK):
            leaves = run(self.program, np.ascontiguousarray(readings[:, start : start + BLOCK])).leaves
            assert leaves is not None
            crisp, graded = leaves
            parts.append(np.where(at[:, None] < len(crisp), crisp[np.minimum(at, len(crisp) - 1)] > 0,
                                  graded[np.maximum(at - len(crisp), 0)] > 0.0))  # fmt: skip
        return np.concatenate(parts, axis=1)

    def _leaves(self, concern: int) -> list[int]:
        if concern not in self._leaves_of:
            signs = self.program.meta["concerns"][concern][3]
            self._leaves_of[concern] = [leaf for sign in signs for leaf in self._record.leaves(sign)]
        return self._leaves_of[concern]

    @cached_property
    def _leaves_of(self) -> dict[int, list[int]]:
        return {}

    @cached_property
    def _record(self) -> Record:
        """Any record of the program: only the meaning of its columns is read."""
        slots = self.program.slots
        return Record(self.program, run(self.program, np.full((len(slots), 1), np.nan)))
