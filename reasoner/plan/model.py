"""The shapes of a referral and a plan.

In: nothing. Out: frozen records that selection fills and rendering reads.
Not here: how they are chosen or said.
"""

from __future__ import annotations

from reasoner.explanation.model import Finding
from reasoner.frozen import frozen


@frozen
class RaisedConcern:
    """A reason to call the veterinarian. `stops` are keys of the list of stops; `released` those that a veterinarian's
    word in this visit opens again. `because` pairs each sign seen with its reason and basis."""

    key: str
    side: str
    place: str
    place_name: str
    words: str
    plain: str
    call: str
    when: str
    stops: tuple[str, ...]
    released: tuple[str, ...]
    while_you_wait: tuple[str, ...]
    tell_the_vet: tuple[str, ...]
    signs: tuple[tuple[str, str, tuple[str, ...]], ...]
    findings: tuple[Finding, ...]
    file: str
    line: int

    @property
    def standing_stops(self) -> tuple[str, ...]:
        """What is still stopped after the veterinarian's word."""
        return tuple(stop for stop in self.stops if stop not in self.released)


@frozen
class Release:
    """A veterinarian's word as it bears on today: what it opens, what it forbids, or why it does not hold."""

    who: str
    seen: str
    until: str
    allows: tuple[str, ...]
    forbids: tuple[str, ...]
    about: tuple[str, ...]
    holds: bool
    closed_because: str
    line: int


@frozen
class Referral:
    """`level` is "none", "routine", "prompt" or "emergency": that of the most pressing concern raised."""

    level: str
    concerns: tuple[RaisedConcern, ...]
    releases: tuple[Release, ...]


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
class OwnerTask:
    """What the owner is asked to do."""

    key: str
    side: str
    words: str
    stop_and_ring_me_if: str
    ring_the_vet_if: str


@frozen
class StepOf:
    """One step of the plan, in order. `because` names the conclusions it answers, `reason` the page's own reason."""

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
    """The owner's first question. `answer` is "as usual", "lightly", "not in this saddle" or "not until the veterinarian
    has seen it"; `because` says what that rests on."""

    answer: str
    because: tuple[str, ...]


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
    not_checked: tuple[str, ...]
