"""Does any example notice? Every slip of the pen of every page, asked of the examples of that page.

In: a rulebook. Out: `Trials`: for each page how many slips were made and which of them no example notices.
Not here: the slips (mutants.py), whether an example comes true as written (examples.py), words for people.

The slips are not new rulebooks: each is a few more columns of the same network, worked out in the same pass as the rule it
stands for. A conclusion is then added up once more with that one rule changed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from reasoner.consult import Answer
from reasoner.frozen import frozen
from reasoner.inference.from_rulebook import SPACES, Also, ground_also
from reasoner.inference.grounding import TRUE
from reasoner.inference.strata import compile_network
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion, Example
from reasoner.rulebook.references import conditions_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulecare.adding_up import band_with
from reasoner.rulecare.example_check import Case, Page
from reasoner.rulecare.examples import answer_of, pages
from reasoner.rulecare.mutants import Mutant, mutants
from reasoner.rules_cache import Ready

WHOLE = "the whole of it left out"
NEVER = TRUE ^ 1  # the literal of what never holds


@frozen
class Slip:
    """One slip of the pen: where on the page, what is changed, and its literal for each side and place of the page."""

    page: str
    where: str
    what: str
    file: str
    line: int
    literals: Mapping[tuple[str, str], int]


@frozen
class Unnoticed:
    """A slip that no example of its page notices."""

    page: str
    rule: str
    what: str
    file: str
    line: int


class Trials:
    """The slips of a rulebook, ground into one program with it. `more` holds further examples by page: its fences."""

    def __init__(self, book: Rulebook, more: Mapping[str, Sequence[Example]] | None = None) -> None:
        self.book = book
        self.more = more or {}
        self._answers: dict[str, list[tuple[Case, Answer]]] = {}
        made = [(page, where, one) for page in pages(book) for where, one in _made(page, book)]
        spots = {page.id: tuple(_spots(page, book)) for page in pages(book)}
        asked = [
            Also(one.condition, side, place, isinstance(page, Conclusion) and where.endswith("when"))
            for page, where, one in made
            if one.condition is not None
            for side, place in spots[page.id]
        ]
        network, literals = ground_also(book, asked)
        above = book.scales.fires_above
        self.ready = Ready(book, compile_network(network, above), compile_network(network, above, full=False))
        self.slips: dict[str, list[Slip]] = defaultdict(list)
        found = iter(literals)
        for page, where, one in made:
            at = {spot: NEVER if one.condition is None else next(found) for spot in spots[page.id]}
            self.slips[page.id].append(Slip(page.id, where, one.what, page.file, one.line or page.line, at))

    def unnoticed(self, page: Page) -> Iterator[Unnoticed]:
        """The slips of a page that none of its examples notices."""
        for slip in self.slips[page.id]:
            if not self.noticed(page, slip):
                yield Unnoticed(page.id, _rule(page, slip.where), slip.what, slip.file, slip.line)

    def noticed(self, page: Page, slip: Slip) -> bool:
        """Whether an example of the page notices a slip."""
        if page.id not in self._answers:
            written = [Case(page, example, False) for example in (*page.examples, *self.more.get(page.id, ()))]
            self._answers[page.id] = [(case, answer_of(case, self.ready)) for case in written]
        return any(self.notices(page, case, answer, slip) for case, answer in self._answers[page.id])

    def notices(self, page: Page, case: Case, answer: Answer, slip: Slip) -> bool:
        """Whether this example notices a slip: it would come out, or be explained, otherwise."""
        if isinstance(page, Conclusion):
            return _conclusion(page, case, answer, slip)
        if isinstance(page, Concern):
            return _concern(page, answer, slip)
        if isinstance(page, Action):
            return _action(page, case, answer, slip)
        return _circumstance(page, answer, slip)


def _made(page: Page, book: Rulebook) -> Iterator[tuple[str, Mutant]]:
    for where, _, line in conditions_of(page):
        if not where.endswith("only_if"):
            yield where, Mutant(WHOLE, None, line)
        for one in mutants(book.parsed[page.id, where], book.scales, book.vocabulary):
            yield where, one


def _spots(page: Page, book: Rulebook) -> Iterator[tuple[str, str]]:
    """(side, place) of everything a page is read for."""
    if isinstance(page, (Concern, Circumstance)) and page.for_each:
        words = book.vocabulary
        for key in words.group(SPACES) if page.for_each == "spinous_space" else words.places:
            yield from ((side, key) for side in _sides(words.places[key].sides))
        return
    yield from ((side, "") for side in _sides(getattr(page, "sides", "none")))


def _sides(sides: str) -> tuple[str, ...]:
    return ("left", "right") if sides == "each" else ("",)


def _rule(page: Page, where: str) -> str:
    """The rule, sign or other part of the page that a condition belongs to."""
    number = int("".join(filter(str.isdigit, where)) or 0)
    if isinstance(page, Conclusion):
        return page.evidence[number].rule
    if isinstance(page, Concern):
        return page.signs[number].sign
    return where


# -- whether one example notices one slip ------------------------------------------------------------------------------


def _conclusion(page: Conclusion, case: Case, answer: Answer, slip: Slip) -> bool:
    """A rule it names fires or not otherwise than before, or a band comes out otherwise."""
    record, above = answer.record, answer.ready.book.scales.fires_above
    number = int("".join(filter(str.isdigit, slip.where)))
    named = {*case.example.thanks_to, *case.example.stopped_by}
    for side in _expected_sides(case):
        rules = record.rules_of(page.id, side)
        rule = next(r for r in rules if r.number == number)
        changed = record.support(slip.literals[side, ""])
        if slip.where.endswith("only_if"):
            degree = min(rule.support, changed) if rule.support > above else 0.0
        else:
            gate = record.support(rule.gate) if rule.gate else 1.0
            degree = min(changed, gate) if changed > above else 0.0
        # A rule that could be deleted and no band would change does not count, though an example may name it.
        if (degree > 0.0) != (rule.degree > 0.0) and page.evidence[number].rule in named and slip.what != WHOLE:
            return True
        before = answer.ready.book.scales.band(record.certainty(page.id, side))
        if degree != rule.degree and band_with(answer, page.id, side, {number: degree}) != before:
            return True
    return False


def _expected_sides(case: Case) -> tuple[str, ...]:
    expect = case.example.expect
    return tuple(k for k in expect if k != "line") if isinstance(expect, Mapping) else case.sides()


def _concern(page: Concern, answer: Answer, slip: Slip) -> bool:
    """It is raised where it was not, or not where it was."""
    record, above = answer.record, answer.ready.book.scales.fires_above
    number = int(slip.where.removeprefix("sign "))
    for key, side, place, signs in record.program.meta["concerns"]:
        if key != page.id:
            continue
        before = any(record.support(x) > above for x in signs)
        others = any(record.support(x) > above for n, x in enumerate(signs) if n != number)
        after = others or record.support(slip.literals[side, place]) > above
        if before != after:
            return True
    return False


def _action(page: Action, case: Case, answer: Answer, slip: Slip) -> bool:
    """It is asked for, or held back for a reason, otherwise than before."""
    record, above = answer.record, answer.ready.book.scales.fires_above
    what, _, number = slip.where.partition(" ")
    expected = _expected_sides(case)
    for key, side, wanted, needs, forbids, _ in record.program.meta["actions"]:
        if key != page.id or side not in expected:
            continue
        literals = {"wanted": wanted, "need": needs, "forbid": forbids}[what]
        before, after = (record.support(x) > above for x in (literals[int(number)], slip.literals[side, ""]))
        if before == after:
            continue
        asked = any(record.support(x) > above for x in wanted)
        if what == "wanted":
            others = any(record.support(x) > above for n, x in enumerate(wanted) if n != int(number))
            if not others:
                return True
        elif asked:
            return True
    return False


def _circumstance(page: Circumstance, answer: Answer, slip: Slip) -> bool:
    """It is at work at a place where it was not, or not where it was."""
    record = answer.record
    for entry in record.program.meta["columns"]:
        if entry[0] != "lessened" or record.pair(entry[1] << 1) == (0.0, 0.0):
            continue
        for name, _, _, literal in entry[2]:
            if name != page.id:
                continue
            inner = record.entry(entry[1])
            place, side = inner[1].split("|")[:2]
            changed = record.support(slip.literals[("", "") if not page.for_each else (side, place)])
            if (record.support(literal) > 0.0) != (changed > 0.0):
                return True
    return False
