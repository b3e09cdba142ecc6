"""What is expected of the example of a conclusion: a band on each side, and which rules spoke, were quiet, or wait.

In: an example and the answer to what it records. Out: complaints; none where the page is right, for its reason.
Not here: the examples of the other pages (example_kinds), the questions all kinds share (example_check).
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.frozen import frozen
from reasoner.inference.adding_up import Voice, added_up
from reasoner.inference.record import Applied
from reasoner.rulebook.pages import Conclusion
from reasoner.rulecare.example_check import Check, key_of

TOO_LITTLE = "too little to say"
BANDS = ("strong", "fair", "slight", "none", "against", TOO_LITTLE)
_PARTS = ("when", "only_if")


@frozen
class Ruled:
    """What became of one rule of one side: as the record has it, or as it would have been."""

    number: int
    premise: int
    state: str
    counted: bool
    strength: float
    group: str
    degree: float


class OfConclusion(Check):
    """The example of a conclusion: its band on each side, and which rules spoke, were quiet, or wait."""

    def complaints(self) -> Iterator[str]:
        """Everything wrong with it."""
        page = self.case.page
        assert isinstance(page, Conclusion)
        expected = self.expected(BANDS)
        if isinstance(expected, str):
            yield expected
            return
        for side, word in expected.items():
            rules = {page.evidence[r.number].rule: r for r in self.rules(page, side)}
            if word == TOO_LITTLE:
                found = self.answer.explanation.concluded[page.id, side]
                if found.upper_band in ("none", "against"):
                    yield f"{side}: nothing that was left out could raise it (at most {found.upper:.3f})"
            certainty = self.certainty(page, side)
            band = self.book.scales.band(certainty)
            if band != ("none" if word == TOO_LITTLE else word):
                yield f"{side}: expected {word}, came out {band} ({certainty:.3f})"
            for name in self.example.thanks_to:
                rule = rules.get(name)
                if rule is None:
                    yield f'"{name}" is no rule of this page'
                elif rule.state != "fired" or not rule.counted:
                    yield f'{side}: "{name}" did not speak ({rule.state}, {"" if rule.counted else "not "}counted)'
            for name in self.example.stopped_by:
                rule = rules.get(name)
                if rule is None:
                    yield f'"{name}" is no rule of this page'
                elif rule.state != "below" or not self.known(rule.premise):
                    yield f'{side}: "{name}" is not known and quiet ({rule.state})'
            for written in self.example.waiting_on:
                key = key_of(written, self.words)
                if not key:
                    yield f'"{written}" is no word of the vocabulary'
                elif not any(self.listens(rule.premise, key) for rule in rules.values()):
                    yield f'{side}: no rule waits for "{written}"'
            if not any(self._touched(rule.premise) for rule in rules.values()):
                yield f"{side}: it touches no rule of this page"

    def rules(self, page: Conclusion, side: str) -> list[Ruled]:
        """The rules of one side; where one is read otherwise, added up anew."""
        applied = self.record.rules_of(page.id, side)
        changed = {
            n
            for n in range(len(page.evidence))
            for part in _PARTS
            if (f"evidence {n} {part}", side, "") in self.instead
        }
        if not changed:
            return [
                Ruled(r.number, r.premise, r.state, bool(r.counted), r.strength, r.group, r.degree) for r in applied
            ]
        told = [self._read(rule, side) if rule.number in changed else (rule.premise, rule.degree) for rule in applied]
        voices = [Voice(rule.strength, rule.group, degree) for rule, (_, degree) in zip(applied, told, strict=True)]
        return [
            Ruled(rule.number, premise, self.record.state(premise), counted, rule.strength, rule.group, degree)
            for rule, (premise, degree), counted in zip(applied, told, added_up(voices).counted, strict=True)
        ]

    def _read(self, rule: Applied, side: str) -> tuple[int, float]:
        """(premise, degree) of a rule with what is read instead."""
        when, only_if = (self.instead.get((f"evidence {rule.number} {part}", side, "")) for part in _PARTS)
        premise = rule.premise if when is None else when
        gate = rule.gate if only_if is None else only_if
        degree = self.record.support(premise) if self.holds(premise) else 0.0
        return premise, min(degree, self.record.support(gate)) if gate else degree

    def certainty(self, page: Conclusion, side: str) -> float:
        """How certain the conclusion is, in [-1, 1]."""
        if not self.instead:
            return self.record.certainty(page.id, side)
        return added_up([Voice(r.strength, r.group, r.degree) for r in self.rules(page, side)]).certainty

    def _touched(self, premise: int) -> bool:
        return self.known(premise) or any(self.listens(premise, key_of(w, self.words)) for w in self.example.waiting_on)
