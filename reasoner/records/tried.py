"""What the records say of a cause: its remedy was carried out, and then.

In: the visits kept of one horse before today, and today's. Out: further entries of today's visit (`Visit.history`).
Not here: what such an entry means (the rules on the pages of causes), wording of pages.

An entry is written only where the step was told as done and every place it was to change was examined afterwards in a like state;
what was not carried out is never counted as failed, and what was done only in part (`in_part` of measures/progress.yaml) teaches
nothing of cause or step. Each entry says in `written` on which visits it rests.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal

from reasoner.frozen import frozen
from reasoner.records.course import Comparing, Spot, table_of
from reasoner.records.done_before import done_before, noted_of
from reasoner.records.expectations import Outcome, answer_key, outcomes
from reasoner.records.open_call import open_call
from reasoner.records.relapse import relapses, stands, worse_again
from reasoner.records.stopped_before import stopped_before
from reasoner.records.trace import changed_nothing, judged_last, pair_words, step_line
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store.history import Held, HeldStep
from reasoner.visit.model import Noted, Side, Visit

NO_CHANGE, BETTER, RELAPSED, COUNT = "no_change_after", "better_after", "worse_again_after", "visits_without_change"
SIDES: tuple[Side, Side] = ("left", "right")


@frozen(kw_only=True)
class Tried:
    """What came of one remedy of one cause. `key` is NO_CHANGE, BETTER or RELAPSED; `judged` the visit that shows it."""

    key: str
    cause: str
    side: str
    step: HeldStep
    planned: date
    judged: Visit
    line: int
    written: str


def history_of(
    held: Sequence[Held], today: Visit, book: Rulebook, *, known_on: date | None = None
) -> tuple[Noted, ...]:
    """The entries that earlier visits give to today's. `held` are those before it, in order. What owners told up to `known_on` is
    heard, by default up to the day of the visit: what was told later was not known yet."""
    if not held:
        return ()
    comparing = Comparing([*(one.visit for one in held), today], book)
    steps = [*(known(one.steps, known_on or today.day) for one in held), ()]
    of_steps = by_step(steps, comparing)
    single = (
        visits_without_change(steps, comparing),
        times_worse_again(of_steps, comparing),
        open_call(held, today, book),
    )
    return (
        *_noted(tried(steps, comparing)), *noted_of(done_before(of_steps, comparing)),
        *stopped_before(steps[:-1], [one.visit.day for one in held]), *(one for one in single if one is not None),
    )  # fmt: skip


def known(steps: Iterable[HeldStep], day: date) -> tuple[HeldStep, ...]:
    """The steps as they were known that day: what was told later was not known yet."""
    return tuple(
        step if step.told is None or step.told.on <= day else HeldStep(
            key=step.key, side=step.side, kind=step.kind, words=step.words, answers=step.answers,
            recheck_on=step.recheck_on, expects=step.expects, told=None,
        )
        for step in steps
    )  # fmt: skip


def carried_out(outcome: Outcome, book: Rulebook) -> bool:
    """Whether the step was told as done: only then is there something to learn from what came after."""
    return outcome.carried_out in table_of(book).carried_out


def in_part(outcome: Outcome, book: Rulebook) -> bool:
    """Whether the step was told as done only in part."""
    return outcome.carried_out in table_of(book).in_part.answers


def by_step(plans: Sequence[tuple[HeldStep, ...]], comparing: Comparing) -> tuple[tuple[Outcome, ...], ...]:
    """The outcomes of each step that was done, in whole or in part, together; the newest plan first, and within it the first
    step."""
    found: dict[tuple[int, str, str], list[Outcome]] = {}
    for outcome in outcomes(plans, comparing):
        if carried_out(outcome, comparing.book) or in_part(outcome, comparing.book):
            found.setdefault((outcome.plan, outcome.step.key, outcome.step.side), []).append(outcome)
    return tuple(tuple(some) for some in found.values())


def times_worse_again(of_steps: Sequence[Sequence[Outcome]], comparing: Comparing) -> Noted | None:
    """How often the same place came down after a remedy that was done, in whole or in part, and was worse again."""
    return relapses((o for some in of_steps for o in some if _remedy(o, comparing)), comparing)


def _remedy(outcome: Outcome, comparing: Comparing) -> bool:
    return outcome.step.kind in comparing.table.remedies.kinds


# -- what came of the remedy of a cause ------------------------------------------------------------------------------------


def tried(plans: Sequence[tuple[HeldStep, ...]], comparing: Comparing, *, partly: bool = False) -> tuple[Tried, ...]:
    """What came of the newest remedy of each cause and side that can be judged, by cause and side. With `partly` what would have
    been learnt of those that were done only in part: it is told, and no rule hears it."""
    book, table = comparing.book, comparing.table
    causes = {word.key for word in book.vocabulary.observations[NO_CHANGE].readings}
    oldest = comparing.visits[-1].day.toordinal() - table.remedies.holds_days
    found: dict[tuple[str, str], Tried] = {}
    for some in by_step(plans, comparing):
        told = (in_part if partly else carried_out)(some[0], book)
        for cause, side in some[0].step.answers if told and _remedy(some[0], comparing) else ():
            if cause not in causes or (cause, side) in found:
                continue
            one = _tried(cause, side, some, comparing)
            if one is not None and one.judged.day.toordinal() >= oldest:
                found[cause, side] = one
    return tuple(found[key] for key in sorted(found))


def _tried(cause: str, side: str, some: Sequence[Outcome], comparing: Comparing) -> Tried | None:
    """What a step's outcomes say of one cause; of a step for both sides and a cause on one, those of that side."""
    of_side = [o for o in some if not o.step.side and side and o.expected.side == side]
    own = of_side or list(some)
    at = judged_last(own)
    if at is None:
        return None
    pairs = [o.compared for o in own if o.compared is not None]
    line = next(pair.later.line for pair in pairs if pair.later is not None)
    written = step_line(own, comparing)
    if changed_nothing(own):
        key = NO_CHANGE
    elif any(pair.change == "better" for pair in pairs) and not any(
        pair.change in ("worse", "refused") for pair in pairs
    ):
        key = BETTER
        back = list(_back(own, comparing))
        if back:
            key, at, line = RELAPSED, max(one for one, _, _ in back), back[-1][1]
            written += f"; worse again: {', '.join(words for _, _, words in back)}"
    else:
        return None
    return Tried(
        key=key, cause=cause, side=side, step=own[0].step, planned=comparing.visits[own[0].plan].day,
        judged=comparing.visits[at], line=line, written=written,
    )  # fmt: skip


