"""The record of one run on one visit, in words of the rulebook's own keys: what every rule, sign and leaf came to.

In: a `Program` and a `Result` of one row that kept its record. Out: `Record`, looked into by key and side.
Not here: sentences, and working anything out again: a view reads, it never re-derives.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cached_property
from typing import TYPE_CHECKING, Any

from reasoner.frozen import frozen
from reasoner.inference.evaluate import Result
from reasoner.inference.program import DIGITS, UNIT, Program

if TYPE_CHECKING:
    from fractions import Fraction

Key = tuple[str, str]


@frozen
class Applied:
    """One rule as it came out: `state` is "fired", "below" (known, not above the threshold) or "waits" (unknown).

    `degree` in [0, 1] after the gate; `unit` its signed weight in 2^-40 before groups; `ties` how many rules of its group
    share in being the strongest, 0 where a stronger one spoke.
    """

    id: str
    page: str
    side: str
    number: int
    premise: int
    gate: int
    strength: float
    group: str
    state: str
    support: float
    opposition: float
    degree: float
    unit: int
    ties: int

    @property
    def contribution(self) -> float:
        """Strength times degree, signed."""
        return round(self.strength * self.degree, 9)

    @property
    def share(self) -> float:
        """The part of its weight that the conclusion's weight holds, in natural-log units."""
        return self.unit / self.ties / UNIT if self.ties else 0.0

    @property
    def counted(self) -> Fraction:
        """The same, exact and in units: the counted parts of a conclusion's rules add up to its weight."""
        from fractions import Fraction

        return Fraction(self.unit, self.ties) if self.ties else Fraction(0)


