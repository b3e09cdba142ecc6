"""Order a grounded network into depths, and lay it out as tables.

In: a `Network`. Out: a `Program`; a loop between conclusions is refused, named rule by rule.
Not here: grounding, running.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from reasoner.inference.network import GroundRule, Network
from reasoner.inference.program import Ints, Program, Step
from reasoner.problems import BadInput, Problem, register

register({"RB30": "the rules run in a circle"})

_ATOMS = ("ramp", "limit", "member")
_NODES = ("all", "any", "kth")


def compile_network(network: Network, fires_above: float) -> Program:
    """Lay the network out. Raises BadInput (RB30) if conclusions lean on each other in a circle."""
    return _Layout(network, fires_above).program()


class _Layout:
    def __init__(self, network: Network, fires_above: float) -> None:
        self.network = network
        self.fires_above = fires_above
        self.specs = network.specs
        self.number = {spec: n for n, spec in enumerate(self.specs)}
        self.rules_of: dict[int, list[GroundRule]] = defaultdict(list)
        for rule in network.rules:
            self.rules_of[self.number["conclusion", rule.page, rule.side]].append(rule)
        self.depth: dict[int, int] = {}
        self._depths()
        self.place: dict[int, int] = {}  # from the network's column to the program's

    # -- depths ------------------------------------------------------------------------------------------------------

    def reads(self, column: int) -> list[int]:
        """The columns a column is worked out from."""
        spec = self.specs[column]
        if spec[0] in ("all", "any"):
            return [literal >> 1 for literal in spec[1]]
        if spec[0] == "kth":
            return [literal >> 1 for literal in spec[2]]
        if spec[0] == "lessened":
            return [spec[1], *(discount.literal >> 1 for discount in spec[2])]
        if spec[0] == "conclusion":
            return [lit >> 1 for rule in self.rules_of[column] for lit in (rule.premise, rule.gate)]
        if spec[0] == "certainty":
            return [self.number["conclusion", spec[1], spec[2]]]
        return []

    def _depths(self) -> None:
        """Depth of every column by an explicit stack; a column met while still open closes a loop."""
        state: dict[int, int] = {}
        for root in range(len(self.specs)):
            stack = [(root, iter(self.reads(root)))] if root not in state else []
            if stack:
                state[root] = 1
            while stack:
                column, rest = stack[-1]
                for below in rest:
                    if state.get(below) == 1:
                        self._refuse([c for c, _ in stack], below)
                    if below not in state:
                        state[below] = 1
                        stack.append((below, iter(self.reads(below))))
                        break
                else:
                    stack.pop()
                    state[column] = 2
                    deepest = max((self.depth[b] for b in self.reads(column)), default=-1)
                    own = 0 if self.specs[column][0] in ("true", *_ATOMS, "lessened") else 1
                    if self.specs[column][0] == "certainty":
                        own = 0  # read off in the step of its conclusion
                    # INVARIANT: discounted atoms are worked out before every step, so nodes reading them start at 0.
                    lessened = self.specs[column][0] == "lessened"
                    self.depth[column] = 0 if lessened else max(deepest, 0) + own

    def _refuse(self, open_columns: Sequence[int], again: int) -> None:
        circle = [c for c in open_columns[open_columns.index(again) :] if self.specs[c][0] == "conclusion"]
        named, problems = [], []
        for here, reads in zip(circle, [*circle[1:], circle[0]], strict=True):
            rule = self._rule_between(here, reads)
            named.append(f'"{rule.id}" reads {self.specs[reads][1]}')
        rule = self._rule_between(circle[0], [*circle[1:], circle[0]][0])
        problems.append(
            Problem(rule.page, rule.line, "RB30", f"these rules run in a circle: {'; '.join(named)}.",
                    "Say one of the links under leads_to instead.")
        )  # fmt: skip
        raise BadInput(problems)

    def _rule_between(self, conclusion: int, read: int) -> GroundRule:
        def reaches(column: int) -> bool:
            if column == read:
                return True
            below = self.reads(column) if self.specs[column][0] != "conclusion" else []
            return any(reaches(b) for b in below)

        return next(r for r in self.rules_of[conclusion] if reaches(r.premise >> 1) or reaches(r.gate >> 1))

    # -- layout ------------------------------------------------------------------------------------------------------

    def program(self) -> Program:
        order = {kind: [c for c, spec in enumerate(self.specs) if spec[0] == kind] for kind in (*_ATOMS, "lessened")}
        self.place[0] = 0
        for kind in (*_ATOMS, "lessened"):
            for column in order[kind]:
                self.place[column] = len(self.place)
        later = sorted((c for c in range(len(self.specs)) if c not in self.place), key=lambda c: (self.depth[c], c))
        for column in later:
            self.place[column] = len(self.place)
        names = sorted({n for spec in self.specs if spec[0] in _ATOMS for n in spec[1:3] if isinstance(n, str) and n})
        row = {name: n for n, name in enumerate(names)} | {"": len(names)}
        ramps, limits, members = ([self.specs[c] for c in order[kind]] for kind in _ATOMS)
        factors = self._factors(order["lessened"])
        needed_early = self._closure(d.literal >> 1 for c in order["lessened"] for d in self.specs[c][2])
        early = [c for c in later if c in needed_early]
        rest = [c for c in later if c not in needed_early]
        self.rule_order: list[GroundRule] = []
        self.conclusion_order: list[int] = []
        early_steps, steps = self._steps(early), self._steps(rest)
        return Program(
            slots=tuple(names),
            n_columns=len(self.specs),
            ramp_a=_ints(row[s[1]] for s in ramps),
            ramp_b=_ints(row[s[2]] for s in ramps),
            ramp_from=_floats(s[3] for s in ramps),
            ramp_over=_floats(s[4] - s[3] for s in ramps),
            limit_a=_ints(row[s[1]] for s in limits),
            limit_b=_ints(row[s[2]] for s in limits),
            limit_op=_ints(s[3] for s in limits),
            limit_at=_floats(s[4] for s in limits),
            member=_ints(row[s[1]] for s in members),
            member_mask=_ints(s[2] for s in members),
            early=early_steps,
            lessened=_ints(self.place[self.specs[c][1]] for c in order["lessened"]),
            lessened_write=_ints(self.place[c] for c in order["lessened"]),
            factor_read=_ints(f[0] for f in factors),
            factor_by=_floats(f[1] for f in factors),
            factor_start=_ints(n for n, f in enumerate(factors) if n == 0 or f[2] != factors[n - 1][2]),
            factor_row=_ints(dict.fromkeys(f[2] for f in factors)),
            steps=steps,
            rule_count=len(self.rule_order),
            conclusion_count=len(self.conclusion_order),
            fires_above=self.fires_above,
            concern_literal=_ints(self.literal(c.literal) for c in self.network.concerns),
            wanted_literal=_ints(self.literal(a.wanted_literal) for a in self.network.actions),
            ready_literal=_ints(self.literal(a.ready_literal) for a in self.network.actions),
            forbid_literal=_ints(self.literal(a.forbid_literal) for a in self.network.actions),
            level_literal=_ints(self.literal(lit) for lit in self.network.levels.values()),
            meta=self._meta(),
        )

    def literal(self, literal: int) -> int:
        """A literal of the network as a row of the program's truth table."""
        return (self.place[literal >> 1] << 1) | (literal & 1)

    def _closure(self, columns: Iterable[int]) -> set[int]:
        found, stack = set(), list(columns)
        while stack:
            column = stack.pop()
            if column not in found:
                found.add(column)
                stack += self.reads(column)
        return found

    def _factors(self, lessened: list[int]) -> list[tuple[int, float, int]]:
        """(row of the circumstance, by how much, row of the discounted truth), sorted by the last, then by name."""
        out = []
        for column in lessened:
            for discount in self.specs[column][2]:
                target = self.place[column] * 2 + (1 if discount.lessens == "quiet" else 0)
                out.append((target, discount.circumstance, self.literal(discount.literal), discount.by))
        return [(read, by, target) for target, _, read, by in sorted(out)]

    def _steps(self, columns: Sequence[int]) -> tuple[Step, ...]:
        by_depth: dict[int, list[int]] = defaultdict(list)
        for column in columns:
            by_depth[self.depth[column]].append(column)
        return tuple(self._step(by_depth[depth]) for depth in sorted(by_depth))

    def _step(self, columns: Sequence[int]) -> Step:
        low: list[tuple[int, list[int]]] = []
        high: list[tuple[int, list[int]]] = []
        kth: dict[tuple[int, int], list[tuple[int, list[int]]]] = defaultdict(list)
        for column in columns:
            spec, row = self.specs[column], self.place[column] * 2
            if spec[0] not in _NODES:
                continue
            read = [self.literal(literal) for literal in spec[-1]]
            turned = [literal ^ 1 for literal in read]
            if spec[0] == "all":
                low.append((row, read))
                high.append((row + 1, turned))
            elif spec[0] == "any":
                high.append((row, read))
                low.append((row + 1, turned))
            else:
                size, k = len(read), spec[1]
                kth[k, size].append((row, read))
                kth[size - k + 1, size].append((row + 1, turned))
        parts: dict[str, Any] = {**_gather("low", low), **_gather("high", high), "kth": _kth(kth)}
        return Step(**parts, **self._conclusions(columns))

    def _conclusions(self, columns: Sequence[int]) -> dict[str, Any]:
        conclusions = [c for c in columns if self.specs[c][0] == "conclusion" and self.rules_of[c]]
        first_rule, first_conclusion = len(self.rule_order), len(self.conclusion_order)
        group_start: list[int] = []
        group_sign: list[int] = []
        conclusion_start: list[int] = []
        for column in conclusions:
            conclusion_start.append(len(group_start))
            by_voice = sorted(self.rules_of[column], key=lambda r: (r.strength < 0, r.group, r.id))
            last: tuple[bool, str] | None = None
            for rule in by_voice:
                voice = (rule.strength < 0, rule.group)
                if voice != last:
                    group_start.append(len(self.rule_order) - first_rule)
                    group_sign.append(-1 if rule.strength < 0 else 1)
                    last = voice
                self.rule_order.append(rule)
            self.conclusion_order.append(column)
        rules = self.rule_order[first_rule:]
        limits = [c for c in columns if self.specs[c][0] == "certainty"]
        return {
            "rules": slice(first_rule, len(self.rule_order)),
            "premise": _ints(self.literal(r.premise) for r in rules),
            "gate": _ints(self.literal(r.gate) for r in rules),
            "strength": _floats(abs(r.strength) for r in rules),
            "against": np.array([r.strength < 0 for r in rules], dtype=np.bool_),
            "group_start": _ints(group_start),
            "group_sign": _ints(group_sign),
            "conclusion_start": _ints(conclusion_start),
            "conclusions": slice(first_conclusion, len(self.conclusion_order)),
            "write": _ints(self.place[c] for c in conclusions),
            "limit_read": _ints(self.place[self.number["conclusion", *self.specs[c][1:3]]] for c in limits),
            "limit_value": _floats(self.specs[c][3] for c in limits),
            "limit_write": _ints(self.place[c] for c in limits),
        }

    # -- what explanation reads --------------------------------------------------------------------------------------

    def _meta(self) -> dict[str, Any]:
        """Plain data: every column's meaning, every rule, concern and action, and the causal links."""
        net = self.network
        columns: list[Any] = [None] * len(self.specs)
        for column, spec in enumerate(self.specs):
            if spec[0] in _NODES:
                entry: list[Any] = [spec[0], spec[1] if spec[0] == "kth" else 0, [self.literal(x) for x in spec[-1]]]
            elif spec[0] == "lessened":
                marks = [[d.circumstance, d.lessens, d.by, self.literal(d.literal)] for d in spec[2]]
                entry = ["lessened", self.place[spec[1]], marks]
            else:
                entry = list(spec)
            columns[self.place[column]] = entry
        accounts = [[k, s, [[a.key, a.side, a.depth, list(a.readings)] for a in found]] for (k, s), found in
                    net.accounts.items()]  # fmt: skip
        return {
            "columns": columns,
            "conclusions": [[*self.specs[c][1:3], self.place[c]] for c in self.conclusion_order],
            "rules": [
                [r.id, r.page, r.side, r.number, self.literal(r.premise), self.literal(r.gate), r.strength, r.group]
                for r in self.rule_order
            ],
            "concerns": [[c.page, c.side, c.place, [self.literal(s) for s in c.signs]] for c in net.concerns],
            "actions": [
                [a.page, a.side, [self.literal(x) for x in a.wanted], [self.literal(x) for x in a.needs],
                 [self.literal(x) for x in a.forbids], [list(w) for w in a.works_on]]
                for a in net.actions
            ],
            "accounts": accounts,
            "leads": [[k, s, [list(t) for t in targets]] for (k, s), targets in net.leads.items()],
            "notable": [[self.place[c], key, side] for c, key, side in net.notable],
            "guarded": [[self.place[c], key, side] for c, key, side in net.guarded],
            "spoken": [[self.place[c], key, side, word] for c, key, side, word in net.spoken],
            "levels": list(net.levels),
            "circumstances": self._circumstances(),
            "words": {key: list(words) for key, words in net.words.items()},
        }  # fmt: skip


    def _circumstances(self) -> dict[str, list[int]]:
        """The literals of each circumstance, wherever it discounts something."""
        found: dict[str, set[int]] = defaultdict(set)
        for spec in self.specs:
            if spec[0] == "lessened":
                for discount in spec[2]:
                    found[discount.circumstance].add(self.literal(discount.literal))
        return {name: sorted(literals) for name, literals in sorted(found.items())}


def _ints(values: Iterable[int]) -> Ints:
    return np.array(list(values), dtype=np.int64)


def _floats(values: Iterable[float]) -> Any:
    return np.array(list(values), dtype=np.float64)


def _gather(name: str, entries: list[tuple[int, list[int]]]) -> dict[str, Ints]:
    read = [literal for _, literals in entries for literal in literals]
    starts, at = [], 0
    for _, literals in entries:
        starts.append(at)
        at += len(literals)
    return {f"{name}_read": _ints(read), f"{name}_start": _ints(starts), f"{name}_write": _ints(w for w, _ in entries)}


def _kth(entries: dict[tuple[int, int], list[tuple[int, list[int]]]]) -> tuple[tuple[int, Ints, Ints], ...]:
    return tuple(
        (k, np.array([read for _, read in group], dtype=np.int64), _ints(row for row, _ in group))
        for (k, _), group in sorted(entries.items())
    )