def _back(own: Sequence[Outcome], comparing: Comparing) -> Iterator[tuple[int, int, str]]:
    """Each place that had come down and is worse again now: the visit that shows it, its line there, and both readings."""
    for one in own:
        if one.judged is None or one.compared is None or one.compared.change != "better":
            continue
        spot = (one.expected.place, one.expected.side)
        at = worse_again(comparing, spot, one.judged)
        if at is not None and stands(comparing, spot, at):
            pair = comparing.of(spot, one.judged, at)
            yield at, pair.later.line if pair.later is not None else 0, pair_words(pair, comparing.book)


def _noted(found: Sequence[Tried]) -> Iterator[Noted]:
    """One entry for each cause; a cause without a side is told of both, for the entry has two. What stands in one slot shares its
    words, because a slot has one line to rest on."""
    by_slot: dict[tuple[str, Side], list[Tried]] = {}
    for one in found:
        for side in SIDES:
            if one.side in ("", side):
                by_slot.setdefault((one.key, side), []).append(one)
    for (key, side), some in sorted(by_slot.items()):
        written = "; ".join(dict.fromkeys(one.written for one in some))
        for one in some:
            yield Noted(
                key=key, side=side, value=one.cause, written=written, line=some[-1].line, file=some[-1].judged.file,
                about=(one.cause, side),
            )  # fmt: skip


# -- visits in a row at which nothing was better -----------------------------------------------------------------------------


def visits_without_change(plans: Sequence[tuple[HeldStep, ...]], comparing: Comparing) -> Noted | None:
    """How many visits in a row, up to the newest, nothing was better although something agreed was done.

    A visit counts where a step before it was told as done, in whole or in part, a place that a plan of the row looked at was
    examined again in a like state, and none of them is better than at the visit before or at the beginning of the row by more
    than the hand's own error; a better one ends the row. A visit before which nothing was done, or at which nothing of it was
    examined, neither counts nor ends it. None where no visit counts and none is better.
    """
    row: list[int] = []
    begun, known = 0, False
    for at in range(1, len(comparing.visits)):
        spots = {spot for plan in range(begun, at) for spot in _hoped_for(plans[plan])}
        if not _did_something(plans[at - 1], comparing) or not spots:
            continue
        pairs = [comparing.of(spot, since, at) for spot in sorted(spots) for since in {begun, at - 1}]
        pairs = [pair for pair in pairs if pair.change not in ("not_examined", "not_measured") and not pair.unlike]
        if not pairs:
            continue
        known = True
        if any(pair.change in ("better", "freed") for pair in pairs):
            row, begun = [], at
        else:
            row.append(at)
    if not known:
        return None
    days = [comparing.visits[at].day.isoformat() for at in row]
    since = comparing.visits[begun].day.isoformat()
    last = comparing.visits[row[-1] if row else begun]
    written = f"{len(row)}, at the visits of {', '.join(days)} beside {since}" if row else f"0; better on {since}"
    return Noted(
        key=COUNT, value=Decimal(len(row)), written=written, kind="count", line=_first_line(last), file=last.file
    )


def _did_something(steps: Iterable[HeldStep], comparing: Comparing) -> bool:
    done = (*comparing.table.carried_out, *comparing.table.in_part.answers)
    return any(step.told is not None and answer_key(step.told.answer) in done for step in steps)


def _hoped_for(steps: Iterable[HeldStep]) -> Iterator[Spot]:
    for step in steps:
        for expected in step.expects:
            yield expected.place, expected.side


def _first_line(visit: Visit) -> int:
    """The line of the visit's first reading, for the trace to point to."""
    return min((touch.line for touch in visit.touches if touch.line), default=1)
