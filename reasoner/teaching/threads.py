"""The leading thread: the conclusions of the working account in order, each with what rules it in, out, and is silent.

In: an `Explanation`. Out: `Strand`s.
Not here: which account is best (explanation.account), rivals, words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from reasoner.explanation.model import Chain, Concluded, Explanation, Item, Key, Silent
from reasoner.frozen import frozen

WAITS = "waits"


@frozen(kw_only=True)
class Weighed:
    """A conclusion on the scales: the rules that speak for it and against it (those that count, the loudest first), and those
    that are silent because something was not looked at."""

    key: Key
    rules_in: tuple[Item, ...]
    rules_out: tuple[Item, ...]
    waits: tuple[Silent, ...]


@frozen(kw_only=True)
class Strand:
    """A conclusion of the account. `start`: the account begins here; `under` are the conclusions of the account that lead to it;
    `circle` those that lead to each other with it. `leading`: on the way from a starting point to a leading cause, told outright;
    the others are further down, and folded. What stands on two ways is told where it is met first."""

    weighed: Weighed
    start: bool
    under: tuple[Key, ...]
    circle: tuple[Key, ...]
    leading: bool


def weighed(concluded: Concluded) -> Weighed:
    """A conclusion on the scales."""
    return Weighed(
        key=(concluded.key, concluded.side),
        rules_in=tuple(_loudest(item for item in concluded.supporting if item.share > 0.0)),
        rules_out=tuple(_loudest(item for item in concluded.opposing if item.share < 0.0)),
        waits=tuple(sorted((s for s in concluded.silent if s.state == WAITS), key=lambda s: (-abs(s.strength), s.rule))),
    )  # fmt: skip


def _loudest(items: Iterator[Item]) -> list[Item]:
    return sorted(items, key=lambda item: (-abs(item.share), item.rule))


def strands_of(explanation: Explanation) -> tuple[Strand, ...]:
    """Every conclusion of the account once, each starting point followed by what it leads to."""
    starts, concluded = explanation.account.starting_points, explanation.concluded
    wanted = set(explanation.leading)
    on_the_way: set[Key] = set()
    under: dict[Key, list[Key]] = {}
    for chain in starts:
        _find(chain, (), wanted, on_the_way)
        _above(chain, under)
    return tuple(_told(starts, concluded, under, on_the_way, set()))


def _find(chain: Chain, above: tuple[Key, ...], wanted: set[Key], found: set[Key]) -> None:
    """Every starting point, and all on the ways down to a leading cause."""
    key = (chain.key, chain.side)
    if not above or wanted & {key, *chain.loop}:
        found |= {*above, key}
    for below in chain.leads:
        _find(below, (*above, key), wanted, found)


def _above(chain: Chain, under: dict[Key, list[Key]]) -> None:
    """What leads to what, within the account."""
    for below in chain.leads:
        leading = under.setdefault((below.key, below.side), [])
        if (chain.key, chain.side) not in leading:
            leading.append((chain.key, chain.side))
        _above(below, under)


def _told(
    chains: Sequence[Chain], concluded: Mapping[Key, Concluded], under: Mapping[Key, Sequence[Key]], leading: set[Key],
    told: set[Key],
) -> Iterator[Strand]:  # fmt: skip
    for chain in chains:
        key = (chain.key, chain.side)
        if key in told:
            continue
        told |= {key, *chain.loop}
        above = tuple(sorted(under.get(key, ())))
        yield Strand(
            weighed=weighed(concluded[key]), start=not above, under=above, circle=chain.loop, leading=key in leading
        )
        for other in chain.loop:
            yield Strand(weighed=weighed(concluded[other]), start=False, under=(key,), circle=(), leading=False)
        yield from _told(chain.leads, concluded, under, leading, told)
