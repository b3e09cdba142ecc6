"""What was done before and changed nothing, step by step: so that a plan does not propose it again without a word.

In: what came of the plans. Out: entries of today's visit, one for each step and side.
Not here: what the choice of steps makes of it (pages of actions, plan.done_before), what it says of a cause (tried).

A step has an entry where the newest time that can be judged was told as carried out, every place it was to change was examined
again in a like state, and none of them was better by more than the hand's own error.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.frozen import frozen
from reasoner.records.course import Comparing
from reasoner.records.expectations import Outcome
from reasoner.records.trace import changed_nothing, judged_last, places_line, step_line
from reasoner.visit.model import Noted, Side, Visit

STEP = "step_without_change"
SIDES: tuple[Side, Side] = ("left", "right")


@frozen(kw_only=True)
class DoneBefore:
    """A step that was carried out and changed nothing; `judged` is the visit that shows it."""

    step: str
    side: str
    judged: Visit
    line: int
    written: str
    told: str


def done_before(by_step: Sequence[Sequence[Outcome]], comparing: Comparing) -> tuple[DoneBefore, ...]:
    """Of each step and side the newest time that can be judged, where it changed nothing. `by_step`: the outcomes of one step of
    one plan each, the newest plan first; one that was done only in part is passed over."""
    known = {word.key for word in comparing.book.vocabulary.observations[STEP].readings}
    oldest = comparing.visits[-1].day.toordinal() - comparing.table.remedies.holds_days
    seen: set[tuple[str, str]] = set()
    found = []
    for some in by_step:
        step = some[0].step
        at, last = (step.key, step.side), judged_last(some)
        whole = some[0].carried_out in comparing.table.carried_out
        if last is None or at in seen or step.key not in known or not whole:
            continue
        seen.add(at)
        if changed_nothing(some) and comparing.visits[last].day.toordinal() >= oldest:
            line = next((o.compared.later.line for o in some if o.compared and o.compared.later), 0)
            found.append(
                DoneBefore(step=step.key, side=step.side, judged=comparing.visits[last], line=line,
                           written=step_line(some, comparing), told=_told(some, comparing))
            )  # fmt: skip
    return tuple(sorted(found, key=lambda one: (one.step, one.side)))


def _told(some: Sequence[Outcome], comparing: Comparing) -> str:
    """What the plan says of it, in a sentence: when it was agreed and done, at which places nothing changed."""
    step = some[0].step
    agreed = comparing.visits[some[0].plan].day.isoformat()
    told = step.told
    by = f" by {told.by}" if told is not None and told.by else ""
    on = f", told{by} on {told.on.isoformat()}" if told is not None else ""
    done = "partly done" if some[0].carried_out == "partly" else "done"
    return f"agreed on {agreed} and {done}{on}; it changed nothing at these places: {places_line(some, comparing.book)}"


def noted_of(found: Sequence[DoneBefore]) -> Iterator[Noted]:
    """The entries; a step without a side is told of both, for the entry has two. Those of one side share one line to rest on,
    so they share its words; what the plan says of each stands in its note."""
    for side in SIDES:
        some = [one for one in found if one.side in ("", side)]
        written = "; ".join(dict.fromkeys(one.written for one in some))
        for one in some:
            yield Noted(
                key=STEP, side=side, value=one.step, written=written, line=some[-1].line, file=some[-1].judged.file,
                about=(one.step, side), note=one.told,
            )  # fmt: skip
