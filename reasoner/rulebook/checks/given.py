"""What every check is given: the rulebook, each file as it was parsed, the wording; and ways to find a line again.

In: what `loading.read_book` read. Out: `Given`.
Not here: any one check.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import Any

from reasoner.frozen import frozen
from reasoner.problems import Problem
from reasoner.rulebook.pages import Circumstance, Source
from reasoner.rulebook.references import Reading, all_pages
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import canonical
from reasoner.rulebook.wording import Wording

SKETCH = "sketch"


@frozen
class Given:
    """`book.parsed` holds the conditions of every page if the whole rulebook read, else nothing."""

    book: Rulebook
    files: Mapping[str, Node]
    wording: Wording

    def pages(self) -> Iterator[Reading]:
        """Every page in use that holds conditions."""
        yield from all_pages(self.book)

    def everything(self) -> Iterator[Reading | Source]:
        """Every page in use, sources too."""
        yield from self.pages()
        yield from self.book.sources.values()

    def line(self, page: Reading | Source, key: str) -> int:
        """The line of a key of a page, or the page's first."""
        for written, key_node, _ in self.files[page.file].items():
            if canonical(written) == key:
                return key_node.line
        return page.line

    def say(self, page: Reading | Source, line: int, code: str, sentence: str, hint: str = "") -> Problem:
        """A problem on a page."""
        return Problem(page.file, line, code, sentence, hint)

    @cached_property
    def sketches(self) -> frozenset[str]:
        """The files of the pages that are still sketches, retired ones left out."""
        return frozenset(p.file for p in self.pages() if p.status == SKETCH)

    def sentences(self, page: Reading | Source) -> Iterator[tuple[str, str, int]]:
        """(key, text, line) of every sentence an author owes a page: why, what it teaches, what can mislead."""
        for key in _OWED.get(type(page).__name__, ()):
            yield key, getattr(page, key), self.line(page, key)
        for _, entry in entries(page):
            yield "because", entry.because, entry.line
        for forbid in getattr(page, "forbidden_by", ()):
            yield "forbidden_by", forbid.because, forbid.line
        for need in getattr(page, "only_after", ()):
            yield "otherwise", need.otherwise, need.line


_OWED: dict[str, tuple[str, ...]] = {
    "Conclusion": ("says", "can_mislead", "lesson"),
    "Concern": ("says", "can_mislead", "lesson"),
    "Action": ("says", "because", "can_mislead", "lesson"),
    Circumstance.__name__: ("says", "because", "can_mislead", "lesson"),
    Source.__name__: ("authors", "title", "where", "seen", "why", "used_for"),
}


def entries(page: Any) -> Iterator[tuple[str, Any]]:
    """(its name, entry) of every rule or sign of a page."""
    for rule in getattr(page, "evidence", ()):
        yield rule.rule, rule
    for sign in getattr(page, "signs", ()):
        yield sign.sign, sign
