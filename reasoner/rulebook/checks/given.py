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
from reasoner.rulebook.filling import LEFT_OUT
from reasoner.rulebook.pages import Circumstance, Source
from reasoner.rulebook.references import Reading, all_pages
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import canonical
from reasoner.rulebook.wording import Wording

SKETCH = "sketch"


@frozen
class Given:
    """`book.parsed` holds every condition that read.

    `left_out` are the files of pages that are not in `book` because they, or what they lean on, did not read whole; one that
    is not in `files` could not be read at all.
    """

    book: Rulebook
    files: Mapping[str, Node]
    wording: Wording
    left_out: tuple[str, ...] = ()

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

    def may_be_asked(self, key: str) -> bool:
        """Whether a page that was left out may ask for this: it names it, or nobody could read what it names."""
        return key in self._mentioned or not self.files.keys() >= set(self.left_out)

    @cached_property
    def _mentioned(self) -> frozenset[str]:
        return frozenset(word for file in self.left_out if file in self.files for word in _words(self.files[file]))

    @cached_property
    def sketches(self) -> frozenset[str]:
        """The files of the pages that are still sketches, retired ones left out."""
        return frozenset(p.file for p in self.pages() if p.status == SKETCH)

    def sentences(self, page: Reading | Source) -> Iterator[tuple[str, str, int]]:
        """(key, text, line) of every sentence an author owes a page: why, what it teaches, what can mislead."""
        for key, text, line in self._sentences(page):
            if text != LEFT_OUT:  # that has been told
                yield key, text, line

    def _sentences(self, page: Reading | Source) -> Iterator[tuple[str, str, int]]:
        for key in _OWED.get(type(page).__name__, ()):
            yield key, getattr(page, key), self.line(page, key)
        for _, entry in entries(page):
            yield "because", entry.because, entry.line
        for forbid in getattr(page, "forbidden_by", ()):
            yield "forbidden_by", forbid.because, forbid.line
        for need in getattr(page, "only_after", ()):
            yield "otherwise", need.otherwise, need.line


def _words(node: Node) -> Iterator[str]:
    """Every key and every value below a node, spelt as the words of a rulebook are."""
    if isinstance(node.value, str):
        yield canonical(node.value)
    elif isinstance(node.value, list):
        for item in node.value:
            yield from _words(item)
    for key, _, value in node.items():
        yield canonical(key)
        yield from _words(value)


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
