"""What the owner reads of the account and of the plan, in as few lines as it can be said in.

In: an answer, or the steps of a plan. Out: sentences.
Not here: the page (templates/report_owner.html), the owner's own tasks, judging.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from reasoner.explanation.model import Concluded
from reasoner.plan.model import OwnerTask, StepOf
from reasoner.records.editing import MARKED
from reasoner.rendering import both_sides, phrases, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.phrases import sentence

#: How many sentences of the account the owner is told, from the starting points on.
MOST_OBSERVED = 3
#: The kind of step that is done by the practitioner's hands: the owner is told what is done, not each time why.
_BY_HAND = "bodywork"
_TO_THE_PRACTITIONER = re.compile(r"\byour?\b", re.IGNORECASE)


def observed(answer: Answered) -> list[str]:
    """The plain words of the account; where both sides say the same, the second is one short sentence."""
    explanation = answer.explanation
    shown = [explanation.concluded[key] for key in wording.in_account(explanation.account.starting_points)]
    said: list[str] = []
    for place, concluded in enumerate(shown):
        twin = next((c for c in shown if c.key == concluded.key and c.side != concluded.side), None)
        if twin is None or not _mirrored(concluded, twin):
            said.append(concluded.plain)
        elif place < shown.index(twin):
            said.append(f"{concluded.plain} The same was observed on the {twin.side}.")
    told = list(dict.fromkeys(said))
    more = len(told) - MOST_OBSERVED
    return (
        told
        if more <= 0
        else [*told[:MOST_OBSERVED], f"And {phrases.counted(more, 'thing')} that may follow from these."]
    )


def planned(steps: Sequence[StepOf], told: Iterable[str], tasks: Sequence[OwnerTask]) -> list[str]:
    """The plain words of the steps in their order, but for those told by `in_our_hands`; a step that only repeats the one before
    on the other side is joined.

    What was `told` at the head of the page, or stands among the owner's `tasks`, is named in short.
    """
    known = set(told)
    numbers = {(task.key, task.side): f" (see {number} above)" for number, task in enumerate(tasks, 1)}
    shown = [step for step in steps if not _by_hand(step)]
    said: list[str] = []
    for place, step in enumerate(shown):
        before = shown[place - 1] if place else None
        if before is not None and before.key == step.key and _mirrored(before, step):
            said[-1] += f" The same on the {step.side}."
        else:
            yours = next((numbers[part.key, part.side] for part in step.parts if (part.key, part.side) in numbers), "")
            plain = sentence(step.plain)
            short = plain in known or (yours and MARKED not in plain and not _TO_THE_PRACTITIONER.search(step.words))
            said.append(f"{(step.words if short else plain).rstrip('.')}{yours}.")
    return said


def in_our_hands(steps: Sequence[StepOf]) -> list[str]:
    """The work by hand in its order, a short sentence each: what was sore stands in the picture already."""
    pairs = both_sides.paired(
        (step for step in steps if _by_hand(step)),
        lambda one, other: one.key == other.key and both_sides.same_of_both(one.words, other.words),
    )
    return [sentence(both_sides.of_both(pair[0].words) if len(pair) > 1 else pair[0].words) for pair in pairs]


def _by_hand(step: StepOf) -> bool:
    """Whether a step is told in short; what a practitioner wrote for the owner is told as it was written."""
    return step.kind == _BY_HAND and MARKED not in step.plain


def _mirrored(one: Concluded | StepOf, other: Concluded | StepOf) -> bool:
    """Whether the two say the same of the two sides."""
    return bool(one.side) and both_sides.turned(one.plain) == other.plain
