"""The working account: the fewest, firmest starting points that explain what was found.

In: the supported conclusions, what each covers and leads to. Out: an `Account`, exact, ties shown.
Not here: what is supported, or notable. Parsimonious covering after Reggia, Nau and Wang (1983): first as few notable
findings unexplained as can be, then the least sum over starting points of (k - ln certainty).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from reasoner.explanation.model import Account, Chain, Concluded, Finding, Key, Unchecked
from reasoner.frozen import frozen

MOST_TIES = 12
_CLOSE = 1e-9


@frozen
class Weighed:
    """What the account asks of a supported conclusion: how certain, how heavy, what it leads to. A `Concluded` also does."""

    certainty: float
    weight: int
    leads_to: tuple[Key, ...]


def account_of(
    supported: Mapping[Key, Weighed | Concluded],
    covers: Mapping[Key, frozenset[int]],
    notable: Sequence[Finding],
    k: float,
    look_at: tuple[Unchecked, ...],
) -> Account:
    """The account over the supported conclusions. `covers` gives the numbers of the notable findings each explains."""
    circles = _circles({key: [t for t in c.leads_to if t in supported] for key, c in supported.items()})
    home = {key: circle for circle in circles for key in circle}
    below = {circle: _reach(circle, supported, home) for circle in circles}
    reach = {c: frozenset().union(*(covers[key] for d in below[c] for key in d)) for c in circles}
    cost = {c: k - math.log(max(min(supported[key].certainty, 1.0) for key in c)) for c in circles}
    best = _least([(cost[c], c, reach[c]) for c in sorted(circles)])
    chosen = _without_favour(best)
    explained = frozenset().union(*(reach[c] for c in chosen)) if chosen else frozenset()
    firmest = sorted(chosen, key=lambda c: (-max(supported[key].weight for key in c), c))
    return Account(
        starting_points=tuple(_chain(c, supported, home, frozenset()) for c in firmest),
        ties=tuple(tuple(key for c in other for key in c) for other in _shown(best)),
        unexplained=tuple(f for n, f in enumerate(notable) if n not in explained),
        too_little=bool(look_at),
        look_at=look_at,
    )


Circle = tuple[Key, ...]


def _circles(graph: Mapping[Key, Sequence[Key]]) -> list[Circle]:
    """The strongly connected parts of a small graph: conclusions that lead to each other are one starting point."""
    reach = {key: _from(key, graph) for key in graph}
    seen: dict[Key, Circle] = {}
    for key in sorted(graph):
        if key not in seen:
            circle = tuple(sorted({other for other in reach[key] if key in reach[other]} | {key}))
            seen |= dict.fromkeys(circle, circle)
    return sorted(set(seen.values()))


def _from(start: Key, graph: Mapping[Key, Sequence[Key]]) -> set[Key]:
    found: set[Key] = set()
    stack = list(graph[start])
    while stack:
        key = stack.pop()
        if key not in found:
            found.add(key)
            stack += graph[key]
    return found


def _reach(circle: Circle, supported: Mapping[Key, Weighed | Concluded], home: Mapping[Key, Circle]) -> set[Circle]:
    found: set[Circle] = set()
    stack = [circle]
    while stack:
        here = stack.pop()
        if here not in found:
            found.add(here)
            stack += [home[t] for key in here for t in supported[key].leads_to if t in home]
    return found


def _least(candidates: Sequence[tuple[float, Circle, frozenset[int]]]) -> list[tuple[Circle, ...]]:
    """Every cheapest choice that covers all that can be covered, by branching on the hardest finding; exact."""
    wanted: frozenset[int] = frozenset().union(*(c[2] for c in candidates)) if candidates else frozenset()
    if not wanted:
        return []
    of = {n: sorted((c for c in candidates if n in c[2]), key=lambda c: (c[0], c[1])) for n in wanted}
    best = math.inf
    found: dict[tuple[Circle, ...], float] = {}

    def branch(open_findings: frozenset[int], chosen: tuple[Circle, ...], cost: float) -> None:
        nonlocal best
        if not open_findings:
            best = min(best, cost)
            found[tuple(sorted(chosen))] = cost
            return
        hardest = min(open_findings, key=lambda n: (len(of[n]), n))
        for more, circle, covered in of[hardest]:
            rest = open_findings - covered
            # every finding still open needs at least one more starting point, the cheapest of its own
            least = max((of[n][0][0] for n in rest), default=0.0)
            if cost + more + least <= best + _CLOSE:
                branch(rest, (*chosen, circle), cost + more)

    branch(wanted, (), 0.0)
    return sorted(choice for choice, cost in found.items() if cost <= best + _CLOSE)


def _sideless(choice: Sequence[Circle]) -> tuple[str, ...]:
    """A choice by its names alone: what it is whichever side it is on."""
    return tuple(sorted(key for circle in choice for key, _ in circle))


def _without_favour(best: Sequence[tuple[Circle, ...]]) -> tuple[Circle, ...]:
    """The starting points to show: one of the cheapest choices, and where only the side tells it from others, all of them.

    INVARIANT: left and right are never told apart here, for there is no default side.
    """
    first = min(map(_sideless, best), default=())
    return tuple(sorted({circle for choice in best if _sideless(choice) == first for circle in choice}))


def _shown(best: Sequence[tuple[Circle, ...]]) -> Iterator[tuple[Circle, ...]]:
    """The choices to show as ties: at least `MOST_TIES` if there are so many; one is never shown without its mirror image."""
    count, last = 0, None
    for choice in sorted(best, key=lambda choice: (_sideless(choice), choice)):
        if count >= MOST_TIES and _sideless(choice) != last:
            return
        count, last = count + 1, _sideless(choice)
        yield choice


def _chain(
    circle: Circle, supported: Mapping[Key, Weighed | Concluded], home: Mapping[Key, Circle], above: frozenset[Circle]
) -> Chain:
    nexts = {home[t] for key in circle for t in supported[key].leads_to if t in home} - {circle} - above
    below = sorted(nexts, key=lambda c: (-max(supported[key].weight for key in c), c))
    first, *others = sorted(circle, key=lambda key: (-supported[key].weight, key))
    return Chain(first[0], first[1], tuple(_chain(c, supported, home, above | {circle}) for c in below), tuple(others))
