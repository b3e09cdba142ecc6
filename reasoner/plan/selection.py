"""Which actions stand today, in what order, and what holds the others back.

In: the record, the referral and the visit. Out: a `Plan`.
Not here: whether a rule fired (the record knows), text layout, the clock. At prompt and emergency the plan is the veterinarian.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from datetime import timedelta

from reasoner.explanation.from_record import filled
from reasoner.explanation.leaves import Leaves
from reasoner.explanation.model import Key
from reasoner.facts.table import Facts
from reasoner.frozen import frozen
from reasoner.inference.record import Record
from reasoner.plan.concerns import Referral
from reasoner.plan.done_before import behind, told_before
from reasoner.plan.doses import reckoned
from reasoner.plan.expected import expected_of, looked_for
from reasoner.plan.model import OwnerTask, Plan, StepOf, Withheld
from reasoner.plan.referral import stop_key
from reasoner.plan.riding import riding_of, ruled_out
from reasoner.plan.told_with import same_deed, steps_together, tasks_together
from reasoner.rulebook.pages import Action, bases, words_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.scales import THIS_PLACE
from reasoner.visit.model import Visit

CALL = "call"  # the kind of action that asks for the veterinarian
MOST_TASKS = 3  # more than three tasks are not done; the order of the steps says which three


@frozen
class Wanted:
    """An action that today's findings ask for: what asks, what of its own holds it back, and the places it works on."""

    page: Action
    side: str
    because: tuple[Key, ...]
    held: tuple[str, ...]
    works_on: tuple[tuple[str, str], ...]


def plan_of(record: Record, referral: Referral, facts: Facts, visit: Visit, book: Rulebook) -> Plan:
    """The draft plan of one visit."""
    asked = list(_wanted(record, facts, book))
    back = behind(visit, ((w.page.id, w.side, w.page.kind) for w in asked), book)
    wanted = sorted(asked, key=lambda w: order_of(w, book, back))
    taken, withheld = _sorted_out(wanted, referral, visit, book)
    steps = steps_together([_step(w, facts, visit, book) for w in taken], book.actions)
    days = min((s.recheck_days for s in steps if s.recheck_days is not None), default=None)
    kinds = {w.page.kind for w in taken}
    return Plan(
        # What the horse's own state asks of riding holds also where the referral puts the step itself off.
        riding=riding_of(referral, [w.page for w in wanted if not w.held]),
        steps=steps,
        withheld=tuple(withheld),
        owner_tasks=tasks_together(list(_tasks(taken)), book.actions)[:MOST_TASKS],
        recheck_days=days,
        recheck_on=(visit.day + timedelta(days=days)).isoformat() if days is not None else "",
        cautions=tuple(c.says for c in book.scales.cautions if c.when == "always" or c.when in kinds),
    )


def order_of(wanted: Wanted, book: Rulebook, back: Collection[tuple[str, str]] = ()) -> tuple[int, bool, int, str, str]:
    """Where an action stands among others: by kind, those of `back` behind the rest of it, by rank and name, then side."""
    page, side = wanted.page, wanted.side
    return book.scales.action_order.index(page.kind), (page.id, side) in back, page.rank, page.id, side


def _wanted(record: Record, facts: Facts, book: Rulebook) -> Iterator[Wanted]:
    leaves = Leaves(record, facts, book)
    above = record.program.fires_above
    for number in record.result.wanted[:, 0].nonzero()[0].tolist():
        key, side, wanted, needs, forbids, works_on = record.program.meta["actions"][number]
        page = book.actions[key]
        asked = [lit for literal in wanted if record.support(literal) > above for lit in leaves.speaking(literal)]
        held = [filled(page.only_after[n].otherwise, side) for n, x in enumerate(needs) if record.support(x) <= above]
        held += [filled(page.forbidden_by[n].because, side) for n, x in enumerate(forbids) if record.support(x) > above]
        yield Wanted(page, side, leaves.via(asked), tuple(held), tuple((p, s) for p, s in works_on))


def stops_of(page: Action, book: Rulebook) -> tuple[str, ...]:
    """Which stops hold an action back: those of its page, else those of its kind."""
    own = page.stopped_by if page.stopped_by is not None else book.scales.stopped_by.get(page.kind, ())
    stops = tuple(stop_key(stop, book) for stop in own)
    return (*stops, THIS_PLACE) if page.works_on and THIS_PLACE not in stops else stops


