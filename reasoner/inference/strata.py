"""Order the rows of a network into depths, and lay them out as tables.

In: a `Network`. Out: a `Program`, full (with the record) or lean (only what the answers need).
Not here: grounding, running; what a row is (rows).
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from reasoner.inference.arrays import NARROW, Group, bits, gather, ints, pairs, together, upright
from reasoner.inference.circles import refuse_circles
from reasoner.inference.meaning import meta_of
from reasoner.inference.network import GroundRule, Network
from reasoner.inference.program import Kth, Program, Sized, Step, Words, units
from reasoner.inference.rows import ATOMS, NODES, Rows
from reasoner.inference.slots import split

LIFT = 3  # the phase of a step in which crisp rows become graded ones


def compile_network(network: Network, fires_above: float, *, full: bool = True) -> Program:
    """Lay the network out. Raises BadInput (RB30) if conclusions lean on each other in a circle."""
    refuse_circles(network)
    return _Layout(network, fires_above, full).program()


class _Layout:
    def __init__(self, network: Network, fires_above: float, full: bool) -> None:
        self.network, self.fires_above, self.full = network, fires_above, full
        self.rows = Rows(network)
        self.never = self.rows.intern(("const", 0))
        self.rows.demand(self._roots())
        # In a lean program a rule with a gate is one row, where both sides of it are true or false.
        self.flags = {} if full else {id(rule): self._both(rule) for rule in network.rules}
        for spec in [spec for spec in self.rows.specs if spec[0] == "ramp" and spec[5]]:
            self.rows.intern((*spec[:5], 0))  # opposition is worked out from support
        # INVARIANT: each conclusion that has rules stands once, with both its rows, whoever reads it.
        for key, side in network.conclusions:
            if (key, side) in self.rows.rules_of:
                for turned in (0, 1):
                    self.rows.intern(("conclusion", key, side, turned))
        self.specs = self.rows.specs
        self.crisp: set[int] = set()
        self.depth: dict[int, int] = {}
        self._order()
        self.rule_order: list[GroundRule] = []
        self.conclusion_order: list[tuple[str, str]] = []

    def _roots(self) -> list[int]:
        net = self.network
        leaves = [c for c, spec in enumerate(net.specs) if spec[0] not in NODES] if self.full else []
        roots = [x for c in leaves for x in (2 * c, 2 * c + 1)]
        roots += [x for rule in net.rules for x in (rule.premise, rule.gate)]
        roots += [c.literal for c in net.concerns] + list(net.levels.values())
        return roots + [x for a in net.actions for x in (a.wanted_literal, a.ready_literal, a.forbid_literal)]

    def _both(self, rule: GroundRule) -> int:
        premise, gate = self.rows.row(rule.premise), self.rows.row(rule.gate)
        return premise if gate == 0 else self.rows.node("all", (premise, gate))

    def _flag(self, rule: GroundRule) -> bool:
        """Whether a rule is true or false throughout, and so read where the crisp rows stand."""
        return not self.full and self.rows.crisp(self.flags[id(rule)])

    def _reads(self, row: int) -> list[int]:
        """The rows a row is worked out from; of a rule that is read as one crisp row, that one."""
        spec = self.specs[row]
        if spec[0] != "conclusion":
            return self.rows.reads(row)
        found: list[int] = []
        for rule in self.rows.rules_of.get((spec[1], spec[2]), ()):
            own = (
                [self.flags[id(rule)]] if self._flag(rule) else [self.rows.row(rule.premise), self.rows.row(rule.gate)]
            )
            found += own
        return found

    def _order(self) -> None:
        """Which rows are crisp, and in which step each is worked out: `crisp` and `depth`. The rows have no circle.

        Within a step the phases run one after the other, so a row stands in the step of the latest row it reads if that
        row's phase comes before its own, else in the next.
        """
        for root in range(len(self.specs)):
            stack = [root]
            while stack:
                row = stack[-1]
                reads = self._reads(row)
                missing = [] if row in self.depth else [below for below in reads if below not in self.depth]
                if missing:
                    stack += missing
                    continue
                stack.pop()
                if row not in self.depth:
                    if self.rows.crisp(row):
                        self.crisp.add(row)
                    phase = self._phase(row)
                    self.depth[row] = max((self.depth[b] + (self._ready(b, row) >= phase) for b in reads), default=0)

    def _phase(self, row: int) -> int:
        """When in its step a row is worked out; leaves stand before every step."""
        kind = self.specs[row][0]
        if kind in ATOMS:
            return -1
        if row in self.crisp:
            return {"all": 0, "any": 1, "kth": 2}[kind]
        return {"lessened": 4, "all": 5, "any": 6, "kth": 7, "conclusion": 8, "certainty": 9}[kind]

    def _ready(self, row: int, reader: int) -> int:
        """The phase after which `reader` may read `row`: a crisp row must first be lifted for a graded one."""
        return LIFT if row in self.crisp and reader not in self.crisp else self._phase(row)

    def _readings(self, name: str) -> Sequence[str]:
        """The words that can be recorded in a slot."""
        key, _, quality = split(name)
        own = self.network.words.get(key)
        return own or self.network.words[f"*{quality.split('_')[0]}"]

    # -- layout ------------------------------------------------------------------------------------------------------

    def program(self) -> Program:
        net, specs = self.network, self.specs
        limits = sorted((r for r in self.crisp if specs[r][0] == "limit"), key=lambda r: (specs[r][2], r))
        wide = {r for r in self.crisp if specs[r][0] == "bits" and len(self._readings(specs[r][1])) >= NARROW}
        words = sorted((r for r in self.crisp if specs[r][0] == "bits"), key=lambda r: (r in wide, not specs[r][3], r))
        nodes = sorted((r for r in self.crisp if specs[r][0] in NODES), key=self._place)
        self.crisp_at = {row: n for n, row in enumerate([*limits, *words, *nodes])}
        plain = [r for r, spec in enumerate(specs) if spec[0] == "ramp" and not spec[5]]
        plain.sort(key=lambda r: (specs[r][2] != "", r))
        turned = sorted(r for r, spec in enumerate(specs) if spec[0] == "ramp" and spec[5])
        ramps = [*plain, *turned]
        outputs = [x for a in net.actions for x in (a.wanted_literal, a.ready_literal, a.forbid_literal)]
        lifted = self._lifted([self.rows.row(x) for x in outputs])
        graded = [r for r in range(len(specs)) if r not in self.crisp and specs[r][0] not in ("const", "ramp")]
        self.graded_at = {0: 0, self.never: 1}
        for row in [*ramps, *lifted, *sorted(graded, key=self._place)]:
            self.graded_at[row] = len(self.graded_at)
        names = sorted({n for spec in net.specs for n in _slots(spec)})
        slot = {name: n for n, name in enumerate(names)}
        steps = self._steps(lifted)
        return Program(
            slots=tuple(names),
            full=self.full,
            n_crisp=len(self.crisp_at),
            n_graded=len(self.graded_at),
            limit_slot=ints(slot[specs[r][1]] for r in limits),
            limit_at=upright(specs[r][3] for r in limits),
            limit_ops=tuple(sum(specs[r][2] == op for r in limits) for op in range(4)),
            narrow=self._words([r for r in words if r not in wide], slot),
            wide=self._words([r for r in words if r in wide], slot),
            ramp_a=ints(slot[specs[r][1]] for r in plain),
            ramp_b=ints(slot[specs[r][2]] for r in plain if specs[r][2]),
            ramp_from=upright(specs[r][3] for r in plain),
            ramp_over=upright(specs[r][4] for r in plain),
            ramp_turned=ints(plain.index(self.rows.index[(*specs[r][:5], 0)]) for r in turned),
            steps=steps,
            rule_count=len(self.rule_order),
            conclusion_count=len(self.conclusion_order),
            fires_above=self.fires_above,
            truth_from=ints(self._found(x) for x in range(2 * len(net.specs))) if self.full else ints([]),
            concern_row=ints(self._crisp_row(c.literal) for c in net.concerns),
            level_row=ints(self._crisp_row(x) for x in net.levels.values()),
            wanted_row=ints(self.graded_at[self.rows.row(a.wanted_literal)] for a in net.actions),
            ready_row=ints(self.graded_at[self.rows.row(a.ready_literal)] for a in net.actions),
            forbid_row=ints(self.graded_at[self.rows.row(a.forbid_literal)] for a in net.actions),
            meta=meta_of(net, self.conclusion_order, self.rule_order),
        )

    def _words(self, rows: Sequence[int], slot: Mapping[str, int]) -> Words:
        asked = [self.specs[r] for r in rows]
        slots = sorted({spec[1] for spec in asked})
        # INVARIANT: above every bit that can be recorded, whether or not a rule asks for that word.
        unknown = 1 << max((len(self._readings(name)) for name in slots), default=0)
        return Words(
            bit_slot=ints(slot[name] for name in slots),
            word_slot=ints(slots.index(spec[1]) for spec in asked),
            word_mask=bits((spec[2] | (0 if spec[3] else unknown) for spec in asked), unknown),
            n_any=sum(spec[3] for spec in asked),
            unknown_bit=unknown,
        )

    def _place(self, row: int) -> tuple[int, int, int, int]:
        """The order of rows in their table: what is written in one stroke stands together."""
        spec = self.specs[row]
        size = 0
        if spec[0] in ("all", "any") and row in self.crisp:
            size = 0 if len(spec[1]) == 2 else 1
        elif spec[0] in ("all", "any") and not self.full:
            size = len(spec[1])
        elif spec[0] == "conclusion":
            size = 0 if (spec[1], spec[2]) in self.rows.rules_of else 1
        elif spec[0] == "kth":
            size = spec[1] * 1_000_000 + len(spec[2])
        return self.depth[row], self._phase(row), size, row

    def _crisp_row(self, literal: int) -> int:
        """A concern's row among the crisp ones; -1 (the row after the last, never true) where nothing can raise it."""
        row = self.rows.row(literal)
        return -1 if row == self.never else self.crisp_at[row]

    def _found(self, literal: int) -> int:
        """Where the record finds a literal: in the crisp rows, or behind them in the graded ones; -1 if nowhere."""
        row = self.rows.of_literal.get(literal)
        if row is None:
            return -1
        return self.crisp_at[row] if row in self.crisp_at else len(self.crisp_at) + self.graded_at[row]

    def _lifted(self, outputs: Sequence[int]) -> list[int]:
        """The crisp rows that something graded reads."""
        wanted = {row for row in outputs if row in self.crisp}
        for row in range(len(self.specs)):
            if row not in self.crisp and self.specs[row][0] != "conclusion":
                wanted |= {below for below in self.rows.reads(row) if below in self.crisp}
        for rule in self.network.rules:
            if not self._flag(rule):
                wanted |= {self.rows.row(rule.premise), self.rows.row(rule.gate)} & self.crisp
        return sorted(wanted, key=self._place)

    def _steps(self, lifted: Sequence[int]) -> tuple[Step, ...]:
        rows_at: dict[int, list[int]] = defaultdict(list)
        lift_at: dict[int, list[int]] = defaultdict(list)
        for row, depth in self.depth.items():
            if self.specs[row][0] not in ATOMS:
                rows_at[depth].append(row)
        for row in lifted:
            lift_at[self.depth[row]].append(row)
        depths = sorted(set(rows_at) | set(lift_at))
        return tuple(self._step(sorted(rows_at[d], key=self._place), lift_at[d]) for d in depths)

    def _step(self, rows: Sequence[int], lift: Sequence[int]) -> Step:
        crisp = [r for r in rows if r in self.crisp]
        graded = [r for r in rows if r not in self.crisp]
        lessened = [r for r in graded if self.specs[r][0] == "lessened"]
        products = list(dict.fromkeys(self.specs[row][2] for row in lessened))
        factors = [(n, by, self.graded_at[f]) for n, product in enumerate(products) for by, f in product]
        parts: dict[str, Any] = {
            **pairs("both", "and", self._groups(crisp, "all", self.crisp_at)),
            **pairs("either", "or", self._groups(crisp, "any", self.crisp_at)),
            "count": self._kth(crisp, self.crisp_at),
            "lift_read": ints(self.crisp_at[r] for r in lift),
            "lift_write": together([self.graded_at[r] for r in lift]),
            "raw_read": ints(self.graded_at[self.specs[r][1]] for r in lessened),
            "raw_write": together([self.graded_at[r] for r in lessened]),
            "raw_factor": ints(products.index(self.specs[r][2]) for r in lessened),
            "factor_read": ints(f[2] for f in factors),
            "factor_by": upright(-f[1] for f in factors),
            "factor_start": ints(n for n, f in enumerate(factors) if n == 0 or f[0] != factors[n - 1][0]),
            **gather("low", self._groups(graded, "all", self.graded_at) if self.full else []),
            **gather("high", self._groups(graded, "any", self.graded_at) if self.full else []),
            "sized": () if self.full else self._sized(graded),
            "kth": self._kth(graded, self.graded_at),
        }
        return Step(**parts, **self._conclusions(graded))

    def _groups(self, rows: Sequence[int], kind: str, at: dict[int, int]) -> list[Group]:
        return [(at[r], [at[part] for part in self.specs[r][1]]) for r in rows if self.specs[r][0] == kind]

    def _sized(self, rows: Sequence[int]) -> Sized:
        """Graded nodes by kind and size: each kind and size is one stroke over a block."""
        groups: dict[tuple[bool, int], list[Group]] = defaultdict(list)
        for most, kind in ((False, "all"), (True, "any")):
            for group in self._groups(rows, kind, self.graded_at):
                groups[most, len(group[1])].append(group)
        return tuple(
            (most, np.array([read for _, read in group], dtype=np.int64), together([write for write, _ in group]))
            for (most, _), group in groups.items()
        )

    def _kth(self, rows: Sequence[int], at: dict[int, int]) -> Kth:
        groups: dict[tuple[int, int], list[Group]] = defaultdict(list)
        for row in rows:
            if self.specs[row][0] == "kth":
                _, k, parts = self.specs[row]
                groups[k, len(parts)].append((at[row], [at[part] for part in parts]))
        return tuple(
            (k, np.array([read for _, read in group], dtype=np.int64), ints(write for write, _ in group))
            for (k, _), group in sorted(groups.items())
        )

    def _conclusions(self, rows: Sequence[int]) -> dict[str, Any]:
        # Conclusions without rules come last in their phase and are left at 0: they are written by nobody.
        ends = [self.specs[r] for r in rows if self.specs[r][0] == "conclusion"]
        keys = sorted({(s[1], s[2]) for s in ends if (s[1], s[2]) in self.rows.rules_of})
        first_rule, first_conclusion = len(self.rule_order), len(self.conclusion_order)
        group_start: list[int] = []
        group_sign: list[int] = []
        conclusion_start: list[int] = []
        for key in keys:
            conclusion_start.append(len(group_start))
            last: tuple[bool, str] | None = None
            for rule in sorted(self.rows.rules_of[key], key=lambda r: (r.strength < 0, r.group, r.id)):
                voice = (rule.strength < 0, rule.group)
                if voice != last:
                    group_start.append(len(self.rule_order) - first_rule)
                    group_sign.append(-1 if rule.strength < 0 else 1)
                    last = voice
                self.rule_order.append(rule)
            self.conclusion_order.append(key)
        rules = self.rule_order[first_rule:]
        voices = [bisect_right(group_start, n) - 1 for n in range(len(rules))]
        flags = [n for n, rule in enumerate(rules) if self._flag(rule)]
        apart = set(flags)
        graded = [(n, rule) for n, rule in enumerate(rules) if n not in apart]
        here = {key: n for n, key in enumerate(keys)}
        told = [t for t in ends if (t[1], t[2]) in here]
        limits = [r for r in rows if self.specs[r][0] == "certainty"]
        read = [self.rows.index["conclusion", self.specs[r][1], self.specs[r][2], self.specs[r][4]] for r in limits]
        return {
            "rules": slice(first_rule, len(self.rule_order)),
            "premise": ints(self.graded_at[self.rows.row(r.premise)] for _, r in graded),
            "gate": ints(self.graded_at[self.rows.row(r.gate)] for _, r in graded),
            "gated": any(self.rows.row(r.gate) for _, r in graded),
            "strength": upright(-abs(r.strength) for _, r in graded),
            "sign": ints(-1 if r.strength < 0 else 1 for r in rules).reshape(-1, 1),
            "group_start": ints(group_start),
            "group_sign": ints(group_sign).reshape(-1, 1),
            "voice": ints(voices[n] for n, _ in graded),
            "owner": ints(bisect_right(conclusion_start, n) - 1 for n in range(len(group_start))),
            "flag_read": ints(self.crisp_at[self.flags[id(rules[n])]] for n in flags),
            "flag_voice": ints(voices[n] for n in flags),
            "flag_unit": units(upright(-abs(rules[n].strength) for n in flags))[:, 0],
            "conclusion_start": ints(conclusion_start),
            "conclusions": slice(first_conclusion, len(self.conclusion_order)),
            "told_read": ints(here[t[1], t[2]] for t in told),
            "told_sign": upright(-1.0 if t[3] else 1.0 for t in told),
            "told_write": together([self.graded_at[self.rows.index[t]] for t in told]),
            "limit_read": ints(self.graded_at[r] for r in read),
            "limit_value": upright(self.specs[r][3] for r in limits),
            "limit_write": together([self.graded_at[r] for r in limits]),
        }


def _slots(spec: tuple[Any, ...]) -> list[str]:
    """The slots a column's specification reads."""
    return [n for n in spec[1:3] if isinstance(n, str) and n] if spec[0] in ("ramp", "limit", "member") else []
