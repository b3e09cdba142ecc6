"""Suppose some readings were otherwise: before and after.

In: an `Answer` and a `Change`. Out: `Supposed`.
Not here: reading the new words (written), sentences. The visit is judged anew as if the file had been edited, nothing less.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from reasoner.consult import judge
from reasoner.differences import Change as Difference
from reasoner.differences import changes_between
from reasoner.frozen import frozen
from reasoner.inference.record import Applied
from reasoner.questions.changes import Change, changed

if TYPE_CHECKING:
    from reasoner.consult import Answer


@frozen
class Supposed:
    """The answer as it stands and as supposed, what differs, and the rules that started and stopped speaking."""

    before: Answer
    after: Answer
    differences: tuple[Difference, ...]
    started: tuple[Applied, ...]
    stopped: tuple[Applied, ...]


def suppose(answer: Answer, change: Change) -> Supposed:
    """The visit judged again with the change made."""
    after = judge(changed(answer.visit, change), answer.ready)
    was, is_ = ({(r.id, r.side): r for r in one.record.applied if r.degree > 0.0} for one in (answer, after))
    return Supposed(
        before=answer, after=after, differences=changes_between(answer, after),
        started=tuple(rule for key, rule in is_.items() if key not in was),
        stopped=tuple(rule for key, rule in was.items() if key not in is_),
    )  # fmt: skip
