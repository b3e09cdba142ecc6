"""From columns to rows: one row for each side (support or opposition) of a column that somebody reads.

In: a `Network` and the literals wanted. Out: `Rows`, each a minimum, a maximum, a k-th largest or a leaf of other rows.
Not here: the order of evaluation, arrays. Turning round is gone here: the opposition of an all-of is the greatest opposition
of its parts, so every row is a positive operation on rows, equal rows are one row, and what nobody reads is not worked out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import combinations

from reasoner.inference.interning import Interned
from reasoner.inference.network import GroundRule, Network

NODES = ("all", "any", "kth")
ATOMS = ("const", "limit", "bits", "ramp")
AT_LEAST, ABOVE, AT_MOST, BELOW = range(4)
FEW = 12
_CONTRARY = {AT_LEAST: BELOW, BELOW: AT_LEAST, ABOVE: AT_MOST, AT_MOST: ABOVE}


class Rows(Interned):
    """An interning table of rows. Row 0 is always true.

    Specifications: ("const", 0 or 1), ("limit", slot, operator, at), ("bits", slot, mask, 1 any of them or 0 none of them),
    ("ramp", slot, other slot or "", from, over, 0 support or 1 opposition), ("lessened", row, ((by, row), ...)),
    ("all", rows), ("any", rows), ("kth", k, rows), ("conclusion", key, side, 0 or 1), ("certainty", key, side, at, 0 or 1).
    """

    def __init__(self, network: Network) -> None:
        super().__init__(("const", 1))
        self.network = network
        self.of_literal: dict[int, int] = {}
        self._crisp: dict[int, bool] = {}
        self.rules_of: dict[tuple[str, str], list[GroundRule]] = {}
        for rule in network.rules:
            self.rules_of.setdefault((rule.page, rule.side), []).append(rule)

    def demand(self, literals: Iterable[int]) -> None:
        """Make the rows of these literals and of everything they read, premises of conclusions included."""
        waiting = list(literals)
        seen: set[int] = set()
        while waiting:
            literal = waiting.pop()
            if literal in seen:
                continue
            seen.add(literal)
            self.row(literal)
            spec = self.network.specs[literal >> 1]
            if spec[0] in ("conclusion", "certainty"):
                waiting += [x for r in self.rules_of.get((spec[1], spec[2]), ()) for x in (r.premise, r.gate)]
            else:
                waiting += self._below(literal)

    def _below(self, literal: int) -> list[int]:
        spec, turned = self.network.specs[literal >> 1], literal & 1
        if spec[0] in NODES:
            return [part ^ turned for part in spec[-1]]
        if spec[0] == "lessened":
            return [(spec[1] << 1) | turned, *(d.literal for d in spec[2])]
        return []

    def row(self, literal: int) -> int:
        """The row of a literal, made if it is new."""
        known = self.of_literal.get(literal)
        if known is None:
            known = self.of_literal[literal] = self._made(literal)
        return known

    def _made(self, literal: int) -> int:
        spec, turned = self.network.specs[literal >> 1], literal & 1
        kind = spec[0]
        if kind == "true":
            return self.intern(("const", 1 - turned))
        if kind == "limit":
            operator = _CONTRARY[spec[3]] if turned else spec[3]
            return self.intern(("limit", spec[2] if turned else spec[1], operator, spec[4]))
        if kind == "member":
            return self.intern(("bits", spec[1], spec[2], 1 - turned))
        if kind == "ramp":
            return self.intern(("ramp", spec[1], spec[2], spec[3], spec[4] - spec[3], turned))
        if kind == "lessened":
            raw = self.row((spec[1] << 1) | turned)
            side = "quiet" if turned else "soreness"
            factors = tuple((d.by, self.row(d.literal)) for d in spec[2] if d.lessens == side)
            return self.intern(("lessened", raw, factors)) if factors else raw
        if kind in ("conclusion", "certainty"):
            return self.intern((*spec, turned))
        parts = tuple(sorted(self.row(part ^ turned) for part in spec[-1]))
        if kind == "kth":
            k = len(parts) - spec[1] + 1 if turned else spec[1]
            if math.comb(len(parts), k) > FEW:
                return self.intern(("kth", k, parts))
            # The k-th largest is the greatest of the least of every k of them: no sorting where that is few.
            return self.node("any", [self.node("all", some) for some in combinations(parts, k)])
        return self.node(("any" if kind == "all" else "all") if turned else kind, parts)

    def node(self, kind: str, parts: Iterable[int]) -> int:
        """The row of an all-of or any-of. Parts that are true or false are put together first: one row is lifted, not many."""
        rows = sorted(parts)
        crisp = [row for row in rows if self.crisp(row)]
        if 1 < len(crisp) < len(rows):
            rows = sorted([*(row for row in rows if not self.crisp(row)), self.intern((kind, tuple(crisp)))])
        return self.intern((kind, tuple(rows)))

    def crisp(self, row: int) -> bool:
        """Whether a row is true or false throughout: a limit, a word, or a node of nothing else."""
        known = self._crisp.get(row)
        if known is None:
            spec = self.specs[row]
            known = spec[0] in ("limit", "bits") or (spec[0] in NODES and all(map(self.crisp, spec[-1])))
            self._crisp[row] = known
        return known

    def reads(self, row: int) -> list[int]:
        """The rows a row is worked out from; those of a conclusion are its rules', and how they are read is strata's choice."""
        spec = self.specs[row]
        if spec[0] in NODES:
            return list(spec[-1])
        if spec[0] == "lessened":
            return [spec[1], *(factor for _, factor in spec[2])]
        if spec[0] == "certainty":
            return [self.intern(("conclusion", spec[1], spec[2], spec[4]))]
        return []
