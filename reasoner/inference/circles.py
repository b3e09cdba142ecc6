"""No conclusion may lean on itself: find a circle of rules, and name it rule by rule.

In: a `Network`. Out: nothing, or BadInput (RB30).
Not here: what to do about it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from reasoner.inference.network import GroundRule, Network
from reasoner.problems import BadInput, Problem, register

register({"RB30": "the rules run in a circle"})

Key = tuple[str, str]


def refuse_circles(network: Network, files: Mapping[str, str] | None = None) -> None:
    """Raise BadInput naming the first circle among the conclusions, in the order of their keys.

    `files` says in which file the page of a conclusion stands.
    """
    reads: dict[Key, dict[Key, GroundRule]] = defaultdict(dict)
    for rule in network.rules:
        for literal in (rule.premise, rule.gate):
            for key in _conclusions_below(network, literal >> 1):
                reads[rule.page, rule.side].setdefault(key, rule)
    done: set[Key] = set()
    for start in sorted(reads):
        path: list[Key] = []
        stack: list[tuple[Key, list[Key]]] = [(start, sorted(reads[start]))] if start not in done else []
        path += [start] if stack else []
        while stack:
            here, rest = stack[-1]
            if not rest:
                done.add(here)
                stack.pop()
                path.pop()
                continue
            there = rest.pop(0)
            if there in path:
                _refuse(path[path.index(there) :], reads, files or {})
            if there not in done:
                path.append(there)
                stack.append((there, sorted(reads.get(there, {}))))


def _conclusions_below(network: Network, column: int) -> set[Key]:
    found: set[Key] = set()
    stack, seen = [column], set()
    while stack:
        at = stack.pop()
        if at in seen:
            continue
        seen.add(at)
        spec = network.specs[at]
        if spec[0] in ("conclusion", "certainty"):
            found.add((spec[1], spec[2]))
        elif spec[0] in ("all", "any", "kth"):
            stack += [literal >> 1 for literal in spec[-1]]
    return found


def _refuse(circle: Sequence[Key], reads: dict[Key, dict[Key, GroundRule]], files: Mapping[str, str]) -> None:
    links = list(zip(circle, [*circle[1:], circle[0]], strict=True))
    named = "; ".join(f'"{reads[here][there].id}" reads {there[0]}' for here, there in links)
    first = reads[links[0][0]][links[0][1]]
    raise BadInput(
        [Problem(files.get(first.page, first.page), first.line, "RB30", f"these rules run in a circle: {named}.",
                 "Say one of the links under leads_to instead.")]
    )  # fmt: skip
