"""The owner's first question, may the horse be ridden, answered in words.

In: an answer. Out: the answer to it and what that rests on, as every page tells it.
Not here: deciding it (plan/riding.py).
"""

from __future__ import annotations

from reasoner.plan.riding import LED, NOT_UNTIL, USUAL
from reasoner.rendering import first_seconds, phrases
from reasoner.rendering.answered import Answered
from reasoner.rendering.phrases import listed, sentence


def riding(answer: Answered) -> str:
    """The answer to the owner's first question; a veterinarian who has seen it and said no is named."""
    referral, said = answer.referral, answer.plan.riding.answer
    if answer.plan.riding.says:
        return answer.plan.riding.says
    forbidding = referral.forbidding("riding")
    # A pressing sign is for a veterinarian to see, whatever an earlier word forbids.
    if forbidding and all(c.call == "routine" or "riding" in c.released for c in referral.concerns):
        return phrases.RIDING_FORBIDDEN.format(who=listed(dict.fromkeys(forbidding)))
    unseen = first_seconds.unseen_first(answer)
    if said == USUAL and unseen and len(unseen) == len(first_seconds.first(answer)):
        return phrases.NOTHING_SEEN_FIRST
    return phrases.riding(said)


def riding_because(answer: Answered) -> list[str]:
    """What the answer about riding rests on; where that is a step, the step in the plain words of its page. Last, where it lets
    the horse be ridden, what of the first sixty seconds nobody looked at.

    A step that waits is no reason to give while one that stands asks for the same.
    """
    plain = {}
    for step in answer.plan.steps:
        for one in step.parts:
            page = answer.ready.book.actions.get(one.key)
            plain.update({one.reason: step.plain} | ({page.because: step.plain} if page else {}))
    actions = answer.ready.book.actions
    waits = {actions[one.key].because for one in answer.plan.withheld if one.key in actions}.difference(plain)
    standing = [one for one in answer.plan.riding.because if one not in waits]
    said = (sentence(plain.get(one, one)) for one in standing or answer.plan.riding.because)
    told = map(phrases.days_in_words, said)
    return list(dict.fromkeys(filter(None, (*told, unseen_first(answer)))))


def unseen_first(answer: Answered) -> str:
    """What of the first sixty seconds nobody looked at, in a sentence: whoever rides should know. Empty where all of it was
    looked at or nothing was, which the answer itself then says, and where the horse is not ridden anyway."""
    unseen = first_seconds.unseen_first(answer)
    if answer.plan.riding.answer in (LED, NOT_UNTIL) or not 0 < len(unseen) < len(first_seconds.first(answer)):
        return ""
    return phrases.UNSEEN_FIRST.format(names=listed(first_seconds.unseen_names(answer)))
