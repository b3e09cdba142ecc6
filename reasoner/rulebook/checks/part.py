"""The part of a rulebook that can be judged as a whole although something else in it does not read.

In: a rulebook as read, and what is wrong with it. Out: a rulebook of the pages that read and rest on none that do not.
Not here: any check. A page that is left out may still be what another page waits for; `Given.may_be_asked` tells.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Container, Iterable, Iterator, Mapping
from typing import TypeVar

from reasoner.problems import Problem
from reasoner.rulebook.conditions import leaves
from reasoner.rulebook.pages import Action, Concern
from reasoner.rulebook.references import Reading, all_pages, conditions_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import canonical

#: What may be wrong with a page whose questions can be judged all the same: a sentence left out, a source nobody wrote.
STILL_JUDGED = ("RB01", "RB22")

Kind = TypeVar("Kind")


def part_of(book: Rulebook, problems: Iterable[Problem]) -> Rulebook:
    """`book` without the pages that did not read whole, and without those that lean on one of them, step by step."""
    spoilt = {p.file for p in problems if p.severity == "error" and p.code not in STILL_JUDGED}
    kept = {page.id: page for page in all_pages(book) if page.file not in spoilt and _parsed(book, page)}
    while leaning := [key for key, page in kept.items() if not kept.keys() >= set(_leans_on(book, page))]:
        for key in leaning:
            del kept[key]

    return dataclasses.replace(
        book,
        conclusions=_those(book.conclusions, kept),
        concerns=_those(book.concerns, kept),
        actions=_those(book.actions, kept),
        circumstances=_those(book.circumstances, kept),
        parsed={(key, where): one for (key, where), one in book.parsed.items() if key in kept},
    )


def _those(pages: Mapping[str, Kind], kept: Container[str]) -> dict[str, Kind]:
    return {key: page for key, page in pages.items() if key in kept}


def files_left_out(files: Collection[str], book: Rulebook, part: Rulebook, unread: Iterable[str]) -> tuple[str, ...]:
    """The files of the pages of `book` that are not in `part`, and of those in none; an id alone where no file reads."""
    missing = {page.file for page in all_pages(book)} - {page.file for page in all_pages(part)}
    for key in unread:
        missing |= {file for file in files if file.endswith(f"/{key}.yaml")} or {key}
    return tuple(sorted(missing))


def _parsed(book: Rulebook, page: Reading) -> bool:
    return all((page.id, where) in book.parsed for where, _, _ in conditions_of(page))


def _leans_on(book: Rulebook, page: Reading) -> Iterator[str]:
    """The pages this one cannot be judged without: those it reads, leads to or yields to."""
    for where, _, _ in conditions_of(page):
        yield from (leaf.subject for leaf in leaves(book.parsed[page.id, where]) if leaf.of == "conclusion")
    for entry in getattr(page, "leads_to", ()):
        yield from (canonical(key) for key in entry if key != "line")
    if isinstance(page, Concern):
        yield from map(canonical, page.yields_to)
    if isinstance(page, Action):
        yield from (canonical(told.step) for told in page.yields_to)