@frozen
class Record:
    """One visit's run. Literal 2c is the support of column c, 2c + 1 its opposition.

    The run keeps the pair of every leaf and conclusion; a node between follows from its leaves by minimum, maximum or k-th
    largest and is looked up here when asked for.
    """

    program: Program
    result: Result

    def support(self, literal: int) -> float:
        """How far the literal is supported, in [0, 1]."""
        known = self._known.get(literal)
        if known is None:
            known = self._known[literal] = self._looked_up(literal)
        return known

    def _looked_up(self, literal: int) -> float:
        at = int(self.program.truth_from[literal])
        if at >= 0:
            return float(self._rows[at])
        _, k, parts = self.entry(literal >> 1)
        degrees = sorted([self.support(part ^ (literal & 1)) for part in parts], reverse=True)
        return degrees[self._rank(literal, k, len(parts)) - 1]

    def _rank(self, literal: int, k: int, size: int) -> int:
        """A node's support is the k-th largest of its parts; turned round, the (n - k + 1)-th largest of their opposition."""
        k = {"all": size, "any": 1}.get(self.entry(literal >> 1)[0], k)
        return size - k + 1 if literal & 1 else k

    @cached_property
    def _known(self) -> dict[int, float]:
        return {}

    @cached_property
    def _rows(self) -> list[float]:
        assert self.result.leaves is not None, "a record needs the leaves of its run"
        crisp, graded = self.result.leaves
        return [*crisp[:, 0].tolist(), *graded[:, 0].tolist()]

    def pair(self, literal: int) -> tuple[float, float]:
        """(support, opposition) of a literal."""
        return self.support(literal), self.support(literal ^ 1)

    @cached_property
    def conclusions(self) -> tuple[Key, ...]:
        """(key, side) of every conclusion that has rules, in the program's order."""
        return tuple((key, side) for key, side in self.program.meta["conclusions"])

    @cached_property
    def _at(self) -> dict[Key, int]:
        return {key: n for n, key in enumerate(self.conclusions)}

    def certainty(self, key: str, side: str) -> float:
        """The certainty of a conclusion, in [-1, 1]; 0 where no rule speaks of it."""
        number = self._at.get((key, side))
        return 0.0 if number is None else float(self.result.certainty[number, 0])

    def weight(self, key: str, side: str) -> int:
        """The weight of a conclusion in units of 2^-40."""
        number = self._at.get((key, side))
        return 0 if number is None else int(self.result.weight[number, 0])

    @cached_property
    def applied(self) -> tuple[Applied, ...]:
        """Every ground rule, in canonical order."""
        return tuple(self._rule(number) for number in range(len(self.program.meta["rules"])))

    def _rule(self, number: int) -> Applied:
        """One ground rule as it came out, laid out when it is asked for."""
        known = self._rules.get(number)
        if known is None:
            assert self.result.degree is not None
            name, page, side, turn, premise, gate, strength, group = self.program.meta["rules"][number]
            unit = self._units[number]
            most, ties = self._loudest[page, side, strength < 0, group]
            support, opposition = self.pair(premise)
            known = self._rules[number] = Applied(
                name, page, side, turn, premise, gate, strength, group, self.state(premise), support, opposition,
                float(self.result.degree[number, 0]), unit, ties if unit and abs(unit) == most else 0,
            )  # fmt: skip
        return known

    @cached_property
    def _rules(self) -> dict[int, Applied]:
        return {}

    @cached_property
    def _units(self) -> list[int]:
        assert self.result.unit is not None
        units: list[int] = self.result.unit[:, 0].tolist()
        return units

    @cached_property
    def _loudest(self) -> dict[tuple[str, str, bool, str], list[int]]:
        """[the greatest weight, how many rules have it] of every group of every conclusion and sign."""
        best: dict[tuple[str, str, bool, str], list[int]] = {}
        for (_, page, side, _, _, _, strength, group), unit in zip(
            self.program.meta["rules"], self._units, strict=True
        ):
            slot = best.setdefault((page, side, strength < 0, group), [0, 0])
            if abs(unit) > slot[0]:
                slot[:] = [abs(unit), 1]
            elif abs(unit) == slot[0]:
                slot[1] += 1
        return best

    def state(self, premise: int) -> str:
        """What becomes of a rule with this premise: it fires, waits on what is unknown, or stays below the threshold."""
        support, opposition = self.pair(premise)
        if support > self.program.fires_above:
            return "fired"
        return "waits" if opposition < 1.0 - self.program.fires_above and self.could_rise(premise) else "below"

    def could_rise(self, literal: int) -> bool:
        """Whether some leaf below this literal is unknown and could still lift it above the threshold."""
        return self.best(literal) > self.program.fires_above

    def best(self, literal: int) -> float:
        """The most this literal's support could be with every unknown leaf at its best.

        An earlier conclusion of which nothing is known counts by what its rules could bring it to together, one voice a
        group; one that is known, as it stands.
        """
        known = self._best.get(literal)
        if known is None:
            known = self._best[literal] = self._at_best(literal)
        return known

    @cached_property
    def _best(self) -> dict[int, float]:
        return {}

    def _at_best(self, literal: int) -> float:
        entry = self.entry(literal >> 1)
        if entry[0] in ("all", "any", "kth"):
            parts = sorted((self.best(part ^ (literal & 1)) for part in entry[2]), reverse=True)
            return parts[self._rank(literal, entry[1], len(parts)) - 1]
        support, opposition = self.pair(literal)
        if entry[0] in ("conclusion", "certainty"):
            if support or opposition:
                return support
            voices: dict[str, float] = {}
            for strength, premise, group in self._waiting(literal):
                voices[group] = max(voices.get(group, 0.0), abs(strength) * self.best(premise))
            rising = round(1.0 - math.prod(1.0 - voice for voice in voices.values()), DIGITS)
            return rising if entry[0] == "conclusion" else float(rising >= entry[3])
        return 1.0 if support == 0.0 and opposition == 0.0 and entry[0] != "true" else support

    def _waiting(self, literal: int) -> Iterator[tuple[float, int, str]]:
        """(strength, premise, group) of the rules that could still bring up a conclusion of which nothing is known."""
        entry = self.entry(literal >> 1)
        for strength, premise, group in self._speaking_of.get((entry[1], entry[2], bool(literal & 1)), ()):
            if self.could_rise(premise):
                yield strength, premise, group

    @cached_property
    def _speaking_of(self) -> dict[tuple[str, str, bool], list[tuple[float, int, str]]]:
        """(strength, premise, group) of the rules for (False) and against (True) each conclusion."""
        out: dict[tuple[str, str, bool], list[tuple[float, int, str]]] = {}
        for _, page, side, _, premise, _, strength, group in self.program.meta["rules"]:
            out.setdefault((page, side, strength < 0), []).append((strength, premise, group))
        return out

    def rules_of(self, key: str, side: str) -> tuple[Applied, ...]:
        """The rules of one conclusion in the order of its page, as they came out."""
        return tuple(self._rule(number) for number in self._by_conclusion.get((key, side), ()))

    @cached_property
    def _by_conclusion(self) -> dict[Key, list[int]]:
        """The places of each conclusion's rules in the canonical order, in the order of its page."""
        out: dict[Key, list[tuple[int, int]]] = {}
        for place, (_, page, side, turn, *_) in enumerate(self.program.meta["rules"]):
            out.setdefault((page, side), []).append((turn, place))
        return {key: [place for _, place in sorted(turns)] for key, turns in out.items()}

    def unknown_leaves(self, literal: int) -> Iterator[int]:
        """The columns of the atoms below a literal about which nothing is recorded, through earlier conclusions too."""
        for column in self.leaves(literal):
            if self.pair(column << 1) == (0.0, 0.0):
                kind = self.entry(column)[0]
                if kind in ("conclusion", "certainty"):
                    for turned in (0, 1):
                        for _, premise, _ in self._waiting((column << 1) | turned):
                            yield from self.unknown_leaves(premise)
                elif kind != "true":
                    yield column

    def leaves(self, literal: int) -> Iterator[int]:
        """The columns of the raw atoms and conclusions below a literal, each once, in order."""
        seen: set[int] = set()
        stack = [literal >> 1]
        while stack:
            column = stack.pop()
            if column in seen:
                continue
            seen.add(column)
            entry = self.entry(column)
            if entry[0] in ("all", "any", "kth"):
                stack.extend(part >> 1 for part in reversed(entry[2]))
            elif entry[0] == "lessened":
                stack.append(entry[1])
            else:
                yield column

    def entry(self, column: int) -> list[Any]:
        """What a column means, as plain data (see strata)."""
        columns: list[list[Any]] = self.program.meta["columns"]
        return columns[column]

    def raised(self) -> Iterator[tuple[int, str, str, str, tuple[int, ...]]]:
        """(number, page, side, place, numbers of the signs seen) of every concern raised."""
        for number in self.result.concern[:, 0].nonzero()[0].tolist():
            page, side, place, signs = self.program.meta["concerns"][number]
            seen = tuple(n for n, sign in enumerate(signs) if self.support(sign) > self.program.fires_above)
            yield number, page, side, place, seen
