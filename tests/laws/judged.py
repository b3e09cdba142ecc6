"""What the laws share: a rulebase made ready, one visit judged, and answers under names, so that they can be compared.

In: a rulebook, visits or values by slot. Out: `Ready`, and answers as dictionaries whose numbers are kept to the bit.
Not here: any law.
"""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Callable, Mapping
from typing import Any

from reasoner.facts.from_visit import facts_of
from reasoner.facts.table import Facts, column
from reasoner.inference.evaluate import Result, run
from reasoner.inference.from_rulebook import ground
from reasoner.inference.network import Network
from reasoner.inference.program import Floats, Program
from reasoner.inference.record import Record
from reasoner.inference.slots import split
from reasoner.inference.strata import compile_network
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

OTHER = {"left": "right", "right": "left", "": ""}
Answers = dict[str, dict[tuple[str, ...], Any]]


@dataclasses.dataclass(frozen=True)
class Ready:
    """A rulebase, compiled."""

    book: Rulebook
    network: Network
    program: Program

    @property
    def words(self) -> Mapping[str, Any]:
        """The lists of words that code readings."""
        words: Mapping[str, Any] = self.program.meta["words"]
        return words

    def facts(self, visit: Visit) -> Facts:
        """The values of a visit."""
        return facts_of(visit, self.words)

    def readings(self, values: Mapping[str, float]) -> Floats:
        """One column of the readings table."""
        return column(self.program.slots, Facts(values, {}))

    def record(self, values: Mapping[str, float]) -> Record:
        """One visit judged, with its record."""
        return Record(self.program, run(self.program, self.readings(values)))

    def bounds(self, values: Mapping[str, float]) -> Result:
        """Row 0: every unknown at its worst, row 1: at its best."""
        return run(self.program, self.readings(values), bounds=True)

    def judge(self, visit: Visit) -> Answers:
        """One visit judged: every answer and every rule's outcome."""
        return answers(self.record(self.facts(visit).values))


def ready(book: Rulebook) -> Ready:
    """Compile a rulebase."""
    network = ground(book)
    return Ready(book, network, compile_network(network, book.scales.fires_above))


@functools.cache
def shipped() -> Ready:
    """The rulebase that ships. Where it does not load, every law about it fails."""
    return ready(load_rulebook())


def answers(record: Record) -> Answers:
    """Every answer by name; numbers to the bit."""
    out = outcome(record.program, record.result, 0)
    out["rule"] = {
        (rule.id, rule.side): (rule.state, _bits(rule.support), _bits(rule.opposition), _bits(rule.degree), rule.unit,
                               rule.counted)
        for rule in record.applied
    }  # fmt: skip
    return out


def outcome(program: Program, result: Result, row: int) -> Answers:
    """Every answer of one row of a batch by name."""
    meta = program.meta
    concerns = [tuple(entry[:3]) for entry in meta["concerns"]]
    actions = [tuple(entry[:2]) for entry in meta["actions"]]
    keys = [tuple(entry[:2]) for entry in meta["conclusions"]]
    certainty, weight = result.certainty[:, row].tolist(), result.weight[:, row].tolist()
    return {
        "conclusion": {k: (_bits(c), w) for k, c, w in zip(keys, certainty, weight, strict=True)},
        "concern": dict(zip(concerns, result.concern[:, row].tolist(), strict=True)),
        "wanted": dict(zip(actions, result.wanted[:, row].tolist(), strict=True)),
        "held": dict(zip(actions, result.held[:, row].tolist(), strict=True)),
        "level": {(k,): bool(result.level[n, row]) for n, k in enumerate(meta["levels"])},
    }


def _bits(number: float) -> str:
    return (number + 0.0).hex()  # a zero has no sign


def swapped(found: Answers) -> Answers:
    """The same answers for the mirror image: in every name left and right change places."""
    return {kind: {tuple(OTHER.get(part, part) for part in key): value for key, value in table.items()}
            for kind, table in found.items()}  # fmt: skip


def swapped_values(ready: Ready, values: Mapping[str, float]) -> dict[str, float]:
    """The values of the mirror image: slots of the other side, and words that name a side turned round."""
    out = {}
    for name, value in values.items():
        key, side, quality = split(name)
        words = ready.words.get(key, ())
        if quality == "value" and "left" in words:
            left, right = 1 << words.index("left"), 1 << words.index("right")
            code = int(value)
            value = float(code & ~(left | right) | (right if code & left else 0) | (left if code & right else 0))
        out[f"{key}|{OTHER[side]}|{quality}"] = value
    return out


def differences(one: Answers, two: Answers, keep: Callable[[tuple[str, ...]], bool] = lambda key: True) -> list[str]:
    """What differs, in words a failure can be read from; empty where nothing does."""
    out = []
    for kind in one:
        for key in sorted(set(one[kind]) | set(two[kind])):
            a, b = one[kind].get(key), two[kind].get(key)
            if a != b and keep(key):
                out.append(f"{kind} {' '.join(key)}: {a} and {b}")
    return out
