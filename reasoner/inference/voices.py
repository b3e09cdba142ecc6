"""One finding, one voice: two rules that rest on the same finding and point the same way must share a group.

In: a `Network` and its rulebook. Out: a problem for each pair that does not, unless the page waives it with a reason.
Not here: how a group counts (evaluate). Findings are looked for through earlier conclusions too, for a flinch told at second
hand is the same flinch.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.inference.network import GroundRule, Network
from reasoner.inference.slots import split
from reasoner.problems import Problem, register
from reasoner.rulebook.pages import waives
from reasoner.rulebook.rulebook import Rulebook

register({"RB31": "two rules count the same finding twice"})

Found = frozenset[tuple[str, str]]


def counted_twice(network: Network, book: Rulebook) -> list[Problem]:
    """A problem for each pair of rules that counts one finding twice, unless the page waives it."""
    problems = []
    for one, other, (key, side) in overlapping(network):
        page = book.conclusions[one.page]
        first, second = page.evidence[one.number], page.evidence[other.number]
        if not (waives(first, "RB31") or waives(second, "RB31")):
            what = f"{key.replace('_', ' ')}{f', {side}' if side else ''}"
            problems.append(
                Problem(page.file, second.line, "RB31", f'"{second.rule}" and "{first.rule}" both rest on {what}.',
                        "Give them one `group:`, or a `waiver:` that says why they are two witnesses.")
            )  # fmt: skip
    return problems


def overlapping(network: Network) -> list[tuple[GroundRule, GroundRule, tuple[str, str]]]:
    """The pairs of rules of one conclusion, of the same sign and in different groups, with a finding both rest on.

    Each pair of rules as written stands once, in the order of the page.
    """
    rules_of: dict[tuple[str, str], list[GroundRule]] = {}
    for rule in network.rules:
        rules_of.setdefault((rule.page, rule.side), []).append(rule)
    found = {id(rule): _findings(network, rules_of, rule.premise) for rule in network.rules}
    pairs: dict[tuple[str, str], tuple[GroundRule, GroundRule, tuple[str, str]]] = {}
    for rules in rules_of.values():
        for one, other in _pairs(rules):
            shared = sorted(found[id(one)] & found[id(other)])
            if shared:
                pairs[one.id, other.id] = one, other, shared[0]
    return list(pairs.values())


def _pairs(rules: list[GroundRule]) -> Iterator[tuple[GroundRule, GroundRule]]:
    for number, one in enumerate(rules):
        for other in rules[number + 1 :]:
            if (one.strength < 0) == (other.strength < 0) and one.group != other.group:
                yield one, other


def _findings(network: Network, rules_of: dict[tuple[str, str], list[GroundRule]], literal: int) -> Found:
    """(place or observation, side) of everything below a premise, through earlier conclusions."""
    found: set[tuple[str, str]] = set()
    seen: set[int] = set()
    stack = [literal >> 1]
    while stack:
        column = stack.pop()
        if column in seen:
            continue
        seen.add(column)
        spec = network.specs[column]
        if spec[0] in ("all", "any", "kth"):
            stack += [part >> 1 for part in spec[-1]]
        elif spec[0] == "lessened":
            stack.append(spec[1])
        elif spec[0] in ("conclusion", "certainty"):
            stack += [rule.premise >> 1 for rule in rules_of.get((spec[1], spec[2]), ())]
        else:
            found |= {split(name)[:2] for name in spec[1:3] if isinstance(name, str) and name}
    return frozenset(found)
