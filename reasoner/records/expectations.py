"""What the plans expected, and what came of it.

In: the visits kept of one horse, and the newest of them. Out: an `Outcome` for every expectation that can be judged.
Not here: what it says of a cause (tried), wording.

An expectation of an earlier plan is judged at the first visit from its day on at which the place was examined; one of the last
plan also before its day, for the two are seldom the same. Whether the step was done is told beside it and changes nothing of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from reasoner.frozen import frozen
from reasoner.records.course import Compared, Comparing
from reasoner.store.history import HeldExpectation, HeldStep

Came = Literal["came_true", "partly", "not", "not_yet", "not_examined"]


@frozen(kw_only=True)
class Outcome:
    """One expectation and what came of it. `plan` and `judged` are numbers of visits (`judged` None: no visit could judge it).

    `came`: "came_true" at what was looked for or below, "partly" better by more than the hand's own error and not there, or there
    by no more than that error (`within_the_hand`), "not", "not_yet" before its day, "not_examined". The track record judges alike
    (records.outcomes).
    """

    plan: int
    judged: int | None
    step: HeldStep
    expected: HeldExpectation
    came: Came
    within_the_hand: bool = False
    compared: Compared | None = None

    @property
    def carried_out(self) -> str:
        """What was told of the step in one word, or an empty string where nobody told."""
        return "" if self.step.told is None else answer_key(self.step.told.answer)


def answer_key(answer: str) -> str:
    """An owner's answer as a key: "not done" and "not_done" are the same.

    >>> answer_key("Not done")
    'not_done'
    """
    return "_".join(answer.casefold().replace("_", " ").split())


def outcomes(plans: Sequence[tuple[HeldStep, ...]], comparing: Comparing) -> tuple[Outcome, ...]:
    """Everything that can be judged, the last plan first. `plans` holds the steps of each visit; that of the newest is not read:
    nothing has come after it."""
    last = len(comparing.visits) - 1
    return tuple(
        outcome
        for plan in range(last - 1, -1, -1)
        for step in plans[plan]
        for expected in step.expects
        for outcome in _judged(plan, step, expected, comparing, newest=plan == last - 1)
    )


def _judged(
    plan: int, step: HeldStep, expected: HeldExpectation, comparing: Comparing, *, newest: bool
) -> Iterator[Outcome]:
    spot = (expected.place, expected.side)
    later = range(plan + 1, len(comparing.visits))
    due = [at for at in later if comparing.visits[at].day >= expected.by]
    course = comparing.course_of.get(spot)
    examined = [at for at in due or later if course is not None and course.examined(at)]
    if not examined:
        if due or newest:
            yield Outcome(plan=plan, judged=None, step=step, expected=expected, came="not_examined")
        return
    if not due and not newest:
        return  # its day has not come, and a newer plan speaks of the place
    at = examined[0] if due else examined[-1]
    compared = comparing.of(spot, plan, at)
    came, within = _came(compared, expected, bool(due))
    yield Outcome(
        plan=plan, judged=at, step=step, expected=expected, came=came, within_the_hand=within, compared=compared
    )


def _came(compared: Compared, expected: HeldExpectation, due: bool) -> tuple[Came, bool]:
    score = compared.later.score if compared.later is not None else None
    if score is not None and score <= expected.to:
        within = compared.change == "within_the_hand"
        return ("partly" if within else "came_true"), within
    if compared.change == "better":
        return "partly", False
    return ("not" if due else "not_yet"), False
