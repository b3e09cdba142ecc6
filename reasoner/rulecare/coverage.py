"""What the examples of a rulebook show, and what none of them shows.

In: pages and the answers to their examples. Out: `Gap` for every rule that never speaks, is stopped or waits, every sign never
seen or never absent, every action never taken or never withheld.
Not here: slips of the pen (trials.py), whether an example is right (examples.py).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from reasoner.consult import Answer
from reasoner.frozen import frozen
from reasoner.rulebook.pages import Action, Concern, Conclusion
from reasoner.rulebook.rulebook import Rulebook, rule_id
from reasoner.rulecare.example_check import Case
from reasoner.rulecare.example_kinds import TAKEN, WITHHELD, OfConcern

FIRED, STOPPED, WAITS = "speaks", "is stopped", "waits"
SEEN, ABSENT = "is seen", "is absent"


@frozen
class Gap:
    """Something that no example shows: the rule, sign or action, and what it never does."""

    name: str
    never: str
    file: str
    line: int


class Coverage:
    """Collects what became of every rule, sign and action; `gaps` names what is missing."""

    def __init__(self) -> None:
        self.shown: dict[str, set[str]] = defaultdict(set)

    def add(self, case: Case, answer: Answer) -> None:
        """One example, as written."""
        page = case.page
        if isinstance(page, Conclusion):
            self._conclusion(page, case, answer)
        elif isinstance(page, Concern):
            self._concern(page, OfConcern(case, answer))
        elif isinstance(page, Action):
            if any(key == page.id for key, _ in answer.plan.standing):
                self.shown[page.id].add(TAKEN)
            if any(w.key == page.id for w in answer.plan.withheld):
                self.shown[page.id].add(WITHHELD)
        for rule in answer.record.applied:
            if rule.state == "waits":
                self.shown[rule.id].add(WAITS)
            elif rule.state == "below" and any(
                answer.record.pair(c << 1) != (0.0, 0.0) for c in answer.record.leaves(rule.premise)
            ):
                self.shown[rule.id].add(STOPPED)

    def _conclusion(self, page: Conclusion, case: Case, answer: Answer) -> None:
        for side in case.sides():
            for rule in answer.record.rules_of(page.id, side):
                if rule.state == "fired" and rule.counted:
                    self.shown[rule.id].add(FIRED)

    def _concern(self, page: Concern, check: OfConcern) -> None:
        for key, _, _, literals in check.meta["concerns"]:
            if key == page.id:
                for sign, literal in zip(page.signs, literals, strict=True):
                    if check.holds(literal):
                        self.shown[f"{page.id}: {sign.sign}"].add(SEEN)
                    elif check.refuted(literal):
                        self.shown[f"{page.id}: {sign.sign}"].add(ABSENT)

    def gaps(self, book: Rulebook) -> Iterator[Gap]:
        """What no example shows, page by page."""
        for page in book.conclusions.values():
            for evidence in page.evidence:
                name = rule_id(page.id, evidence.rule)
                yield from self._missing(name, (FIRED, STOPPED, WAITS), page.file, evidence.line)
        for concern in book.concerns.values():
            for sign in concern.signs:
                yield from self._missing(f"{concern.id}: {sign.sign}", (SEEN, ABSENT), concern.file, sign.line)
        for action in book.actions.values():
            wanted = (TAKEN, WITHHELD) if action.only_after or action.forbidden_by else (TAKEN,)
            yield from self._missing(action.id, wanted, action.file, action.line)

    def _missing(self, name: str, wanted: Iterable[str], file: str, line: int) -> Iterator[Gap]:
        for what in wanted:
            if what not in self.shown[name]:
                yield Gap(name, what, file, line)
