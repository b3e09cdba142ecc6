"""Whether what a step promised came true, told against how far a hand wavers.

In: an expectation, and the readings of the same place or entry on later visits. Out: one of four words.
Not here: whether the step was carried out, counting, the store.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from typing import TypeVar

from reasoner.frozen import frozen
from reasoner.rulebook.scales import ReadingError

CAME_TRUE, PARTLY, NOT, NOT_EXAMINED = "came true", "partly", "not", "not examined"


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


@frozen(kw_only=True)
class HopedWord:
    """What a step looked for that is seen and not felt: an entry that read otherwise, one of `words` by a day. `rank` is how far
    the reading then was from one that asks for nothing (0), None where it is not known."""

    day: date
    by: date
    words: tuple[str, ...]
    rank: int | None


@frozen(kw_only=True)
class Read:
    """One reading of that entry, and its rank."""

    day: date
    word: str
    rank: int


OfADay = TypeVar("OfADay", Graded, Read)


def outcome(hoped: Hoped, later: Iterable[Graded], waver: float, within_days: int) -> tuple[str, date | None]:
    """(outcome, the day of the visit that tells it) of what was felt; see `_first_telling`."""
    told = (one for one in later if one.tells)
    return _first_telling(hoped.day, hoped.by, told, lambda now: judged(hoped, now, waver), within_days)


def outcome_in_words(hoped: HopedWord, later: Iterable[Read], within_days: int) -> tuple[str, date | None]:
    """The same of what was seen."""
    return _first_telling(hoped.day, hoped.by, later, lambda now: judged_word(hoped, now), within_days)


def _first_telling(
    day: date, by: date, later: Iterable[OfADay], judge: Callable[[OfADay], str], within_days: int
) -> tuple[str, date | None]:
    """The first visit on or after the day set tells, if it looked at it and is no later than `within_days` days after it. Where
    there is none, the last visit before that day tells that it came true already, and nothing else."""
    told = sorted((one for one in later if one.day > day), key=lambda one: one.day)
    until = by + timedelta(days=within_days)
    if due := [one for one in told if by <= one.day <= until]:
        return judge(due[0]), due[0].day
    early = [one for one in told if one.day < by]
    if early and judge(early[-1]) == CAME_TRUE:
        return CAME_TRUE, early[-1].day
    return NOT_EXAMINED, None


def judged_word(hoped: HopedWord, now: Read) -> str:
    """One reading in words held against what was looked for: it came true where it is one of the words, partly where it is nearer
    to one that asks for nothing than it was, and not otherwise. A word has no error of reading."""
    if now.word in hoped.words:
        return CAME_TRUE
    return PARTLY if hoped.rank is not None and now.rank < hoped.rank else NOT


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