def _sorted_out(
    wanted: list[Wanted], referral: Referral, visit: Visit, book: Rulebook
) -> tuple[list[Wanted], list[Withheld]]:
    """(taken, withheld): in order, each action meets the referral, its own needs, and what is already taken."""
    taken: list[Wanted] = []
    withheld: list[Withheld] = []
    used: dict[str, Wanted] = {}
    day: dict[str, list[str]] = {}
    pressing = any(concern.call != "routine" for concern in referral.concerns)
    asked = [one.page for one in wanted if not one.held]
    for one in wanted:
        if one.page.kind == CALL and pressing:
            continue  # the concern sends for the veterinarian already; "not today" would say the opposite
        because = list(stopped_by_referral(one, referral, book)) + list(one.held)
        because = because or list(ruled_out(one.page, stops_of(one.page, book), asked))
        changes = words_of(one.page.one_at_a_time)
        word = next((word for word in changes if word in used and _another(one.page, used[word].page)), None)
        if not because and word is not None:
            first = filled(used[word].page.says, used[word].side)
            because.append(
                f"Not today, because one change of {word} at a time: first {first[0].lower()}{first[1:].rstrip('.')}."
            )
        kept = day.setdefault(one.page.kind, [])
        most = book.scales.most_a_day.get(one.page.kind, len(kept) + 1)
        if not because and one.page.id not in kept and len(kept) >= most:
            kind = one.page.kind.replace("_", " ")
            because.append(f"Not today, because {most} steps of {kind} are enough for one day; the others come first.")
        if because:
            because += told_before(visit, one.page.id, one.side)
            withheld.append(
                Withheld(one.page.id, one.side, filled(one.page.says, one.side), one.page.kind, tuple(because))
            )
            continue
        taken.append(one)
        if one.page.id not in kept:
            kept.append(one.page.id)
        for word in changes:
            used.setdefault(word, one)
    return taken, withheld


def _another(page: Action, first: Action) -> bool:
    """Whether a second change is another one. The same on the other side is not: neither side comes first (law 1); nor
    is one that is told with the first."""
    return page.id != first.id and not same_deed(page, first)


def stopped_by_referral(one: Wanted, referral: Referral, book: Rulebook) -> Iterator[str]:
    """Why the referral holds it back today: at most one sentence, none where it may stand."""
    return held_back(stops_of(one.page, book), one.works_on, referral)


def held_back(stops: Sequence[str], works_on: Collection[tuple[str, str]], referral: Referral) -> Iterator[str]:
    """Why the referral holds back today what is held back by these stops and works on these places: at most one sentence."""
    for stop in stops:
        if referral.forbidding(stop):
            yield f"Not today, because the veterinarian has forbidden it ({stop.replace('_', ' ')})."
            return
    for concern in referral.concerns:
        pressing = concern.call != "routine"
        needed = set(stops) - {THIS_PLACE}
        if pressing and not (concern.released and needed and needed <= set(concern.allowed)):
            yield f"Not today, because the veterinarian comes first: {concern.words.rstrip('.')}."
            return
        for stop in stops:
            here = stop != THIS_PLACE or not concern.place or (concern.place, concern.side) in works_on
            if stop in concern.standing_stops and here:
                yield f"Not today, because of this: {concern.words.rstrip('.')}."
                return


def _step(one: Wanted, facts: Facts, visit: Visit, book: Rulebook) -> StepOf:
    page, side = one.page, one.side
    because = tuple((key, filled(book.conclusions[key].says, s)) for key, s in one.because if key in book.conclusions)
    return StepOf(
        key=page.id, kind=page.kind, side=side, words=filled(page.says, side), plain=filled(page.plain or page.says, side),
        dose=filled(page.dose, side), because=because, reason=filled(page.because, side), basis=bases(page.basis),
        sure=page.sure, expects=tuple(expected_of(page, side, facts, book)), recheck_days=page.recheck_days,
        can_mislead=page.can_mislead, file=page.file,
        reckoned=reckoned(page.calculation, visit, side, book) if page.calculation else (),
        done_before=told_before(visit, page.id, side), looks_for=tuple(looked_for(page, side, visit, book)),
    )  # fmt: skip


def _tasks(taken: list[Wanted]) -> Iterator[OwnerTask]:
    """The owner's tasks in the order of the steps; the same task for both sides is one task."""
    sides: dict[str, list[str]] = {}
    for one in taken:
        sides.setdefault(one.page.id, []).append(one.side)
    for key, both in sides.items():
        task = next(one.page.owner_task for one in taken if one.page.id == key)
        if task is not None:
            texts = (task.says, task.stop_and_ring_me_if, task.ring_the_vet_if)
            if len(both) > 1 and not any("{other}" in text for text in texts):
                yield OwnerTask(key, "", *(text.replace("{side}", "left and right") for text in texts))
                continue
            for side in both:
                yield OwnerTask(key, side, *(filled(text, side) for text in texts))
