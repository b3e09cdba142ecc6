"""Differences between two answers, as lines for a terminal and as JSON.

In: the changes of one visit. Out: `Line`s, or JSON-ready data.
Not here: comparing (differences), whole pages.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from reasoner.differences import KINDS, Change, Had
from reasoner.rendering.phrases import at_side, clause, plain, pointers, sentence
from reasoner.rendering.text_page import Line

HEADINGS = {
    "level": "When to call the veterinarian",
    "concern": "Reasons to call",
    "riding": "May it be ridden",
    "step": "Steps of the plan",
    "order": "The order of the steps",
    "withheld": "Not for today",
    "starting_points": "Where the account starts",
    "conclusion": "What may be going on",
    "reading": "The visit file itself",
}
_GONE = {"concern": "no longer raised", "step": "no longer a step", "withheld": "no longer held back"}
_NEW = {"concern": "newly raised", "step": "a new step", "withheld": "newly held back"}


def differing_lines(changes: Sequence[Change]) -> Iterator[Line]:
    """The changes, gathered by kind, the most pressing first."""
    held = {(change.key, change.side) for change in changes if change.kind == "withheld" and change.after.value}
    for kind in KINDS:
        some = [change for change in changes if change.kind == kind]
        if kind == "step":  # what is now held back is told there, with the reason
            some = [change for change in some if change.after.value or (change.key, change.side) not in held]
        if some:
            yield Line(HEADINGS[kind], "strong")
            for change in some:
                yield from _change(change)


def difference_json(change: Change) -> dict[str, Any]:
    """One change as data."""

    def had(one: Had) -> dict[str, str] | None:
        return {"value": one.value, "words": one.words} if one.value else None

    return {
        "kind": change.kind, "key": change.key or None, "side": change.side or None, "name": change.name,
        "before": had(change.before), "after": had(change.after),
    }  # fmt: skip


def _change(change: Change) -> Iterator[Line]:
    one, two = change.before, change.after
    if change.kind == "conclusion":
        name = f"{clause(change.name)} ({at_side(plain(change.key), change.side)})"
        yield Line(f"{name}: {_band(one)} -> {_band(two)}", indent=2, hang=2)
    elif change.kind in _NEW and not (one.value and two.value):
        told = _NEW[change.kind] if two.value else _GONE[change.kind]
        yield Line(f"{told}: {sentence(change.name)}", indent=2, hang=2)
        if change.kind != "step":
            yield Line(f"({(two if two.value else one).words})", "faint", indent=4)
    else:
        if change.kind in _NEW:
            yield Line(sentence(change.name), indent=2, hang=2)
        yield Line(f"before: {one.words or one.value}", indent=4, hang=2)
        yield Line(f"after:  {two.words or two.value}", indent=4, hang=2)


def _band(had: Had) -> str:
    return f"{pointers(had.value)} ({had.words})" if had.value else "no such page"
