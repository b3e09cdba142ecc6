"""What each reading of each check would do: rows of one pass, and of the bounds pass.

In: an `Answer` and checks. Out: an `Effect` for each check.
Not here: which checks are allowed, ranking, sentences.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from reasoner.explanation.from_record import OTHER
from reasoner.explanation.model import Key
from reasoner.frozen import frozen
from reasoner.inference.evaluate import BLOCK, evaluate, run
from reasoner.inference.program import Flags, Floats, Ints
from reasoner.questions.checks import Check, Reading
from reasoner.questions.outcomes import Outcomes, causes_of, outcomes_of, ranges_of
from reasoner.questions.rows import Rows

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from reasoner.consult import Answer


EITHER = "either"
CLOSE = 1e-9


@frozen
class Call:
    """A reading that would raise reasons to call the veterinarian: which, as (key, side, place), and how pressing, from 1."""

    reading: Reading
    concerns: tuple[tuple[str, str, str], ...]
    level: int


@frozen
class Effect:
    """What the readings of one check would do.

    `calls`: the readings that would raise a new reason to call, the most pressing first; `level` is the highest such, 0 for
    none. `plan`: whether some reading changes which actions stand. `narrows`: by how much the ranges of all conclusions
    together narrow, in points of certainty, the mean over its readings. `raises` and `tells_from`: the conclusion that one
    reading brings up most, and another that another reading brings up, where there are such; the side is EITHER where left and
    right would rise alike.
    """

    check: Check
    calls: tuple[Call, ...]
    level: int
    plan: bool
    narrows: float
    raises: Key | None
    tells_from: Key | None

    @property
    def matters(self) -> bool:
        """Whether any reading would change the call or the plan, or narrow any range."""
        return self.level > 0 or self.plan or self.narrows > 0.0


def effects_of(answer: Answer, checks: Sequence[Check]) -> tuple[Effect, ...]:
    """What each check would tell. One row of the pass for every reading."""
    if not checks:
        return ()
    rows = Rows(answer)
    table = rows.table([reading.change for check in checks for reading in check.readings])
    lean, book = answer.ready.lean, answer.ready.book
    base = outcomes_of(lean, evaluate(lean, rows.base[:, None]), book)
    outcomes = outcomes_of(lean, evaluate(lean, table), book)
    wide = widths(answer, rows.base[:, None])[0]
    narrowed = wide - widths(answer, table)
    levels = _levels_of_concerns(answer)
    spots = [(page, side, place) for page, side, place, _ in lean.meta["concerns"]]
    keys = [(key, side) for key, side in lean.meta["conclusions"]]
    causes = causes_of(lean, book)
    effects, start = [], 0
    for check in checks:
        some = slice(start, start + len(check.readings))
        start = some.stop
        calls = tuple(_calls(check, outcomes.concern[:, some] & ~base.concern, levels, spots))
        up, other = _tells(outcomes, base, some, keys, causes)
        effects.append(Effect(
            check=check, calls=calls, level=max((call.level for call in calls), default=0),
            plan=bool((outcomes.stands[:, some] != base.stands).any()),
            narrows=round(float(narrowed[some].mean()), 9) + 0.0, raises=up, tells_from=other,
        ))  # fmt: skip
    return tuple(effects)


def widths(answer: Answer, table: Floats) -> NDArray[np.float64]:
    """The widths of all ranges of each row, added up; shape (rows,)."""
    program = answer.ready.lean
    parts = []
    for at in range(0, table.shape[1], BLOCK // 2):
        block = np.ascontiguousarray(table[:, at : at + BLOCK // 2])
        lower, upper = ranges_of(run(program, block, bounds=True))
        parts.append((upper - lower).sum(axis=0))
    return np.concatenate(parts)


def _levels_of_concerns(answer: Answer) -> list[int]:
    """How pressing each ground concern is, from 1."""
    book = answer.ready.book
    order = list(book.scales.calls)
    return [order.index(book.concerns[page].call) + 1 for page, *_ in answer.ready.lean.meta["concerns"]]


def _calls(check: Check, new: Flags, levels: Sequence[int], spots: Sequence[tuple[str, str, str]]) -> Iterator[Call]:
    """The readings that raise something new, the most pressing first; of each the most pressing alone."""
    found = []
    for number, reading in enumerate(check.readings):
        raised = np.flatnonzero(new[:, number]).tolist()
        if raised:
            most = max(levels[c] for c in raised)
            found.append(Call(reading, tuple(spots[c] for c in raised if levels[c] == most), most))
    yield from sorted(found, key=lambda call: -call.level)


def _tells(
    outcomes: Outcomes, base: Outcomes, some: slice, keys: Sequence[Key], causes: Ints
) -> tuple[Key | None, Key | None]:
    """The conclusion that one reading brings up most, and the one that another reading brings up most instead.

    Causes come before everything else: they are what is to be told apart. Where left and right rise alike, the side is EITHER.
    """
    rise = outcomes.certainty[:, some] - base.certainty
    most = rise.max(axis=1)
    cause = np.zeros(len(keys), dtype=np.bool_)
    cause[causes] = True
    order = [n for n in np.lexsort((-most, ~cause)).tolist() if most[n] > 0.0]
    if not order:
        return None, None

    def sided(number: int) -> Key:
        key, side = keys[number]
        alike = side and any(
            k == (key, OTHER[side]) and abs(most[n] - most[number]) <= CLOSE for n, k in enumerate(keys)
        )
        return key, EITHER if alike else side

    first = order[0]
    at = int(rise[first].argmax())
    for other in order[1:]:
        # Another reading must bring it up, and leave the first where it was: only then does the check tell them apart.
        apart = (rise[other] > 0.0) & (rise[first] <= 0.0)
        if keys[other][0] != keys[first][0] and cause[other] == cause[first] and rise[other, at] <= 0.0 and apart.any():
            return sided(first), sided(other)
    return sided(first), None
