"""A plan says each thing once: a step that says what another one says is told with it.

In: the steps that stand today, or the owner's tasks of them, and the pages. Out: those to list, in the order given.
Not here: which steps stand (selection settles that before anything is folded), concerns (folding.py). The pages say which
step is told with which, and what it adds there.

INVARIANT: nothing that a step answers, expects, warns of or asks the owner to ring about is lost, and a step that holds
several is never surer than the least sure of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar, get_args

from reasoner.explanation.from_record import filled
from reasoner.plan.model import FoldedStep, OwnerTask, StepOf
from reasoner.rulebook.pages import Action, Sure, ToldWith
from reasoner.rulebook.vocabulary import canonical

Pages = Mapping[str, Action]
Thing = TypeVar("Thing", StepOf, OwnerTask)
_SURE = get_args(Sure)  # the surest first


def same_deed(one: Action, other: Action) -> bool:
    """Whether one of the two actions is told with the other where both stand."""
    return any(canonical(told.step) == b.id for a, b in ((one, other), (other, one)) for told in a.yields_to)


def steps_together(steps: Sequence[StepOf], pages: Pages) -> tuple[StepOf, ...]:
    """The steps to list; those that yield stand among the `folds` of the one they yield to."""
    heads, under = _sorted(steps, pages)
    return tuple(_with_step(head, under[n], pages) for n, head in enumerate(heads))


def tasks_together(tasks: Sequence[OwnerTask], pages: Pages) -> tuple[OwnerTask, ...]:
    """The owner's tasks to list, each with what the tasks told with it add and the reasons to ring of all of them."""
    heads, under = _sorted(tasks, pages)
    return tuple(_with_task(head, under[n], pages) for n, head in enumerate(heads))


def _sorted(every: Sequence[Thing], pages: Pages) -> tuple[list[Thing], list[list[tuple[Thing, ToldWith]]]]:
    """(those that stand by themselves, for each of them what is told with it and by which line of its page).

    Where a head stands on both sides and the side is not its own, both hear of it: neither side comes first (law 1).
    """
    standing = {one.key for one in every}
    told = {one.key: _told_with(one.key, standing, pages) for one in every}
    heads = [one for one in every if told[one.key] is None]
    under: list[list[tuple[Thing, ToldWith]]] = [[] for _ in heads]
    for one in every:
        by = told[one.key]
        if by is None:
            continue
        at = [n for n, head in enumerate(heads) if head.key == canonical(by.step)]
        same = [n for n in at if heads[n].side == one.side]
        for n in same or at:
            under[n].append((one, by))
    return heads, under


def _told_with(key: str, standing: set[str], pages: Pages) -> ToldWith | None:
    """The line of a page by which it is told with a step that stands by itself; of several, the first on the page.

    Only a step that stands by itself can hear it. Pages yield to earlier steps only (RB29), so this ends.
    """
    for by in pages[key].yields_to:
        head = canonical(by.step)
        if head in standing and _told_with(head, standing, pages) is None:
            return by
    return None


def _with_step(head: StepOf, below: Sequence[tuple[StepOf, ToldWith]], pages: Pages) -> StepOf:
    if not below:
        return head
    steps = [one for one, _ in below]
    adds, doses = (_of_sides(below, part) for part in ("adds", "to_the_dose"))
    days = [one.recheck_days for one in (head, *steps) if one.recheck_days is not None]
    return replace(
        head,
        words=_joined((head.words, *adds)),
        plain=_joined((head.plain, *adds)),
        dose=_joined((head.dose, *doses)),
        because=_each(pair for one in (head, *steps) for pair in one.because),
        basis=_each(basis for one in (head, *steps) for basis in one.basis),
        sure=max((one.sure for one in (head, *steps)), key=_SURE.index),
        expects=_each(expected for one in (head, *steps) for expected in one.expects),
        looks_for=_each(looked for one in (head, *steps) for looked in one.looks_for),
        recheck_days=min(days, default=None),
        can_mislead=_joined(_each(one.can_mislead for one in (head, *steps))),
        reckoned=_each(sentence for one in (head, *steps) for sentence in one.reckoned),
        done_before=_each(sentence for one in (head, *steps) for sentence in one.done_before),
        folds=tuple(FoldedStep(one.key, one.side, one.words, one.reason, one.file) for one in steps),
    )


def _with_task(head: OwnerTask, below: Sequence[tuple[OwnerTask, ToldWith]], pages: Pages) -> OwnerTask:
    if not below:
        return head
    every = [head, *(one for one, _ in below)]
    return replace(
        head,
        words=_joined((head.words, *_of_sides(below, "to_the_task"))),
        stop_and_ring_me_if=_ringing(one.stop_and_ring_me_if for one in every),
        ring_the_vet_if=_ringing(one.ring_the_vet_if for one in every),
    )


def _of_sides(below: Sequence[tuple[Thing, ToldWith]], part: str) -> tuple[str, ...]:
    """What each adds under one key of its line; the same of left and right is one sentence."""
    sides: dict[str, list[str]] = {}
    for one, by in below:
        sides.setdefault(getattr(by, part), []).append(one.side)
    said = []
    for text, of in sides.items():
        both = len(set(of)) > 1 and "{other}" not in text
        said += [text.replace("{side}", "left and right")] if both else [filled(text, side) for side in of]
    return _each(said)


def _ringing(reasons: Iterable[str]) -> str:
    """Several "ring if" in one sentence, each once."""
    return "; or if ".join(_each(reason.strip().rstrip(".") for reason in reasons)) + "."


def _joined(sentences: Iterable[str]) -> str:
    return " ".join(text for text in sentences if text)


Part = TypeVar("Part")


def _each(things: Iterable[Part]) -> tuple[Part, ...]:
    return tuple(dict.fromkeys(things))
