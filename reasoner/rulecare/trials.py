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
from reasoner.inference.from_rulebook import Also, ground_also, spots_of
from reasoner.inference.grounding import TRUE
from reasoner.inference.strata import compile_network
from reasoner.rulebook.conditions import Condition
from reasoner.rulebook.pages import Concern, Conclusion, Example
from reasoner.rulebook.references import conditions_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulecare.example_check import Case, Page
from reasoner.rulecare.examples import answer_of, complaints, pages
from reasoner.rulecare.mutants import Mutant, mutants
from reasoner.rulecare.of_conclusion import OfConclusion
from reasoner.rules_cache import Ready

WHOLE = "the whole of it left out"
NEVER = TRUE ^ 1  # the literal of what never holds


@frozen
class Slip:
    """One slip of the pen: where on the page, what is changed, the condition then (None: none at all), and its literal for
    each side and place of the page."""

    page: str
    where: str
    what: str
    file: str
    line: int
    literals: Mapping[tuple[str, str], int]
    condition: Condition | None


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
        spots = {page.id: tuple((s, place) for place, s in spots_of(page, book.vocabulary)) for page in pages(book)}
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
            self.slips[page.id].append(
                Slip(page.id, where, one.what, page.file, one.line or page.line, at, one.condition)
            )

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
        """Whether this example would fail, were the page written so.

        A rule that is left out whole must change a band: if none changes, the rule does not count, though an example names it.
        """
        instead = {(slip.where, side, place): literal for (side, place), literal in slip.literals.items()}
        if isinstance(page, Conclusion) and slip.what == WHOLE:
            before, after = OfConclusion(case, answer), OfConclusion(case, answer, instead)
            band = self.book.scales.band
            return any(band(before.certainty(page, s)) != band(after.certainty(page, s)) for s in before.named_sides())
        return bool(complaints(case, answer, instead))


def _made(page: Page, book: Rulebook) -> Iterator[tuple[str, Mutant]]:
    for where, _, line in conditions_of(page):
        if not where.endswith("only_if"):
            yield where, Mutant(WHOLE, None, line)
        for one in mutants(book.parsed[page.id, where], book.scales, book.vocabulary):
            yield where, one


def _rule(page: Page, where: str) -> str:
    """The rule, sign or other part of the page that a condition belongs to."""
    number = int("".join(filter(str.isdigit, where)) or 0)
    if isinstance(page, Conclusion):
        return page.evidence[number].rule
    if isinstance(page, Concern):
        return page.signs[number].sign
    return where
