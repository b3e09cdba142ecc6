"""A lesson: one judged visit told as a teacher would, from what was found to what remains open.

In: an `Answer`. Out: a `Lesson`.
Not here: words (rendering), and any reckoning of its own: what is likely comes from the explanation, what would turn it from
questions.overturn, what parts two from questions.which_of, what is looked at next from questions.next_check.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from reasoner.explanation.model import Concluded, Finding, Key
from reasoner.frozen import frozen
from reasoner.questions.next_check import EMERGENCY, Next, next_of
from reasoner.teaching.noticed import Noticed, noticed
from reasoner.teaching.rivals import Rival, possible, rivals_of
from reasoner.teaching.threads import Strand, strands_of
from reasoner.teaching.turning import Turning, turning_of

if TYPE_CHECKING:
    from reasoner.consult import Answer

MOST_LOOKS = 8
"""How many looks beyond the first sixty seconds are named, the first few of them outright (rendering)."""


@frozen(kw_only=True)
class Lesson:
    """What a teacher would say of one visit, in the order of saying it.

    `stop`: an emergency stands; then nothing is weighed and nothing is looked at, and only `noticed` is filled. `noticed` are the
    findings in the order of the walk round the horse, `untold` how many more spoke only against something, or for what does not
    stand. `strands` are the conclusions of the account, each starting point followed by what it leads to; `possible` what it
    could be where there is no starting point; `rivals` what else would look like it; `turning` where the account turns;
    `unexplained` what it leaves over; `next` what was not looked at and could still change it. `home` are the conclusions whose
    pages say what an apprentice takes home.
    """

    stop: bool
    noticed: tuple[Noticed, ...]
    untold: int
    strands: tuple[Strand, ...] = ()
    ties: tuple[tuple[Key, ...], ...] = ()
    possible: tuple[Concluded, ...] = ()
    rivals: tuple[Rival, ...] = ()
    turning: Turning | None = None
    unexplained: tuple[Finding, ...] = ()
    next: Next
    home: tuple[Key, ...] = ()

    @property
    def named(self) -> frozenset[Key]:
        """Every conclusion the lesson weighs: those of its strands, its rivals, and what it could be."""
        return frozenset(
            (
                *(strand.weighed.key for strand in self.strands), *(rival.weighed.key for rival in self.rivals),
                *((one.key, one.side) for one in self.possible),
            )
        )  # fmt: skip


def lesson_of(answer: Answer) -> Lesson:
    """The lesson of one visit."""
    told = next_of(answer, MOST_LOOKS)
    if answer.referral.level == EMERGENCY:
        seen, untold = noticed(answer, (), ())
        return Lesson(stop=True, noticed=seen, untold=untold, next=told)
    strands = strands_of(answer.explanation)
    account = answer.explanation.account
    turning = turning_of(answer, strands)
    rivals = rivals_of(answer, strands, turning)
    seen, untold = noticed(
        answer,
        tuple(strand.weighed for strand in strands if strand.leading),
        (*(strand.weighed for strand in strands), *(rival.weighed for rival in rivals)),
    )
    return Lesson(
        stop=False, noticed=seen, untold=untold, strands=strands,
        ties=account.ties if len(account.ties) > 1 else (),
        possible=() if strands else possible(answer.explanation), rivals=rivals, turning=turning,
        unexplained=account.unexplained, next=told, home=_home(strands, answer),
    )  # fmt: skip


def _home(strands: tuple[Strand, ...], answer: Answer) -> tuple[Key, ...]:
    """The leading causes, then the starting points, one of each page: left and right teach the same."""
    leading = set(answer.explanation.leading)
    wanted = [s.weighed.key for s in strands if s.weighed.key in leading] + [s.weighed.key for s in strands if s.start]
    found: dict[str, Key] = {}
    for key in wanted:
        found.setdefault(key[0], key)
    return tuple(found.values())
