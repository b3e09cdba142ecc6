"""What the records say of a cause: its remedy was carried out, and then.

In: the visits kept of one horse before today, and today's. Out: further entries of today's visit (`Visit.history`).
Not here: what such an entry means (the rules on the pages of causes), wording of pages.

An entry is written only where the step was told as done or partly done and every place it was to change was examined afterwards
in a like state; what was not carried out is never counted as failed. Each says in `written` on which visits it rests.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal

from reasoner.frozen import frozen
from reasoner.records.course import Compared, Comparing, Spot, table_of
from reasoner.records.expectations import Outcome, answer_key, outcomes
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store.history import Held, HeldStep
from reasoner.visit.model import Noted, Side, Visit

NO_CHANGE, BETTER, COUNT = "no_change_after", "better_after", "visits_without_change"
SIDES: tuple[Side, Side] = ("left", "right")


@frozen(kw_only=True)
class Tried:
    """What came of one remedy of one cause. `key` is NO_CHANGE or BETTER; `judged` the visit that shows it."""

    key: str
    cause: str
    side: str
    step: HeldStep
    planned: date
    judged: Visit
    line: int
    written: str


def history_of(held: Sequence[Held], today: Visit, book: Rulebook) -> tuple[Noted, ...]:
    """The entries that earlier visits give to today's. `held` are those before it, in order."""
    if not held:
        return ()
    comparing = Comparing([*(one.visit for one in held), today], book)
    steps = [*(_known(one.steps, today.day) for one in held), ()]
    counted = visits_without_change(steps, comparing)
    return (*_noted(tried(steps, comparing)), *(() if counted is None else (counted,)))


def _known(steps: Iterable[HeldStep], day: date) -> tuple[HeldStep, ...]:
    """The steps as they were known that day: what was told later was not known yet."""
    return tuple(
        step if step.told is None or step.told.on <= day else HeldStep(
            key=step.key, side=step.side, kind=step.kind, words=step.words, answers=step.answers,
            recheck_on=step.recheck_on, expects=step.expects, told=None,
        )
        for step in steps
    )  # fmt: skip


def carried_out(outcome: Outcome, book: Rulebook) -> bool:
    """Whether the step was told as done, or partly: only then is there something to learn from what came after."""
    return outcome.carried_out in table_of(book).carried_out


# -- what came of the remedy of a cause ------------------------------------------------------------------------------------


def tried(plans: Sequence[tuple[HeldStep, ...]], comparing: Comparing) -> tuple[Tried, ...]:
    """What came of the newest remedy of each cause and side that can be judged, by cause and side."""
    book, table = comparing.book, comparing.table
    known = {word.key for word in book.vocabulary.observations[NO_CHANGE].readings}
    oldest = comparing.visits[-1].day.toordinal() - table.remedies.holds_days
    by_step: dict[tuple[int, str, str], list[Outcome]] = {}
    for outcome in outcomes(plans, comparing):
        if carried_out(outcome, book) and outcome.step.kind in table.remedies.kinds:
            by_step.setdefault((outcome.plan, outcome.step.key, outcome.step.side), []).append(outcome)
    found: dict[tuple[str, str], Tried] = {}
    for some in by_step.values():  # the newest plan first, and within it the first step of the plan
        for cause, side in some[0].step.answers:
            if cause not in known or (cause, side) in found:
                continue
            one = _tried(cause, side, some, comparing)
            if one is not None and one.judged.day.toordinal() >= oldest:
                found[cause, side] = one
    return tuple(found[key] for key in sorted(found))


def _tried(cause: str, side: str, some: Sequence[Outcome], comparing: Comparing) -> Tried | None:
    """What a step's outcomes say of one cause; of a step for both sides and a cause on one, those of that side."""
    of_side = [o for o in some if not o.step.side and side and o.expected.side == side]
    own = of_side or list(some)
    pairs = [o.compared for o in own if o.compared is not None]
    if not pairs or len(pairs) < len(own) or any(pair.unlike for pair in pairs):
        return None
    if all(o.came == "not" for o in own) and all(_unchanged(pair) for pair in pairs):
        key = NO_CHANGE
    elif any(pair.change == "better" for pair in pairs) and not any(
        pair.change in ("worse", "refused") for pair in pairs
    ):
        key = BETTER
    else:
        return None
    at = max(o.judged for o in own if o.judged is not None)
    shown = next(pair for pair in pairs if pair.later is not None)
    planned = comparing.visits[own[0].plan].day
    return Tried(
        key=key, cause=cause, side=side, step=own[0].step, planned=planned, judged=comparing.visits[at],
        line=shown.later.line if shown.later is not None else 0, written=_written(own, pairs, planned, comparing),
    )  # fmt: skip


def _unchanged(pair: Compared) -> bool:
    """Nothing got better: no more than the hand's own error, or worse. A reading in words alone says nothing either way."""
    return pair.change in ("within_the_hand", "worse", "refused")


def _written(own: Sequence[Outcome], pairs: Sequence[Compared], planned: date, comparing: Comparing) -> str:
    step, told = own[0].step, own[0].step.told
    places = ", ".join(_pair_words(pair, comparing.book) for pair in pairs)
    hands = {two for o in own if o.judged is not None and (two := comparing.two_hands(o.plan, o.judged))}
    other = "".join(f"; graded by {one} and then by {two}" for one, two in sorted(hands))
    said = f" by {told.by}" if told is not None and told.by else ""
    told_on = f", told{said} on {told.on.isoformat()}" if told is not None else ""
    answer = own[0].carried_out.replace("_", " ")
    return f'"{step.words.rstrip(".")}" ({planned.isoformat()}; {answer}{told_on}): {places}{other}'


def _pair_words(pair: Compared, book: Rulebook) -> str:
    place = book.vocabulary.places.get(pair.place)
    name = " ".join(filter(None, (place.name if place else pair.place.replace("_", " "), pair.side)))
    one, other = (_seen_words(seen.mark, seen.score) if seen else "?" for seen in (pair.earlier, pair.later))
    later = f" on {pair.later.day.isoformat()}" if pair.later is not None else ""
    return f"{name} {one}, then {other}{later}"


def _seen_words(mark: str, score: float | None) -> str:
    return "would not allow touch" if mark == "refused" else "in words" if score is None else f"{score:g}"


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

    A visit counts where a step before it was told as done or partly, a place that a plan of the row looked at was examined again
    in a like state, and none of them is better than at the visit before or at the beginning of the row by more than the hand's
    own error; a better one ends the row. A visit before which nothing was done, or at which nothing of it was examined, neither
    counts nor ends it. None where no visit counts and none is better.
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
    done = comparing.table.carried_out
    return any(step.told is not None and answer_key(step.told.answer) in done for step in steps)


def _hoped_for(steps: Iterable[HeldStep]) -> Iterator[Spot]:
    for step in steps:
        for expected in step.expects:
            yield expected.place, expected.side


def _first_line(visit: Visit) -> int:
    """The line of the visit's first reading, for the trace to point to."""
    return min((touch.line for touch in visit.touches if touch.line), default=1)
