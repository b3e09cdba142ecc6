"""What the records say of a step that was done before and changed nothing, as the plan tells it.

In: the visit with what earlier ones say, the rulebook. Out: the sentences of a step, and which steps stand behind the others.
Not here: whether it changed nothing (records), what a page holds back (its own `forbidden_by`).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import cast

from reasoner.rulebook.measures.progress import Progress
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

STEP = "step_without_change"


def told_before(visit: Visit, step: str, side: str) -> tuple[str, ...]:
    """That a step was done before and changed nothing, with days and places; of a step for both sides each thing once."""
    notes = (
        noted.note for noted in visit.history
        if noted.key == STEP and noted.value == step and noted.note and side in ("", noted.side)
    )  # fmt: skip
    return tuple(f"Done before: {note}." for note in dict.fromkeys(notes))


def behind(visit: Visit, pages: Iterable[tuple[str, str, str]], book: Rulebook) -> frozenset[tuple[str, str]]:
    """Of these steps (page, side, kind) those that stand behind the others of their kind. Only what the records say is heard
    here, so that the order of a plan is the same whatever is supposed of the visit."""
    if not visit.history or "progress" not in book.measures:
        return frozenset()
    kinds = cast(Progress, book.measures["progress"]).done_before.behind
    return frozenset((key, side) for key, side, kind in pages if kind in kinds and told_before(visit, key, side))
