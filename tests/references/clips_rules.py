"""The CLIPS reference: the same rulebase run by a general-purpose rule engine, CLIPS 6.4 through clipspy.

In: a `Rulebook`, and the values of a visit by slot. Out: certainties, which rules fired, concerns, actions, levels.
Not here: the text of the program (clips_source). Built once, reset for each visit; only recorded findings are asserted.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import clips

from reasoner.inference.slots import split
from reasoner.rulebook.rulebook import Rulebook
from tests.references.clips_source import Source

Key = tuple[str, str]
Findings = tuple[Any, ...]
_NUMBERS = ("soreness", "guarded", "unsettled", "days_least", "days_most")


@dataclass
class Answers:
    """What CLIPS answers: only what is not zero, not raised or not wanted is left out."""

    certainty: dict[Key, float] = field(default_factory=dict)
    fired: set[Key] = field(default_factory=set)
    raised: set[tuple[str, str, str]] = field(default_factory=set)
    wanted: set[Key] = field(default_factory=set)
    free: set[Key] = field(default_factory=set)  # wanted, every need met, nothing forbids it
    levels: set[str] = field(default_factory=set)


class ClipsRules:
    """One rulebase as a CLIPS program."""

    def __init__(self, book: Rulebook, *, report_rules: bool = False) -> None:
        self.book = book
        self.source = Source(book, report_rules=report_rules)
        self.environment = clips.Environment()
        for construct in self.source.constructs:
            self.environment.build(construct)
        self._take = self.environment.find_function("take")
        self._reading = self.environment.find_template("reading")
        self._answers = self.environment.find_function("answers")

    def findings(self, values: Mapping[str, float]) -> Findings:
        """The recorded values that some rule reads, as (slot, value) after (slot, value); words as words."""
        out: list[Any] = []
        for name, value in values.items():
            if name in self.source.slots:
                symbol = clips.Symbol(name.replace("|", "."))
                for one in self._values(name, value):
                    out += (symbol, one)
        return tuple(out)

    def take(self, findings: Findings) -> None:
        """A new visit: forget the last one and hand over these findings in one call."""
        self.environment.reset()
        self._take(*findings)

    def assert_each(self, findings: Findings) -> None:
        """A new visit, each finding asserted by itself through clipspy's own `assert_fact`."""
        self.environment.reset()
        tell = self._reading.assert_fact
        for name, value in zip(findings[::2], findings[1::2], strict=True):
            tell(of=name, value=value)

    def run(self) -> None:
        """Fire until nothing is left to fire."""
        self.environment.run()

    def read(self) -> Sequence[Any]:
        """The bare answers: numbers of what is said, each number of a conclusion followed by its certainty."""
        said: Sequence[Any] = self._answers()
        return said

    def told(self, said: Sequence[Any]) -> Answers:
        """The answers by name."""
        out = Answers()
        ready: set[Key] = set()
        forbidden: set[Key] = set()
        rest = iter(said)
        for number in rest:
            kind, *what = self.source.meaning[number]
            key = (what[0], what[1])
            if kind == "conclusion":
                out.certainty[key] = next(rest)
            elif kind == "concern":
                out.raised.add((what[0], what[1], what[2]))
                out.levels.add(self.book.concerns[what[0]].call)
            else:
                {"rule": out.fired, "wanted": out.wanted, "ready": ready, "forbidden": forbidden}[kind].add(key)
        out.free = (out.wanted & ready) - forbidden
        return out

    def judge(self, values: Mapping[str, float]) -> Answers:
        """One visit from its values to its answers."""
        self.take(self.findings(values))
        self.run()
        return self.told(self.read())

    def _values(self, name: str, value: float) -> list[Any]:
        key, _, quality = split(name)
        observation = self.book.vocabulary.observations.get(key)
        if observation is not None and quality == "value" and observation.kind in ("choice", "side"):
            words = [word.key for word in observation.readings]
            if observation.kind == "side":
                words = ["left", "right", *(w for w in words if w not in ("left", "right"))]
        elif observation is not None or quality.startswith(_NUMBERS):
            return [min(value, 1e300) if not math.isnan(value) else value]  # a date that never was lies far back
        else:
            table = quality.split("_")[0]
            words = [word.key for word in self.book.vocabulary.qualities[table]]
        return [clips.Symbol(word) for n, word in enumerate(words) if int(value) >> n & 1]
