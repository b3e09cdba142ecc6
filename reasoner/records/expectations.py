"""What the plans expected, and what came of it.

In: the visits kept of one horse, and the newest of them. Out: an `Outcome` for every expectation that can be judged.
Not here: what it says of a cause (tried), wording.

An expectation is judged at the first visit from its day on at which the place was examined, if that is no later than the rules
allow (`looked_at` in measures/progress.yaml, which the track record goes by too). Where there is none, a visit before its day
tells that it came true already; of the last plan also that it has not yet, while its day has not come. Whether the step was
done is told beside it and changes nothing of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
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
    (records.outcomes). `days_late`: how many days after the day set the visit was that judged, or, where the place was examined
    again only when it told nothing any more, that visit (0: not after it).
    """

    plan: int
    judged: int | None
    step: HeldStep
    expected: HeldExpectation
    came: Came
    within_the_hand: bool = False
    compared: Compared | None = None
    days_late: int = 0

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
    until = expected.by + timedelta(days=comparing.table.looked_at.within_days)
    day = {at: comparing.visits[at].day for at in range(plan + 1, len(comparing.visits))}
    course = comparing.course((expected.place, expected.side))
    examined = [at for at in day if course is not None and course.examined(at)]
    telling = [at for at in examined if expected.by <= day[at] <= until]
    early = [at for at in examined if day[at] < expected.by]
    due = any(one >= expected.by for one in day.values())

    def told(at: int, came: Came, within: bool) -> Outcome:
        return Outcome(
            plan=plan, judged=at, step=step, expected=expected, came=came, within_the_hand=within,
            compared=comparing.of((expected.place, expected.side), plan, at), days_late=max(0, (day[at] - expected.by).days),
        )  # fmt: skip

    if telling:
        yield told(telling[0], *_came(comparing, plan, telling[0], expected, due=True))
        return
    if early:
        came, within = _came(comparing, plan, early[-1], expected, due=due)
        if came == "came_true" or (newest and not due):
            yield told(early[-1], came, within)
            return
    if due or newest:  # else its day has not come, and a newer plan speaks of the place
        late = next(((day[at] - expected.by).days for at in examined if day[at] > until), 0)
        yield Outcome(plan=plan, judged=None, step=step, expected=expected, came="not_examined", days_late=late)


def _came(comparing: Comparing, plan: int, at: int, expected: HeldExpectation, *, due: bool) -> tuple[Came, bool]:
    compared = comparing.of((expected.place, expected.side), plan, at)
    if expected.words and compared.later is not None and compared.later.word in expected.words:
        return "came_true", False
    score = compared.later.score if compared.later is not None else None
    if score is not None and score <= expected.to:
        within = compared.change == "within_the_hand"
        return ("partly" if within else "came_true"), within
    if compared.change == "better":
        return "partly", False
    return ("not" if due else "not_yet"), False
