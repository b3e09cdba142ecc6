"""A reason to call a veterinarian reads the worst that was recorded, so that feeling again never takes it back.

In: the signs of every concern. Out: a problem for each that reads a netted number.
Not here: ramps and conclusions, which references refuses in a concern; discounts, which grounding keeps away from it.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.problems import Problem, register
from reasoner.rulebook.checks.given import Given
from reasoner.rulebook.conditions import leaves

register({"RB46": "a concern reads a reading that a later one replaces"})

#: What is kept once for every reading of a place; the others ask for one of several.
_SEVERAL = ("at_least", "response", "felt")


def netted(given: Given) -> Iterator[Problem]:
    """Signs that read the settled number in place of the first: settling would then lower the level."""
    for concern in given.book.concerns.values():
        for number, sign in enumerate(concern.signs):
            condition = given.book.parsed.get((concern.id, f"sign {number}"))
            for leaf in leaves(condition) if condition is not None else ():
                if leaf.of in ("place", "places") and leaf.test in _SEVERAL and leaf.reading == "effective":
                    yield given.say(
                        concern, leaf.line or sign.line, "RB46",
                        f'"{sign.sign}" reads {leaf.subject.replace("_", " ")} as it was once settled, so that feeling '
                        "again would take the reason away.", "Add reading: worst.",
                    )  # fmt: skip
