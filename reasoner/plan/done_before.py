"""What the records say of a step that was done before and changed nothing, or was stopped, as the plan tells it.

In: the visit with what earlier ones say, the rulebook. Out: the sentences of a step, and which steps stand behind the others.
Not here: whether it changed nothing (records), what a page holds back (its own `forbidden_by`).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import cast

from reasoner.rulebook.measures.progress import Progress
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Noted, Visit

STEP, STOPPED = "step_without_change", "step_stopped"
_OPENS = {STEP: "Done before", STOPPED: "Stopped before"}


def told_before(visit: Visit, step: str, side: str) -> tuple[str, ...]:
    """That a step was done before and changed nothing, with days and places, or was stopped, with day and reason; of a step for
    both sides each thing once."""
    return tuple(
        f"{_OPENS[key]}: {note}." for key in _OPENS
        for note in dict.fromkeys(n.note for n in visit.history if n.key == key and n.note and _is_of(n, step, side))
    )  # fmt: skip


def _is_of(noted: Noted, step: str, side: str) -> bool:
    return noted.value == step and (side == "" or noted.side in (None, side))


def _changed_nothing(visit: Visit, step: str, side: str) -> bool:
    return any(noted.key == STEP and noted.note and _is_of(noted, step, side) for noted in visit.history)


def behind(visit: Visit, pages: Iterable[tuple[str, str, str]], book: Rulebook) -> frozenset[tuple[str, str]]:
    """Of these steps (page, side, kind) those that stand behind the others of their kind. Only what the records say is heard
    here, so that the order of a plan is the same whatever is supposed of the visit."""
    if not visit.history or "progress" not in book.measures:
        return frozenset()
    kinds = cast(Progress, book.measures["progress"]).done_before.behind
    return frozenset((key, side) for key, side, kind in pages if kind in kinds and _changed_nothing(visit, key, side))
