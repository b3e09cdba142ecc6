"""Which way a conclusion can move when one reading rises, worked out from the network.

In: a `Network`, the slots that rise. Out: for every conclusion the directions in which its certainty can move.
Not here: running anything.
"""

from __future__ import annotations

from collections.abc import Set

from reasoner.inference.network import GroundRule, Network

UP, DOWN = 1, -1
Directions = frozenset[int]
STILL: Directions = frozenset()
EITHER: Directions = frozenset((UP, DOWN))


def _turned(directions: Directions) -> Directions:
    return frozenset(-d for d in directions)


class Polarity:
    """The directions for one set of rising slots."""

    def __init__(self, network: Network, rising: Set[str]) -> None:
        self.network, self.rising = network, rising
        self._rules: dict[tuple[str, str], list[GroundRule]] = {}
        for rule in network.rules:
            self._rules.setdefault((rule.page, rule.side), []).append(rule)
        self._known: dict[int, Directions] = {}

    def conclusion(self, key: str, side: str) -> Directions:
        """Which way a conclusion's certainty can move."""
        out = STILL
        for rule in self._rules.get((key, side), []):
            moves = self.literal(rule.premise) | self.literal(rule.gate)
            out |= moves if rule.strength > 0 else _turned(moves)
        return out

    def literal(self, literal: int) -> Directions:
        """Which way the support of a literal can move; the opposition of a column is the support of its other literal."""
        if literal not in self._known:
            self._known[literal] = self._literal(literal)
        return self._known[literal]

    def _literal(self, literal: int) -> Directions:
        spec, opposed = self.network.specs[literal >> 1], literal & 1
        kind = spec[0]
        if kind in ("all", "any", "kth"):
            return frozenset().union(*(self.literal(part ^ opposed) for part in spec[-1]))
        if kind == "lessened":
            out = self.literal(spec[1] << 1 | opposed)
            for discount in spec[2]:
                if (discount.lessens == "quiet") == bool(opposed):
                    out |= _turned(self.literal(discount.literal))
            return out
        if kind in ("conclusion", "certainty"):
            moves = self.conclusion(spec[1], spec[2])
        elif kind == "ramp":
            moves = frozenset(([UP] if spec[1] in self.rising else []) + ([DOWN] if spec[2] in self.rising else []))
        elif kind == "limit":
            read = spec[2] if opposed else spec[1]
            moves = frozenset([UP if spec[3] in (0, 1) else DOWN] if read in self.rising else [])
        elif kind == "member":
            moves = EITHER if spec[1] in self.rising else STILL
        else:
            moves = STILL
        return _turned(moves) if opposed else moves
