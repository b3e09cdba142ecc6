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
from reasoner.rulebook.rulebook import Rulebook

register({"RB31": "two rules count the same finding twice"})

Found = frozenset[tuple[str, str]]


def counted_twice(network: Network, book: Rulebook) -> list[Problem]:
    """The pairs of rules of one conclusion, of the same sign and in different groups, whose findings overlap."""
    rules_of: dict[tuple[str, str], list[GroundRule]] = {}
    for rule in network.rules:
        rules_of.setdefault((rule.page, rule.side), []).append(rule)
    found = {id(rule): _findings(network, rules_of, rule.premise) for rule in network.rules}
    problems: dict[tuple[str, str], Problem] = {}
    for rules in rules_of.values():
        for one, other in _pairs(rules):
            shared = sorted(found[id(one)] & found[id(other)])
            page = book.conclusions[one.page]
            waived = page.evidence[one.number].waiver or page.evidence[other.number].waiver
            if shared and not waived:
                key, side = shared[0]
                what = f"{key.replace('_', ' ')}{f', {side}' if side else ''}"
                problems[one.id, other.id] = Problem(
                    page.file, page.evidence[other.number].line, "RB31",
                    f'"{page.evidence[other.number].rule}" and "{page.evidence[one.number].rule}" both rest on {what}.',
                    "Give them one `group:`, or a `waiver:` that says why they are two witnesses.",
                )  # fmt: skip
    return list(problems.values())


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
