"""The page of `reasoner plan`: may it be ridden, then the steps in order, what waits and why, the owner's tasks.

In: an answer. Out: lines for the terminal, or plain text.
Not here: choosing or ordering steps; the plan has done so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from itertools import zip_longest

from reasoner.plan.model import Expected, LookedFor, OwnerTask, Plan, StepOf, Withheld
from reasoner.rendering import both_sides, first_seconds, phrases, riding_words, shared_text, short_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.phrases import listed, of_ten, rest, sentence
from reasoner.rendering.text_page import GAP, USUAL, Line, heading, plain_text
from reasoner.visit.model import Visit

#: Letters of a dose on the short page; it is cut between sentences, and the cut is marked.
MOST_OF_A_DOSE = 230


def plan_text(answer: Answered, width: int = USUAL) -> str:
    """The page as plain text."""
    return plain_text(plan_lines(answer), width)


def plan_lines(answer: Answered, *, full: bool = True) -> Iterator[Line]:
    """The page, line by line; short of `full` each step with its dose and a one-line reason."""
    plan = answer.plan
    yield from _riding(answer, full)
    yield GAP
    yield from shared_text.opening(answer)
    yield Line(phrases.DRAFT_PLAN, "faint")
    if answer.referral.concerns:
        yield from (shared_text if full else short_text).referral(answer)
    yield from _steps(answer, full)
    yield from _not_today(plan, full)
    yield from _tasks(plan)
    yield from _expected(plan, answer.visit)
    if full:
        yield from _not_checked(answer)
        yield from shared_text.cautions(plan.cautions)
        return
    if answer.explanation.not_checked or first_seconds.unseen_line(answer):
        yield from short_text.not_checked(answer, "not checked, so the plan does not know it")
    yield from short_text.cautions(answer, plan.cautions)
    yield GAP
    yield Line(phrases.FOLDED_PLAN, "faint")


def _not_checked(answer: Answered) -> Iterator[Line]:
    words, left_out = answer.ready.book.vocabulary, first_seconds.later(answer, answer.explanation.not_checked)
    groups = first_seconds.unseen_group(answer)
    groups += wording.unchecked_by_region(left_out, words, wording.touched(answer.visit))
    if groups:
        yield from heading("not checked, so the plan does not know it")
    for group, names in groups:
        yield Line(names, "open", mark=f"{group}:")


def _riding(answer: Answered, full: bool) -> Iterator[Line]:
    question = phrases.RIDING_QUESTION.format(name=answer.visit.horse_name or "the horse")
    yield Line(f"{question} {riding_words.riding(answer)}", "title")
    concerns = () if full else {sentence(c.words) for c in answer.referral.concerns}  # told right below
    for because in riding_words.riding_because(answer):
        if because not in concerns:
            yield Line(because, mark="-")


def _steps(answer: Answered, full: bool) -> Iterator[Line]:
    plan = answer.plan
    yield from heading("steps, in this order")
    if not plan.steps:
        urgent = answer.referral.level in ("prompt", "emergency")
        yield Line(phrases.NO_STEPS_UNTIL_SEEN if urgent else phrases.NO_STEPS)
    for number, pair in enumerate(both_sides.paired(plan.steps, same_step), 1):
        if number > 1 and full:
            yield GAP
        yield from _step(pair, number, answer) if full else _short_step(pair, number)


def same_step(one: StepOf, other: StepOf) -> bool:
    """Whether two steps say the same of the two sides, dose and reason included."""
    return (one.key, {one.side, other.side}) == (other.key, {"left", "right"}) and all(
        both_sides.same_of_both(a, b)
        for a, b in (
            *((one.words, other.words), (one.dose, other.dose), (one.reason, other.reason)),
            *zip_longest(one.reckoned, other.reckoned, fillvalue=""),
        )
    )


def _said(pair: Sequence[StepOf] | Sequence[Withheld]) -> str:
    return both_sides.of_both(pair[0].words) if len(pair) > 1 else pair[0].words


def _short_step(pair: Sequence[StepOf], number: int) -> Iterator[Line]:
    step = pair[0]
    yield Line(_said(pair), "strong", 0, f"{number}.", hang=3)
    for said in dict.fromkeys(words for one in pair for words in one.done_before):
        yield Line(said, "open", 3, "before", hang=7)
    if step.dose:
        yield Line(phrases.opening_of(step.dose, MOST_OF_A_DOSE), indent=3, mark="how", hang=4)
    if step.reckoned:
        yield Line(step.reckoned[0], indent=3, mark="here", hang=5)
    if step.reason:
        yield Line(phrases.first_sentence(step.reason), indent=3, mark="why", hang=4)


def _step(pair: Sequence[StepOf], number: int, answer: Answered) -> Iterator[Line]:
    step = pair[0]
    yield Line(_said(pair), "strong", 0, f"{number}.", f"{step.file}", 3)
    for said in dict.fromkeys(words for one in pair for words in one.done_before):
        yield Line(said, "open", 3, "before", hang=8)
    if step.dose:
        yield Line(step.dose, indent=3, mark="how", hang=8)
    for worked_out in step.reckoned:
        yield Line(worked_out, indent=3, mark="here", hang=8)
    for reason in dict.fromkeys((step.reason, *(one.reason for one in step.folds))):
        if reason:
            yield Line(reason, indent=3, mark="why", hang=8)
    for words in dict.fromkeys(words for one in pair for _, words in one.because):
        yield Line(words, indent=3, mark="answers", hang=8)
    for expected in (e for one in pair for e in one.expects):
        yield Line(expected_words(expected), indent=3, mark="look for", hang=9)
    for looked in (one for each in pair for one in each.looks_for):
        yield Line(looked_words(looked), indent=3, mark="look for", hang=9)
    if step.can_mislead:
        yield Line(step.can_mislead, "faint", 3, "mind", hang=8)
    yield Line(f"rests on {wording.basis(step.basis, answer.ready.book)}", "faint", 3)


def expected_words(expected: Expected) -> str:
    """What is looked for after a step, which is no promise: "withers, left: 2 of 10 or less (5 today), within 14 days"."""
    name = phrases.at_side(expected.name, expected.side)
    today = f" ({expected.from_:g} today)" if expected.from_ is not None else ""
    return f"{name}: {of_ten(expected.to)} or less{today}, within {phrases.counted(expected.by_days, 'day')}"


def looked_words(looked: LookedFor) -> str:
    """What is seen again after a step: "hind step, left: even (slight today), within 42 days"."""
    name = phrases.at_side(looked.name, looked.side)
    hoped = " or ".join(map(phrases.plain, looked.to))
    return f"{name}: {hoped} ({phrases.plain(looked.was)} today), within {phrases.counted(looked.by_days, 'day')}"


def seen_by(plan: Plan) -> list[tuple[int, list[LookedFor]]]:
    """What should be seen again, gathered by the number of days, soonest first; of one entry the soonest."""
    groups: dict[int, list[LookedFor]] = {}
    known = set()
    for looked in sorted((one for step in plan.steps for one in step.looks_for), key=lambda one: one.by_days):
        if (looked.entry, looked.side) not in known:
            known.add((looked.entry, looked.side))
            groups.setdefault(looked.by_days, []).append(looked)
    return list(groups.items())


def withheld_groups(withheld: tuple[Withheld, ...]) -> list[tuple[tuple[str, ...], list[Withheld]]]:
    """Things not for today, gathered by what holds them back, in the order given."""
    groups: dict[tuple[str, ...], list[Withheld]] = {}
    for one in withheld:
        groups.setdefault(one.because, []).append(one)
    return list(groups.items())


def _not_today(plan: Plan, full: bool) -> Iterator[Line]:
    if plan.withheld:
        yield from heading("not today")
    for because, held in withheld_groups(plan.withheld):
        for pair in both_sides.paired(held, same_held):
            yield Line(_said(pair), mark="-")
        for reason in because if full else because[:1]:
            yield Line(sentence(reason), "body" if full else "faint", indent=2, hang=0)
        if len(because) > 1 and not full:
            yield Line(f"(and {phrases.counted(len(because) - 1, 'more reason')}: --full)", "faint", 2)


def same_held(one: Withheld, other: Withheld) -> bool:
    """Whether two things not for today say the same of the two sides."""
    return (one.key, {one.side, other.side}) == (other.key, {"left", "right"}) and both_sides.same_of_both(
        one.words, other.words
    )


def _tasks(plan: Plan) -> Iterator[Line]:
    if plan.owner_tasks:
        yield from heading("for the owner")
    for number, task in enumerate(plan.owner_tasks, 1):
        yield from _task(task, number)


def _task(task: OwnerTask, number: int) -> Iterator[Line]:
    yield Line(sentence(task.words), "strong", 0, f"{number}.", hang=3)
    yield Line(f"stop and ring me if {rest(task.stop_and_ring_me_if)}", indent=3, mark="-")
    yield Line(f"ring the vet if {rest(task.ring_the_vet_if)}", indent=3, mark="-")


def expected_by(plan: Plan) -> list[tuple[int, list[Expected]]]:
    """What to expect, gathered by the number of days, soonest first.

    An expectation that a sooner or stricter one of the same place already holds is not said again.
    """
    every = sorted((e for step in plan.steps for e in step.expects), key=lambda e: (e.by_days, e.to))
    strictest: dict[tuple[str, str], float] = {}
    groups: dict[int, list[Expected]] = {}
    for expected in every:
        at = (expected.place, expected.side)
        if expected.to < strictest.get(at, 11.0):
            strictest[at] = expected.to
            groups.setdefault(expected.by_days, []).append(expected)
    return list(groups.items())


def _expected(plan: Plan, visit: Visit) -> Iterator[Line]:
    groups, seen = expected_by(plan), seen_by(plan)
    if groups or seen or plan.recheck_days is not None:
        yield from heading(phrases.LOOK_FOR)
    for days, expected in groups:
        by = phrases.day(visit.day + timedelta(days=days))
        said = listed(expected_words(e).rpartition(", within")[0] for e in expected)
        yield Line(sentence(f"by {by} ({days} days) we look for {said}"), mark="-")
    for days, looked in seen:
        by = phrases.day(visit.day + timedelta(days=days))
        said = listed(looked_words(one).rpartition(", within")[0] for one in looked)
        yield Line(sentence(f"by {by} ({days} days) it is looked at again for {said}"), mark="-")
    if groups or seen:
        yield Line(phrases.IF_NOT_SO, mark="-")
    if plan.recheck_days is not None:
        yield Line(recheck_words(plan, visit), "strong", mark="-")


def recheck_words(plan: Plan, visit: Visit) -> str:
    """When to look again, as a date and in days."""
    days = plan.recheck_days or 0
    return f"Look again on {phrases.day(visit.day + timedelta(days=days))}, in {phrases.counted(days, 'day')}."
