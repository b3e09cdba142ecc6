"""A page that stands for each side says which, and reads it; a page without sides asks for none.

In: conditions and `says` of every page. Out: a problem where the two do not go together.
Not here: left and right by name (mirror).
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.problems import Problem, register
from reasoner.rulebook.checks.given import Given
from reasoner.rulebook.conditions import Leaf, leaves
from reasoner.rulebook.references import Reading, conditions_of

register({"RB48": "a page's sides and what it reads do not go together"})

_RELATIVE = {"this", "other"}


def sides_that_do_not_fit(given: Given) -> Iterator[Problem]:
    """Sides asked for where there are none, and sides promised that nothing tells apart."""
    for page in given.pages():
        sides, each = getattr(page, "sides", "none"), getattr(page, "for_each", "")
        asked = [(line, leaf) for line, leaf in _leaves(given, page) if _relative(leaf)]
        line = given.line(page, "sides")
        if sides == "none" and not each:
            for at, leaf in asked:
                yield given.say(page, leaf.line or at, "RB48", f'"{leaf.subject}" is asked for this or the other side, and '
                                "the page has none.", "Write sides: each, or ask for both or either.")  # fmt: skip
        elif sides == "each" and not asked:
            yield given.say(page, line, "RB48", "nothing on this page tells one side from the other.",
                            "Ask for this or other somewhere, or write sides: none.")  # fmt: skip
        yield from _named(given, page, sides, each)


def _leaves(given: Given, page: Reading) -> Iterator[tuple[int, Leaf]]:
    for where, _, line in conditions_of(page):
        condition = given.book.parsed.get((page.id, where))
        if condition is not None:
            yield from ((line, leaf) for leaf in leaves(condition))


def _relative(leaf: Leaf) -> bool:
    return leaf.side in _RELATIVE or (leaf.of == "side" and bool(_RELATIVE & set(leaf.words)))


def _named(given: Given, page: Reading, sides: str, each: str) -> Iterator[Problem]:
    """The sentence of a page for each side names the side; that of one for each place names the place."""
    line = given.line(page, "says")
    sided = "{side}" in page.says or "{other}" in page.says
    if sides == "each" and not sided:
        yield given.say(
            page, line, "RB48", "`says` reads the same for left and right.", "Write {side} or {other} in it."
        )
    if sides == "none" and not each and sided:
        yield given.say(page, line, "RB48", "`says` names a side, and the page has none.", "Write sides: each.")
    if each and not hasattr(page, "lessens") and "{place}" not in page.says:
        yield given.say(page, line, "RB48", "`says` reads the same for every place.", "Write {place} in it.")
