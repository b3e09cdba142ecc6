"""The working account against brute force: no cheaper set of starting points explains as much, and every tie is shown.

In: small random sets of supported conclusions, what each covers and leads to. Out: the same account by trying every set.
Not here: which conclusions are supported. Parsimonious covering after Reggia, Nau and Wang (1983).
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from itertools import chain, combinations

from hypothesis import given
from hypothesis import strategies as st

from reasoner.explanation.account import MOST_TIES, account_of
from reasoner.explanation.model import Chain, Concluded, Finding, Key

K = 1.0


def concluded(key: str, certainty: float, leads: tuple[Key, ...]) -> Concluded:
    weight = round(-math.log1p(-certainty) * 2**40)
    return Concluded(
        key=key, kind="cause", side="", certainty=certainty, lower=certainty, upper=certainty, band="fair", words=key,
        plain=key, weight=weight, supporting=(), opposing=(), silent=(), not_checked=(), accounts_for=(), leads_to=leads,
        basis=(), can_mislead="", lesson="", file="",
    )  # fmt: skip


@st.composite
def cases(draw: st.DrawFn) -> tuple[dict[Key, Concluded], dict[Key, frozenset[int]], list[Finding]]:
    count, findings = draw(st.integers(0, 6)), draw(st.integers(0, 5))
    keys: list[Key] = [(f"c{n}", "") for n in range(count)]
    supported = {}
    for key in keys:
        leads = tuple(draw(st.lists(st.sampled_from(keys), max_size=2, unique=True)))
        certainty = draw(st.sampled_from([0.3, 0.5, 0.5, 0.8, 0.95]))
        supported[key] = concluded(key[0], certainty, tuple(k for k in leads if k != key))
    covers = {key: frozenset(draw(st.sets(st.integers(0, findings - 1)))) if findings else frozenset() for key in keys}
    return supported, covers, [Finding(f"f{n}", f"f{n}", "", "5", "v", n) for n in range(findings)]


def reached(start: Key, supported: Mapping[Key, Concluded]) -> set[Key]:
    found, stack = set(), [start]
    while stack:
        key = stack.pop()
        if key not in found:
            found.add(key)
            stack += supported[key].leads_to
    return found


def brute_force(
    supported: Mapping[Key, Concluded], covers: Mapping[Key, frozenset[int]]
) -> tuple[int, float, set[frozenset[Key]]]:
    """(most findings explained, least cost, every set of circles that reaches both) by trying every set."""
    reach = {key: reached(key, supported) for key in supported}
    circles = {frozenset(other for other in reach[key] if key in reach[other]) for key in supported}
    best: tuple[int, float] = (0, 0.0)
    sets: set[frozenset[Key]] = {frozenset()}
    every = chain.from_iterable(combinations(sorted(circles, key=sorted), n) for n in range(len(circles) + 1))
    for chosen in every:
        explained = {f for circle in chosen for key in circle for r in reach[key] for f in covers[r]}
        cost = sum(K - math.log(max(supported[key].certainty for key in circle)) for circle in chosen)
        mine = (-len(explained), round(cost, 9))
        members = frozenset(key for circle in chosen for key in circle)
        if mine < best:
            best, sets = mine, {members}
        elif mine == best:
            sets.add(members)
    return -best[0], best[1], sets


def members(point: Chain) -> set[Key]:
    return {(point.key, point.side), *point.loop}


@given(cases())
def test_the_account_is_the_cheapest_that_explains_the_most(
    case: tuple[dict[Key, Concluded], dict[Key, frozenset[int]], list[Finding]],
) -> None:
    supported, covers, notable = case
    account = account_of(supported, covers, notable, K, ())
    explained, cost, sets = brute_force(supported, covers)
    assert len(account.unexplained) == len(notable) - explained
    chosen = frozenset(key for point in account.starting_points for key in members(point))
    assert chosen in sets
    paid = sum(K - math.log(max(supported[key].certainty for key in members(p))) for p in account.starting_points)
    assert round(paid, 6) == round(cost, 6)
    if chosen:
        shown = {frozenset(tie) for tie in account.ties}
        assert shown <= sets
        assert len(shown) == min(len(sets), MOST_TIES)


def sided(key: str, side: str, certainty: float) -> Concluded:
    return dataclasses.replace(concluded(key, certainty, ()), side=side)


SPOTS: tuple[Key, ...] = (("a", "left"), ("a", "right"), ("b", "left"), ("b", "right"), ("c", ""))
OTHER = {"left": "right", "right": "left", "": ""}


@given(
    st.fixed_dictionaries(
        {spot: st.tuples(st.sampled_from([0.0, 0.5, 0.8]), st.sets(st.integers(0, 3))) for spot in SPOTS}
    )
)
def test_a_tie_between_left_and_right_favours_neither(drawn: dict[Key, tuple[float, set[int]]]) -> None:
    """The mirror image: the same starting points and ties with the sides swapped, as sets."""

    def told(turned: bool) -> tuple[set[Key], set[frozenset[Key]]]:
        supported, covers = {}, {}
        for (key, side), (certainty, findings) in drawn.items():
            at = (key, OTHER[side] if turned else side)
            if certainty:
                supported[at] = sided(*at, certainty)
                covers[at] = frozenset(findings)
        account = account_of(supported, covers, [Finding(f"f{n}", "", "", "5", "v", n) for n in range(4)], K, ())
        back = OTHER if turned else dict(zip(OTHER, OTHER, strict=True))
        points = {(k, back[s]) for point in account.starting_points for k, s in members(point)}
        return points, {frozenset((k, back[s]) for k, s in tie) for tie in account.ties}

    assert told(False) == told(True)


def test_left_and_right_that_explain_the_same_finding_are_both_shown() -> None:
    left, right = sided("pinch", "left", 0.5), sided("pinch", "right", 0.5)
    supported = {(c.key, c.side): c for c in (left, right)}
    account = account_of(
        supported, dict.fromkeys(supported, frozenset({0})), [Finding("f", "f", "", "5", "v", 1)], K, ()
    )
    assert {(p.key, p.side) for p in account.starting_points} == set(supported)
    assert set(account.ties) == {(key,) for key in supported}


@given(cases())
def test_it_does_not_depend_on_the_order(
    case: tuple[dict[Key, Concluded], dict[Key, frozenset[int]], list[Finding]],
) -> None:
    supported, covers, notable = case
    turned = dict(reversed(supported.items()))
    assert account_of(turned, covers, notable, K, ()) == account_of(supported, covers, notable, K, ())
