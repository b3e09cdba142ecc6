"""What a program means, as plain data for explanation: every column, rule, concern, action and causal link.

In: a `Network` and the order of its rules. Out: `Program.meta`.
Not here: the tables the pass runs on.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from reasoner.inference.network import GroundRule, Network


def meta_of(
    net: Network, conclusion_order: Sequence[tuple[str, str]], rule_order: Sequence[GroundRule]
) -> dict[str, Any]:
    """Plain data, by name.

    `columns`: for each column its kind and parts: ["all" | "any" | "kth", k or 0, literals], ["lessened", column,
    [[circumstance, lessens, by, literal], ...]], ["conclusion", key, side], ["certainty", key, side, at], ["ramp", slot, other
    slot, from, to, word], ["limit", slot, slot for opposition, operator, at], ["member", slot, mask], ["true"].
    `conclusions` and `rules` stand in the program's order.
    """
    return {
        "columns": [_column(spec) for spec in net.specs],
        "conclusions": [list(key) for key in conclusion_order],
        "rules": [[r.id, r.page, r.side, r.number, r.premise, r.gate, r.strength, r.group] for r in rule_order],
        "concerns": [[c.page, c.side, c.place, list(c.signs)] for c in net.concerns],
        "actions": [
            [a.page, a.side, list(a.wanted), list(a.needs), list(a.forbids), [list(w) for w in a.works_on]]
            for a in net.actions
        ],
        "accounts": [
            [k, s, [[a.key, a.side, a.depth, list(a.readings), a.paired] for a in found]]
            for (k, s), found in net.accounts.items()
        ],
        "leads": [[k, s, [list(t) for t in targets]] for (k, s), targets in net.leads.items()],
        "notable": [list(entry) for entry in net.notable],
        "guarded": [list(entry) for entry in net.guarded],
        "spoken": [list(entry) for entry in net.spoken],
        "levels": list(net.levels),
        "circumstances": _circumstances(net),
        "words": {key: list(words) for key, words in net.words.items()},
    }


def _column(spec: tuple[Any, ...]) -> list[Any]:
    if spec[0] in ("all", "any"):
        return [spec[0], 0, list(spec[1])]
    if spec[0] == "kth":
        return ["kth", spec[1], list(spec[2])]
    if spec[0] == "lessened":
        return ["lessened", spec[1], [[d.circumstance, d.lessens, d.by, d.literal] for d in spec[2]]]
    return list(spec)


def _circumstances(net: Network) -> dict[str, list[int]]:
    """The literals of each circumstance, wherever it discounts something."""
    found: dict[str, set[int]] = defaultdict(set)
    for spec in net.specs:
        if spec[0] == "lessened":
            for discount in spec[2]:
                found[discount.circumstance].add(discount.literal)
    return {name: sorted(literals) for name, literals in sorted(found.items())}
