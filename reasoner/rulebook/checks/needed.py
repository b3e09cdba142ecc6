"""Nothing that a page owes its reader is blank: basis, reason, lesson, what can mislead.

In: every page. Out: a problem for each blank.
Not here: keys that are missing altogether (filling says so), and sentences that say nothing (filler).
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.problems import Problem, register
from reasoner.rulebook.checks.given import Given, entries
from reasoner.rulebook.pages import Source, bases

register({"RB49": "something a page owes its reader is blank"})


def blanks(given: Given) -> Iterator[Problem]:
    """A sentence that is owed and not there, or a basis without a name in it."""
    for page in given.everything():
        for key, text, line in given.sentences(page):
            if not text.strip():
                yield given.say(
                    page, line, "RB49", f"`{key}` is blank.", "Say it in a sentence, or leave the rule out."
                )
        if isinstance(page, Source):
            continue
        based = [(page.id, page)] if hasattr(page, "basis") else []
        for name, entry in [*based, *entries(page)]:
            if not [b for b in bases(entry.basis) if b.strip()]:
                line = given.line(page, "basis") if entry is page else entry.line
                yield given.say(page, line, "RB49", f'"{name}" has no basis.',
                                "common practice, own setting, or the ids of sources.")  # fmt: skip
