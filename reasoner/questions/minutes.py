"""An examination planned by the clock: greedily, the check that narrows most for each minute it takes.

In: an `Answer` and minutes. Out: `Planned`.
Not here: what a standing sign takes away (next_check), sentences.

What checks together narrow depends on what they find, which nobody knows beforehand. So a few dozen findings are drawn, every
check with one of its readings at random, seeded; the worth of some checks is how much the ranges narrow with their readings
of such a draw written down, in the mean over the draws. Greedy is not always best, and the plan says so.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from reasoner.frozen import frozen
from reasoner.questions.changes import Change
from reasoner.questions.checks import Check, checks_of
from reasoner.questions.next_check import EMERGENCY, first_heading, rank, sifted, walked
from reasoner.questions.rows import Rows
from reasoner.questions.telling import Effect, effects_of, widths

if TYPE_CHECKING:
    from reasoner.consult import Answer

DRAWS = 12
CANDIDATES = 24
Cost = Callable[[Sequence[int]], float]
"""From a set of checks, as numbers, to the minutes it takes."""
Worth = Callable[[Sequence[tuple[int, ...]]], list[float]]
"""From sets of checks, as numbers, to what each narrows."""


@frozen
class Planned:
    """What fits into the minutes. `stop`: an emergency stands. `steps` in walking order; `minutes` what they take together;
    `narrows` what they narrow together, in points of certainty, in the mean over the draws, of `of` that all candidates would."""

    stop: bool
    steps: tuple[Effect, ...] = ()
    minutes: float = 0.0
    narrows: float = 0.0
    of: float = 0.0
    seed: int = 0


def planned_for(answer: Answer, minutes: float, seed: int = 0) -> Planned:
    """The examination for so many minutes. What is open of the first sixty seconds comes first, whatever it narrows."""
    if answer.referral.level == EMERGENCY:
        return Planned(stop=True)
    allowed, _ = sifted(answer, checks_of(answer))
    effects = sorted((effect for effect in effects_of(answer, allowed) if effect.matters), key=rank)
    first = first_heading(answer)
    # The looks of the first sixty seconds are one look: what it takes is counted once, by the longest of them.
    early = [effect for effect in effects if effect.check.heading == first]
    spent = max((effect.check.minutes for effect in early), default=0.0)
    narrow = sorted(
        (e for e in effects if e not in early and e.narrows > 0.0), key=lambda e: -e.narrows / e.check.minutes
    )
    narrow = narrow[:CANDIDATES]
    worth = worth_of(answer, [effect.check for effect in narrow], seed)
    cost = cost_of(answer, [effect.check for effect in narrow])
    chosen = greedy(len(narrow), cost, worth, minutes - spent)
    steps = [*early, *(narrow[n] for n in chosen)]
    gained, of = worth([tuple(chosen), tuple(range(len(narrow)))])
    return Planned(
        stop=False, steps=tuple(walked(answer, steps)), minutes=spent + cost(chosen),
        narrows=gained, of=of, seed=seed,
    )  # fmt: skip


def cost_of(answer: Answer, checks: Sequence[Check]) -> Cost:
    """The minutes that sets of these checks take: each its own, and once for each heading what it takes to begin."""
    checking = answer.ready.book.scales.checking
    begin = checking.minutes_to_begin if checking else {}

    def cost(some: Sequence[int]) -> float:
        headings = {checks[n].heading for n in some}
        return sum(checks[n].minutes for n in some) + sum(begin.get(heading, 0.0) for heading in headings)

    return cost


def greedy(count: int, cost: Cost, worth: Worth, minutes: float) -> list[int]:
    """The numbers chosen, in the order of choosing: each time the check that adds most for each minute and still fits."""
    chosen: list[int] = []
    so_far = spent = 0.0
    while True:
        more = {n: cost([*chosen, n]) - spent for n in range(count) if n not in chosen}
        fits = [n for n, minutes_more in more.items() if spent + minutes_more <= minutes]
        if not fits:
            return chosen
        gains = dict(zip(fits, (gained - so_far for gained in worth([(*chosen, n) for n in fits])), strict=True))
        best = max(fits, key=lambda n: (gains[n] / more[n], -n))
        if gains[best] <= 0.0:
            return chosen
        chosen.append(best)
        so_far += gains[best]
        spent += more[best]


def worth_of(answer: Answer, checks: Sequence[Check], seed: int) -> Worth:
    """How much sets of these checks narrow the ranges, in the mean over the draws."""
    chance = random.Random(seed)
    draws = [[chance.choice(check.readings) for check in checks] for _ in range(DRAWS)]
    rows = Rows(answer)
    wide = float(widths(answer, rows.base[:, None])[0])
    known: dict[tuple[int, ...], float] = {(): 0.0}

    def worth(sets: Sequence[tuple[int, ...]]) -> list[float]:
        new = [tuple(sorted(some)) for some in sets if tuple(sorted(some)) not in known]
        if new:
            changes = [sum((draw[n].change for n in some), Change()) for some in new for draw in draws]
            narrowed = wide - widths(answer, rows.table(changes)).reshape(len(new), DRAWS)
            known.update(zip(new, np.round(narrowed.mean(axis=1), 9).tolist(), strict=True))
        return [known[tuple(sorted(some))] for some in sets]

    return worth
