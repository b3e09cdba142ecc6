"""The shapes of a plan.

In: nothing. Out: frozen records that selection fills and rendering reads.
Not here: how they are chosen or said.
"""

from __future__ import annotations

from reasoner.frozen import frozen


@frozen
class Expected:
    """What a step is expected to change: the soreness at a place, from and to (0-10), within how many days."""

    place: str
    name: str
    side: str
    from_: float | None
    to: float
    by_days: int


@frozen
class LookedFor:
    """What a step is expected to change that is seen and not felt: an entry, from one reading to one of others, in how many
    days."""

    entry: str
    name: str
    side: str
    was: str
    to: tuple[str, ...]
    by_days: int


@frozen
class OwnerTask:
    """What the owner is asked to do."""

    key: str
    side: str
    words: str
    stop_and_ring_me_if: str
    ring_the_vet_if: str


@frozen
class FoldedStep:
    """A step that says what another one says, and is told with it: the step it would have been, and its own reason."""

    key: str
    side: str
    words: str
    reason: str
    file: str


@frozen
class StepOf:
    """One step of the plan, in order. `because` names the conclusions it answers, `reason` the page's own reason.

    `folds` are the steps told with it; what they answer, expect and add to the dose stands in it already. `reckoned` are
    sentences worked out from the measurements of this visit: the dose in numbers, and what it rests on. `done_before`: that
    the records say it was done and changed nothing, with days and places.
    """

    key: str
    kind: str
    side: str
    words: str
    plain: str
    dose: str
    because: tuple[tuple[str, str], ...]
    reason: str
    basis: tuple[str, ...]
    sure: str
    expects: tuple[Expected, ...]
    recheck_days: int | None
    can_mislead: str
    file: str
    folds: tuple[FoldedStep, ...] = ()
    reckoned: tuple[str, ...] = ()
    done_before: tuple[str, ...] = ()
    looks_for: tuple[LookedFor, ...] = ()

    @property
    def parts(self) -> tuple[FoldedStep, ...]:
        """The step by itself, and then those told with it."""
        return (FoldedStep(self.key, self.side, self.words, self.reason, self.file), *self.folds)


@frozen
class Withheld:
    """Something wanted that is not for today, with the sentence why (several where several things hold it back)."""

    key: str
    side: str
    words: str
    kind: str
    because: tuple[str, ...]


@frozen
class Riding:
    """The owner's first question. `answer` is "as usual", "lightly", "not in this saddle", "led, not ridden" or "not until the
    veterinarian has seen it"; `because` says what that rests on. `says` is a page's own answer, where even "not until" would
    promise too much; empty where the answer speaks for itself."""

    answer: str
    because: tuple[str, ...]
    says: str = ""


@frozen
class Plan:
    """The draft plan. At prompt and emergency `steps` is empty: the plan is the veterinarian and the while-you-wait lines."""

    riding: Riding
    steps: tuple[StepOf, ...]
    withheld: tuple[Withheld, ...]
    owner_tasks: tuple[OwnerTask, ...]
    recheck_days: int | None
    recheck_on: str
    cautions: tuple[str, ...]

    @property
    def standing(self) -> frozenset[tuple[str, str]]:
        """(key, side) of every step that stands today, by itself or told with another."""
        return frozenset((one.key, one.side) for step in self.steps for one in step.parts)
