"""Whether what a step promised came true, told against how far a hand wavers.

In: an expectation, and the readings of the same place on later visits. Out: one of four words.
Not here: whether the step was carried out, counting, the store.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from reasoner.frozen import frozen
from reasoner.rulebook.practice import TrackSettings
from reasoner.rulebook.scales import ReadingError

CAME_TRUE, PARTLY, NOT, NOT_EXAMINED = "came true", "partly", "not", "not examined"
OUTCOMES = (CAME_TRUE, PARTLY, NOT, NOT_EXAMINED)


@frozen(kw_only=True)
class Hoped:
    """What a step promised of one place and side: from `was` (None: no number was written) down to `to` by a day, in points of
    the soreness scale. `day` is the visit's, `error` how far its examiner's hand wavers (None: nothing says so)."""

    day: date
    by: date
    was: float | None
    to: float
    error: ReadingError | None


@frozen(kw_only=True)
class Graded:
    """One reading of that place before work. `soreness` None: no number; `refused`: the horse would not allow touch."""

    day: date
    soreness: float | None
    refused: bool
    error: ReadingError | None

    @property
    def tells(self) -> bool:
        """Whether it says anything of the soreness."""
        return self.refused or self.soreness is not None


def outcome(hoped: Hoped, later: Iterable[Graded], settings: TrackSettings) -> tuple[str, date | None]:
    """(outcome, the day of the visit that tells it).

    The first visit on or after the day set tells, if it graded the place and is no later than the settings allow. Where there
    is none, the last visit before that day tells that it came true already, and nothing else.
    """
    told = sorted((one for one in later if one.tells and one.day > hoped.day), key=lambda one: one.day)
    until = hoped.by + timedelta(days=settings.looked_at_within_days)
    if due := [one for one in told if hoped.by <= one.day <= until]:
        return judged(hoped, due[0], settings.waver), due[0].day
    early = [one for one in told if one.day < hoped.by]
    if early and judged(hoped, early[-1], settings.waver) == CAME_TRUE:
        return CAME_TRUE, early[-1].day
    return NOT_EXAMINED, None


def judged(hoped: Hoped, now: Graded, waver: float) -> str:
    """One reading held against what was hoped.

    It came true where the soreness is down to what was hoped and fell by more than `waver` standard errors of the difference
    of two readings; partly where it is one of the two and not the other; not where it is neither, or the horse would not
    allow touch. Without a number then, only what was hoped counts.
    """
    if now.refused or now.soreness is None:
        return NOT
    reached = now.soreness <= hoped.to
    if hoped.was is None:
        return CAME_TRUE if reached else NOT
    fell = hoped.was - now.soreness > waver * wavering(hoped.error, now.error)
    if reached and fell:
        return CAME_TRUE
    return PARTLY if reached or fell else NOT


def wavering(one: ReadingError | None, other: ReadingError | None) -> float:
    """The standard error, in points, of the difference of two readings of one place on two days: each wavers by the amount its
    visit shares and by its own, all four independent, so that their variances add. 0 where nothing says how far."""
    return math.sqrt(sum(e.shared**2 + e.noise**2 for e in (one, other) if e is not None))


def together(outcomes: Sequence[str]) -> str:
    """One outcome for several promises of one step or cause at one visit: they stand or fall together, and count once."""
    examined = set(outcomes)
    examined.discard(NOT_EXAMINED)
    if not examined:
        return NOT_EXAMINED
    return examined.pop() if len(examined) == 1 else PARTLY
