"""The examples that stand in the pages, judged: does the page answer as it says, and for the reason it names?

In: the shipped rulebook. Out: `cases()`, one for each example and one for its mirror, and `complaints(case)`.
Not here: what is asked of each kind of page (example_kinds), coverage over all examples, longer cases (tests/trade).
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from reasoner.consult import Answer, judge
from reasoner.rulebook.filling import node_of
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import mirrored
from reasoner.visit.reading import visit_from_node
from tests.asking import DAY, shipped
from tests.rules.example_check import Case, Page
from tests.rules.example_kinds import OfAction, OfCircumstance, OfConcern, OfConclusion


def pages(book: Rulebook) -> Iterator[Page]:
    """Every page that carries examples."""
    yield from book.conclusions.values()
    yield from book.concerns.values()
    yield from book.actions.values()
    yield from book.circumstances.values()


@cache
def cases() -> tuple[Case, ...]:
    """Every example twice: as written, and in the mirror."""
    return tuple(
        Case(page, example, mirror)
        for page in pages(shipped().book)
        for example in page.examples
        for mirror in (False, True)
    )


def answer_of(case: Case) -> Answer:
    """The whole answer to what an example records."""
    node = node_of(case.example.recorded, case.example.line)
    visit = visit_from_node(node, case.page.file, shipped().book.vocabulary, default_day=DAY)
    return judge(mirrored(visit) if case.mirror else visit, shipped())


def complaints(case: Case) -> list[str]:
    """What is wrong with an example; empty where the page answers as it says and for the reason it names."""
    example = case.example
    if not (example.thanks_to or example.stopped_by or example.waiting_on):
        return ["it names no reason: thanks_to, stopped_by or waiting_on"]
    checker = {Conclusion: OfConclusion, Concern: OfConcern, Action: OfAction, Circumstance: OfCircumstance}
    return list(checker[type(case.page)](case, answer_of(case)).complaints())
