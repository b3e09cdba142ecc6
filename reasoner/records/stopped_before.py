"""What was agreed before and stopped by those at home, so that a plan does not propose it again without a word.

In: the steps of the plans of earlier visits, with what was told of them. Out: texts beside today's visit, one a step and side.
Not here: what a plan makes of them (plan.done_before). They are no finding: no rule reads them, and nothing is learnt of a cause.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from reasoner.records.expectations import answer_key
from reasoner.store.history import HeldStep, Told
from reasoner.visit.model import Noted, Side

KEY = "step_stopped"
STOPPED = "stopped"
SIDES: tuple[Side, Side] = ("left", "right")


def stopped_before(plans: Sequence[Sequence[HeldStep]], days: Sequence[date]) -> Iterator[Noted]:
    """Of each step and side the newest that was told of it, where that was that it was stopped. `plans`: the steps of each visit,
    the oldest first, of the days in `days`."""
    newest: dict[tuple[str, str], tuple[Told, date]] = {}
    for steps, day in zip(plans, days, strict=True):
        newest.update({(step.key, step.side): (step.told, day) for step in steps if step.told is not None})
    for (key, side), (told, day) in newest.items():
        if answer_key(told.answer) == STOPPED:
            where = next((one for one in SIDES if one == side), None)
            said = _words(told, day)
            yield Noted(key=KEY, side=where, value=key, written=said, line=0, kind="text", note=said)


def _words(told: Told, day: date) -> str:
    by = f" by {told.by}" if told.by else ""
    because = told.because.strip().replace('"', "'")
    why = f', in the owner\'s words: "{because}"' if because else ""
    return f"agreed on {day.isoformat()} and stopped, told{by} on {told.on.isoformat()}{why}"
