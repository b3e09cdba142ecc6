"""A measurement becomes a fact: entries that were measured and not judged by eye. So does what the records say of earlier visits.

In: a `Visit` and the rulebook with its tables of measures. Out: further `Noted` entries, each with the line it rests on.
Not here: the arithmetic (measures/), what an entry means. What a person wrote by hand stands; nothing replaces it.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module

from reasoner.facts.from_visit import Words, facts_of
from reasoner.facts.table import Facts
from reasoner.problems import Problem, register
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Noted, Visit

register(
    {
        "MS50": "what was written by eye differs from what was measured",
        "MS51": "a pair was measured on one side only",
    }
)

#: For each table of measures the module that turns its measurements into entries: `worked_out(visit, book)` yields `Noted`.
DOORS: dict[str, str] = {
    "feet_and_gait": "reasoner.facts.measured_feet_and_gait",
    "tracing": "reasoner.facts.measured_tracing",
    "tree": "reasoner.facts.measured_tree",
    "load": "reasoner.facts.measured_load",
    "pressure": "reasoner.facts.measured_pressure",
    "shims": "reasoner.facts.measured_shims",
    "stirrups": "reasoner.facts.measured_stirrups",
}


#: Entries that say something only of both sides together; others are written on the one side that something has gone to.
PAIRS = ("stirrups", "saddle_side_height", "hoof_angle", "forearm_girth", "gaskin_girth")


def worked_out(visit: Visit, book: Rulebook) -> tuple[Noted, ...]:
    """Every entry that follows from earlier visits and from measurements of this one, also those that a person wrote as well."""
    tables = tables_measured(visit, book)
    doors = [module for table, module in DOORS.items() if table in tables and table in book.measures]
    return (*visit.history, *(noted for module in doors for noted in import_module(module).worked_out(visit, book)))


def measured_facts(visit: Visit, words: Words, book: Rulebook) -> Facts:
    """Every value of a visit, with what follows from its measurements."""
    return facts_of(visit, words, not_by_hand(visit, worked_out(visit, book)))


def not_by_hand(visit: Visit, found: tuple[Noted, ...]) -> tuple[Noted, ...]:
    """The worked-out entries that nobody wrote by hand."""
    by_hand = {(noted.key, noted.side) for noted in visit.noted}
    return tuple(noted for noted in found if (noted.key, noted.side) not in by_hand)


def differing(visit: Visit, found: tuple[Noted, ...], book: Rulebook) -> Iterator[Problem]:
    """A warning for each entry that was written by hand and comes out otherwise by measurement."""
    for noted in found:
        for other in visit.noted if noted not in visit.history else ():
            if (other.key, other.side) == (noted.key, noted.side) and other.value != noted.value:
                name = book.vocabulary.observations[noted.key].name
                side = f", {noted.side}" if noted.side else ""
                read = noted.written or str(noted.value).replace("_", " ")
                what = f'{name}{side}: "{other.written}" was written, and by measurement it is {read}.'
                yield Problem(visit.file, other.line, "MS50", what, "What was written by hand is used.", "warning")


def one_sided(visit: Visit, book: Rulebook) -> Iterator[Problem]:
    """A warning for each pair of which one side was left out: nothing follows from the other by itself."""
    for key in PAIRS:
        written = [noted for noted in visit.noted if noted.key == key]
        if key in book.vocabulary.observations and len({noted.side for noted in written}) == 1:
            name, side = book.vocabulary.observations[key].name, written[0].side
            what = f"{name}: the {side} side alone was measured, and the two are compared; nothing follows from one."
            yield Problem(visit.file, written[0].line, "MS51", what, "Measure the other side too.", "warning")


def tables_measured(visit: Visit, book: Rulebook) -> frozenset[str]:
    """The tables of which something was measured: most visits measure little, and import nothing for the rest.

    A tracing may tell of several, so that with one all are asked.
    """
    if visit.outlines:
        return frozenset(book.measures)
    words = book.vocabulary
    return frozenset(words.observations[noted.key].measure for noted in visit.noted if noted.key in words.measured)
