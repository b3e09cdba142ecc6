"""Whether there is any visit at all in which a condition holds.

In: a `Network`, its rulebook, literals. Out: yes or no, and how certain each conclusion can become at most.
Not here: what room a single atom leaves (room_left), what is wrong if there is none (never). A question too tangled to be
settled in `MOST_STEPS` steps is answered yes, and what makes findings less trustworthy is left out: no false alarm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations
from typing import Any

from reasoner.inference.network import GroundRule, Network
from reasoner.inference.slots import SORENESS, slot
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulecare.room_left import Room, ranges_of

MOST_STEPS = 20_000
Key = tuple[str, str]
Goal = tuple[int, float]  # a literal, and the degree it must be above


class Possible:
    """Answers for one network. The rules must not run in a circle."""

    def __init__(self, network: Network, book: Rulebook) -> None:
        self.network, self.fires_above = network, book.scales.fires_above
        self.rules_of: dict[Key, list[GroundRule]] = {}
        for rule in network.rules:
            self.rules_of.setdefault((rule.page, rule.side), []).append(rule)
        self.empty = ranges_of(_ranges(book))
        self._fires: dict[int, bool] = {}
        self._reach: dict[Key, tuple[float, float]] = {}
        self._steps = 0

    def holds(self, *literals: int) -> bool:
        """Whether all of these can have support in one and the same visit."""
        return self._together([(literal, 0.0) for literal in literals])

    def fires(self, rule: GroundRule) -> bool:
        """Whether a rule can ever be heard: its premise above the threshold, and its gate not shut."""
        if id(rule) not in self._fires:
            self._fires[id(rule)] = self._together([(rule.premise, self.fires_above), (rule.gate, 0.0)])
        return self._fires[id(rule)]

    def reach(self, key: Key) -> tuple[float, float]:
        """The least and the greatest certainty a conclusion can have, were each of its rules to speak at full strength."""
        if key not in self._reach:
            self._reach[key] = (0.0, 0.0)
            loudest: dict[tuple[str, bool], float] = {}
            for rule in self.rules_of.get(key, ()):
                if self.fires(rule):
                    group = rule.group, rule.strength > 0
                    loudest[group] = max(loudest.get(group, 0.0), -math.log1p(-abs(rule.strength)))
            low = sum(w for (_, speaks_for), w in loudest.items() if not speaks_for)
            high = sum(w for (_, speaks_for), w in loudest.items() if speaks_for)
            self._reach[key] = (math.expm1(-low), -math.expm1(-high))
        return self._reach[key]

    def _together(self, goals: list[Goal]) -> bool:
        steps, self._steps = self._steps, 0  # one question may ask another on its way
        try:
            return self._all(goals, self.empty)
        finally:
            self._steps = steps

    def _all(self, goals: list[Goal], room: Room) -> bool:
        """Depth first: what is plain is settled first, what leaves a choice is put last."""
        self._steps += 1
        if self._steps > MOST_STEPS:
            return True
        choices: list[tuple[Goal, list[tuple[int, ...]]]] = []
        waiting = list(goals)
        while waiting:
            literal, above = waiting.pop()
            spec, turned = self.network.specs[literal >> 1], bool(literal & 1)
            kind = spec[0]
            if kind == "lessened":
                waiting.append(((spec[1] << 1) | turned, above))
            elif kind in ("all", "any", "kth"):
                ways = list(_ways(spec, turned))
                if len(ways) != 1:
                    choices.append(((literal, above), ways))
                else:
                    waiting += [(part, above) for part in ways[0]]
            elif kind == "true":
                if turned:
                    return False
            elif kind in ("conclusion", "certainty"):
                if not self._can_be(spec, turned, above):
                    return False
            else:
                left = room.after(spec, turned, above)
                if left is None:
                    return False
                room = left
        if not choices:
            return True
        choices.sort(key=lambda choice: len(choice[1]))
        (_, above), ways = choices[0]
        rest = [goal for goal, _ in choices[1:]]
        return any(self._all([*((part, above) for part in way), *rest], room) for way in ways)

    def _can_be(self, spec: tuple[Any, ...], turned: bool, above: float) -> bool:
        """Whether an earlier conclusion can be as supported, or as far against, as is asked."""
        low, high = self.reach((spec[1], spec[2]))
        if spec[0] == "certainty":
            return bool(low < spec[3] if turned else high >= spec[3])
        return -low > above if turned else high > above


def _ways(spec: tuple[Any, ...], turned: bool) -> Iterator[tuple[int, ...]]:
    """The sets of parts of which one must hold, so that the node does; of a turned node, its turned parts."""
    parts = tuple(part ^ turned for part in spec[-1])
    least = spec[1] if spec[0] == "kth" else len(parts) if spec[0] == "all" else 1
    yield from combinations(parts, len(parts) - least + 1 if turned else least)


def _ranges(book: Rulebook) -> dict[str, tuple[float, float]]:
    """The numbers each slot can hold: soreness from 0 to 10, and what the vocabulary says of each observation."""
    out: dict[str, tuple[float, float]] = {}
    for place in book.vocabulary.places:
        for side in ("", "left", "right"):
            out |= {slot(place, side, quality): (0.0, 10.0) for quality in SORENESS.values()}
    for key, observation in book.vocabulary.observations.items():
        for side in ("", "left", "right"):
            if observation.range is not None:
                out[slot(key, side, "value")] = observation.range
            elif observation.kind == "count":
                out[slot(key, side, "value")] = (0.0, float("inf"))
            elif observation.kind == "date":
                out[slot(key, side, "days")] = (0.0, float("inf"))
    return out
