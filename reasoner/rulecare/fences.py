"""Fences: small cases on either side of every limit of a page, found by trying, kept as data, read by people as a diff.

In: the trials of a rulebook, and a page. Out: `Fence` cases that notice the slips no example of the page notices.
Not here: judging whether a limit is right. A fence says what the page answers today, so that a change of it is seen.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping, Sequence
from typing import Any

from reasoner.consult import Answer, judge
from reasoner.frozen import frozen
from reasoner.inference.from_rulebook import spots_of
from reasoner.problems import BadInput
from reasoner.rulebook.conditions import leaves
from reasoner.rulebook.filling import node_of
from reasoner.rulebook.pages import Example
from reasoner.rulebook.references import conditions_of
from reasoner.rulecare.example_check import Case, Page
from reasoner.rulecare.examples import DAY, complaints, pages
from reasoner.rulecare.proposing import proposed
from reasoner.rulecare.sampling import Recorded, Sampler, told_by
from reasoner.rulecare.trials import Slip, Trials
from reasoner.visit.model import mirrored
from reasoner.visit.reading import visit_from_node

#: How often a slip is tried before it is given up.
TRIES = 600


@frozen
class Fence:
    """One case and the slips that it notices and no example of the page does."""

    example: Example
    notices: tuple[str, ...]


def fences_of(
    trials: Trials, page: Page, seed: int = 0, others: Mapping[str, Sequence[Example]] | None = None, tries: int = TRIES
) -> tuple[list[Fence], list[Slip]]:
    """Fences for a page, and the slips for which none was found in so many tries each.

    Where the page reads an earlier one, the examples of that one are drawn from, and its fences if `others` has any. The same
    seed, pages and other fences give the same fences.
    """
    known = others or {}
    book = trials.book
    remaining = {n: slip for n, slip in enumerate(trials.slips[page.id]) if not trials.noticed(page, slip)}
    conditions = {where: book.parsed[page.id, where] for where, _, _ in conditions_of(page)}
    earlier = {one.id: list(told_by((*one.examples, *known.get(one.id, ())), book.vocabulary)) for one in pages(book)}
    spots = list(spots_of(page, book.vocabulary))  # a page that is read for each place is tried at one amid the others
    sampler = Sampler(
        book, list(conditions.values()), earlier, zlib.crc32(f"{page.id} {seed}".encode()),
        spots[len(spots) // 2][0],
    )  # fmt: skip
    written = list(told_by(page.examples, book.vocabulary))
    found: list[Fence] = []
    tried = dict.fromkeys(remaining, 0)
    while open_ := [n for n in remaining if tried[n] < tries]:
        target = min(open_, key=lambda n: (tried[n], n))
        tried[target] += 1
        own = list(leaves(conditions[remaining[target].where]))
        recorded = sampler.beside(written, own) if tried[target] % 3 else sampler.beside(({},), sampler.leaves, own)
        fence = _fence(trials, page, recorded, remaining)
        if fence is not None:
            case, numbers = fence
            found.append(Fence(case, tuple(_named(remaining[n]) for n in numbers)))
            for n in numbers:
                del remaining[n]
    return found, list(remaining.values())


def _named(slip: Slip) -> str:
    return f"{slip.where}: {slip.what}"


def _fence(
    trials: Trials, page: Page, recorded: Recorded, remaining: Mapping[int, Slip]
) -> tuple[Example, list[int]] | None:
    """The smallest part of what is recorded that still notices all that it notices; None if it notices nothing."""
    first = _noticing(trials, page, recorded, remaining)
    if first is None:
        return None
    example, numbers = first
    wanted = set(numbers)
    for path in _paths(recorded):
        less = _without(recorded, path)
        again = _noticing(trials, page, less, {n: remaining[n] for n in wanted})
        if again is not None and set(again[1]) == wanted:
            recorded, example = less, again[0]
    return example, numbers


def _noticing(
    trials: Trials, page: Page, recorded: Recorded, remaining: Mapping[int, Slip]
) -> tuple[Example, list[int]] | None:
    answer = _answer(trials, page, recorded)
    if answer is None:
        return None
    example = proposed(page, recorded, answer)
    if example is None:
        return None
    case = Case(page, example, False)
    numbers = [n for n, slip in remaining.items() if trials.notices(page, case, answer, slip)]
    if not numbers or complaints(case, answer):
        return None
    turned = Case(page, example, True)
    other = judge(mirrored(answer.visit), trials.ready)
    return None if complaints(turned, other) else (example, numbers)


def _answer(trials: Trials, page: Page, recorded: Recorded) -> Answer | None:
    try:
        visit = visit_from_node(node_of(recorded, 1), page.file, trials.book.vocabulary, default_day=DAY)
    except BadInput:
        return None  # drawn by chance, and not every draw is a visit
    return judge(visit, trials.ready)


def _paths(recorded: Mapping[str, Any], above: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    """Every entry, the inner ones last."""
    out: list[tuple[str, ...]] = []
    for key, value in recorded.items():
        out.append((*above, key))
        if isinstance(value, Mapping):
            out += _paths(value, (*above, key))
    return sorted(out, key=len)


def _without(recorded: Mapping[str, Any], path: tuple[str, ...]) -> Recorded:
    out = dict(recorded)
    if path[0] not in out:
        return out
    if len(path) == 1:
        del out[path[0]]
    elif isinstance(out[path[0]], Mapping):
        inner = _without(out[path[0]], path[1:])
        if inner:
            out[path[0]] = inner
        else:
            del out[path[0]]
    return out
