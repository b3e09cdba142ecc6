"""The examples that stand in the pages, judged: does the page answer as it says, and for the reason it names?

In: a rulebook made ready. Out: `cases()`, one for each example and one for its mirror, and `complaints()`.
Not here: what is asked of each kind of page (example_kinds), what no example shows (coverage, mutants).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from reasoner.consult import Answer, judge
from reasoner.rulebook.filling import node_of
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulecare.example_check import Case, Instead, Page
from reasoner.rulecare.example_kinds import OfAction, OfCircumstance, OfConcern
from reasoner.rulecare.of_conclusion import OfConclusion
from reasoner.rules_cache import Ready
from reasoner.visit.model import mirrored
from reasoner.visit.reading import visit_from_node

#: The day of an example that gives none; dates in the examples are written around it.
DAY = date(2026, 4, 18)
_CHECKS = {Conclusion: OfConclusion, Concern: OfConcern, Action: OfAction, Circumstance: OfCircumstance}


def pages(book: Rulebook) -> Iterator[Page]:
    """Every page that carries examples."""
    yield from book.conclusions.values()
    yield from book.concerns.values()
    yield from book.actions.values()
    yield from book.circumstances.values()


def cases(book: Rulebook) -> tuple[Case, ...]:
    """Every example twice: as written, and in the mirror."""
    return tuple(
        Case(page, example, mirror) for page in pages(book) for example in page.examples for mirror in (False, True)
    )


def answer_of(case: Case, ready: Ready) -> Answer:
    """The whole answer to what an example records. Raises BadInput where it does not read as a visit."""
    node = node_of(case.example.recorded, case.example.line)
    visit = visit_from_node(node, case.page.file, ready.book.vocabulary, default_day=DAY)
    return judge(mirrored(visit) if case.mirror else visit, ready)


def complaints(case: Case, answer: Answer, instead: Instead | None = None) -> list[str]:
    """What is wrong with an example; empty where the page answers as it says and for the reason it names.

    `instead`: what would be wrong, were one condition of the page written otherwise.
    """
    example = case.example
    if not (example.thanks_to or example.stopped_by or example.waiting_on):
        return ["it names no reason: thanks_to, stopped_by or waiting_on"]
    return list(_CHECKS[type(case.page)](case, answer, instead).complaints())
