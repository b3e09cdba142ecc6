"""Law 2, order: shuffle findings, rules, pages, files: nothing changes, bit for bit.

In: random rulebases and the shipped one, random visits. Out: failures.
Not here: the order in which answers are shown.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import TypeVar

from hypothesis import given, settings

from reasoner.rulebook.layers import read_layers, shipped_rules
from reasoner.rulebook.loading import rulebook_from
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit
from tests.chance import Chooser, Seeded, shuffled
from tests.laws.judged import Ready, differences, outcome, ready, shipped
from tests.random_rulebooks import assembled
from tests.random_visits import random_visit
from tests.strategies import Case, cases, seeds

Page = TypeVar("Page")


def same_answers(one: Ready, two: Ready, visit: Visit) -> None:
    found = differences(one.judge(visit), two.judge(visit))
    assert not found, "\n".join(found)
    values = one.facts(visit).values
    for row in (0, 1):
        first, second = one.bounds(values), two.bounds(values)
        found = differences(outcome(one.program, first, row), outcome(two.program, second, row))
        assert not found, "\n".join(found)


def reordered(chooser: Chooser, book: Rulebook) -> Rulebook:
    """The same rulebase with its words, pages and rules in another order."""

    def pages(table: Mapping[str, Page]) -> dict[str, Page]:
        return dict(shuffled(chooser, list(table.items())))

    conclusions = {
        key: dataclasses.replace(page, evidence=tuple(shuffled(chooser, page.evidence)))
        for key, page in pages(book.conclusions).items()
    }
    concerns = {
        key: dataclasses.replace(page, signs=tuple(shuffled(chooser, page.signs)))
        for key, page in pages(book.concerns).items()
    }
    vocabulary = dataclasses.replace(
        book.vocabulary, places=pages(book.vocabulary.places), observations=pages(book.vocabulary.observations)
    )
    return assembled(
        vocabulary, book.scales, conclusions, concerns, pages(book.actions), pages(book.circumstances), book.sources
    )


def shuffled_visit(chooser: Chooser, visit: Visit) -> Visit:
    """The same entries, each with the line it has, handed over in another order."""
    return dataclasses.replace(
        visit, touches=tuple(shuffled(chooser, visit.touches)), noted=tuple(shuffled(chooser, visit.noted))
    )


@given(cases())
def test_rules_and_pages_of_random_rulebases(case: Case) -> None:
    book, visits, chooser = case
    same_answers(ready(book), ready(reordered(chooser, book)), visits[0])


@given(cases())
def test_findings_of_random_visits(case: Case) -> None:
    book, visits, chooser = case
    facts_do_not_depend_on_order(ready(book), visits[0], chooser)


@given(seeds())
def test_findings_on_the_shipped_rulebase(chooser: Chooser) -> None:
    facts_do_not_depend_on_order(shipped(), random_visit(chooser, shipped().book), chooser)


def facts_do_not_depend_on_order(ready: Ready, visit: Visit, chooser: Chooser) -> None:
    """Neither the values nor the lines they are said to come from."""
    once, again = ready.facts(visit), ready.facts(shuffled_visit(chooser, visit))
    assert dict(once.values) == dict(again.values)
    assert dict(once.origins) == dict(again.origins)


@settings(max_examples=5)
@given(seeds())
def test_rules_and_pages_of_the_shipped_rulebase(chooser: Chooser) -> None:
    book = shipped().book
    same_answers(shipped(), ready(reordered(chooser, book)), random_visit(chooser, book))


def test_files_of_the_shipped_rulebase() -> None:
    layers = shuffled(Seeded(1), read_layers([shipped_rules()]))
    visit = random_visit(Seeded(2), shipped().book)
    same_answers(shipped(), ready(rulebook_from(layers)), visit)
