"""Before the visit: the few questions to ask on the telephone.

In: an `Answer`, of an empty visit or of what is known already. Out: `Question`s, the most pressing first.
Not here: sentences. A red flag among the answers means the veterinarian, and no booking.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from reasoner.frozen import frozen
from reasoner.questions.checks import checks_of
from reasoner.questions.next_check import EMERGENCY
from reasoner.questions.telling import Call, Effect, effects_of

if TYPE_CHECKING:
    from reasoner.consult import Answer

MOST = 10
ROUTINE_LEVEL = 1


@frozen
class Question:
    """A question an owner can answer. `flags` are the answers that mean the veterinarian and no booking; `level` the most
    pressing of them, 0 where it has none."""

    effect: Effect
    flags: tuple[Call, ...]
    level: int


def telephone_of(answer: Answer, most: int = MOST) -> tuple[Question, ...]:
    """The `most` most telling questions: by how pressing an answer could be, then by what else it changes.

    None at an emergency: then the veterinarian is telephoned, and nobody is asked anything first.
    """
    if answer.referral.level == EMERGENCY:
        return ()
    checking = answer.ready.book.scales.checking
    asked = set(checking.by_telephone) if checking else set()
    checks = [check for check in checks_of(answer) if check.question and {check.key, check.heading} & asked]
    questions = []
    for effect in effects_of(answer, checks):
        flags = tuple(call for call in effect.calls if call.level > ROUTINE_LEVEL)
        if effect.matters:
            questions.append(Question(effect, flags, max((call.level for call in flags), default=0)))
    questions.sort(key=lambda q: (-q.level, not q.effect.plan, -q.effect.narrows, q.effect.check.walk))
    return tuple(questions[:most])
