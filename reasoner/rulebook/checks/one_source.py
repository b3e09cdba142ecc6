"""A publication stands once, so that what rests on it can be found again and is not counted twice.

In: the sources. Out: a problem for each that another source already is: the same DOI, or the same title and year.
Not here: whether the sources named are there (references), what a source owes its reader (needed, filler).
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.problems import Problem, register
from reasoner.rulebook.checks.given import Given
from reasoner.rulebook.vocabulary import canonical

register({"RB56": "one publication stands twice among the sources"})


def sources_twice(given: Given) -> Iterator[Problem]:
    """Every source that has the DOI, or the title and year, of one before it in the order of their ids."""
    first: dict[tuple[str, ...], str] = {}
    for source in given.book.sources.values():
        told = False
        for key, name in (
            ("doi", (source.doi.strip().lower(),)),
            ("title", (canonical(source.title), source.year.strip())),
        ):
            if not all(name) or any(map(given.wording.is_unwritten, name)):
                continue
            there = first.setdefault((key, *name), source.id)
            if there != source.id and not told:
                told = True
                yield given.say(source, given.line(source, key), "RB56", f'this is the publication of "{there}" once more.',
                                f"Keep one page, and name {there} wherever this one is named.")  # fmt: skip
