"""No line is filled for the sake of filling it, and no sentence serves two pages.

In: the sentences an author owes. Out: a problem for each that says nothing, is too short, or is copied.
Not here: blank lines (needed), the lists of empty phrases (rules/scales/wording.yaml).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from reasoner.problems import Problem, register
from reasoner.rulebook.checks.given import SKETCH, Given
from reasoner.rulebook.pages import Source, bases

register({"RB50": "a line that is filled and says nothing", "RB51": "the same sentence on two pages"})

#: Where two pages have no reason to say the same: what each teaches, and what can mislead on it.
_ITS_OWN = ("because", "lesson", "can_mislead")


def filler(given: Given) -> Iterator[Problem]:
    """Sentences that say nothing. What a skeleton leaves open stands on a sketch, and on a source nobody names yet."""
    named = {basis for page in given.pages() for basis in _bases(page)}
    for page in given.everything():
        open_still = page.id not in named if isinstance(page, Source) else page.status == SKETCH
        for key, text, line in given.sentences(page):
            if open_still and given.wording.is_unwritten(text):
                continue
            why = given.wording.says_nothing(key, text) if text.strip() else ""
            if why:
                yield given.say(page, line, "RB50", f"`{key}`: {why}.", "Say what a colleague could use or dispute.")


def copies(given: Given) -> Iterator[Problem]:
    """The same longer sentence under the same key of two pages."""
    first: dict[tuple[str, str], str] = {}
    for page in given.pages():
        for key, text, line in given.sentences(page):
            if key not in _ITS_OWN or given.wording.is_unwritten(text):
                continue
            for sentence in re.split(r"(?<=[.!?])\s+", " ".join(text.split()).lower()):
                if len(sentence.split()) < given.wording.repeated_from:
                    continue
                there = first.setdefault((key, sentence), page.file)
                if there != page.file:
                    yield given.say(page, line, "RB51", f'`{key}`: "{sentence[:50]}..." stands word for word in {there}.',
                                    "Say what is so on this page, or keep it on one of them.")  # fmt: skip


def unwritten(given: Given) -> Iterator[str]:
    """The files in which something of a skeleton is still open."""
    for page in given.everything():
        if any(given.wording.is_unwritten(text) for _, text, _ in given.sentences(page)):
            yield page.file


def _bases(page: Any) -> Iterator[str]:
    """Everything a page names as a basis, its own and that of each rule or sign."""
    for part in (page, *getattr(page, "evidence", ()), *getattr(page, "signs", ())):
        yield from bases(getattr(part, "basis", ()))
