"""Left and right are never told apart: whatever a page says of one side it says of the other.

In: conditions, links and shown sentences of every page. Out: a problem for each that names one side only.
Not here: the law itself (tests/laws/test_mirror.py), how a side is filled in (grounding).
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any

from reasoner.problems import Problem, register
from reasoner.rulebook.checks.given import Given
from reasoner.rulebook.conditions import AtLeast, Condition, Leaf, Not
from reasoner.rulebook.references import Reading, conditions_of

register({"RB47": "a page says something of one side only"})

_OTHER = {"left": "right", "right": "left"}
_LINKS = ("accounts_for", "leads_to", "works_on", "expects")
_SHOWN = ("says", "plain", "dose", "while_you_wait", "tell_the_vet")
_REPAIR = "Write this and other, or the same for both sides."


def one_sided(given: Given) -> Iterator[Problem]:
    """Conditions, links and sentences that change when left and right change places."""
    for page in given.pages():
        for where, _, line in conditions_of(page):
            condition = given.book.parsed.get((page.id, where))
            if condition is not None and form(condition) != form(condition, mirrored=True):
                yield given.say(page, line, "RB47", "this asks about left or right by name, and not in the same way of both.",
                                _REPAIR)  # fmt: skip
        for key in _LINKS:
            links = getattr(page, key, ())
            if {_plain(e, False) for e in links} != {_plain(e, True) for e in links}:
                yield given.say(page, given.line(page, key), "RB47", f"`{key}` names left or right, and not both alike.",
                                _REPAIR)  # fmt: skip
        for key, text, line in _shown(given, page):
            named = {hit[1].lower() for hit in given.wording.sided.finditer(text)}
            if len(named) == 1:
                yield given.say(page, line, "RB47", f'`{key}` speaks of the {named.pop()} side only: "{text[:50]}".',
                                "Write {side} or {other}.")  # fmt: skip


def form(condition: Condition, *, mirrored: bool = False) -> Hashable:
    """A condition without its lines and the order of its parts; `mirrored`: with left and right exchanged."""
    if isinstance(condition, Leaf):
        side, words = condition.side, condition.words
        if mirrored:
            side = _OTHER.get(side, side)
            words = tuple(_OTHER.get(w, w) for w in words) if condition.of == "side" else words
        return (condition.subject, condition.test, side, frozenset(words), condition.value, condition.reading,
                condition.how_many)  # fmt: skip
    if isinstance(condition, Not):
        return "not", form(condition.part, mirrored=mirrored)
    parts = sorted((form(part, mirrored=mirrored) for part in condition.parts), key=repr_of)
    return condition.k if isinstance(condition, AtLeast) else "all", tuple(parts)


def repr_of(form_: Hashable) -> str:
    """A text to order forms by; sets are written sorted, so that it does not change from run to run."""
    if isinstance(form_, frozenset):
        return repr(sorted(map(repr, form_)))
    if isinstance(form_, tuple):
        return f"({', '.join(map(repr_of, form_))})"
    return repr(form_)


def _plain(entry: Any, mirrored: bool) -> str:
    if isinstance(entry, dict):
        return repr(sorted((k, _plain(v, mirrored)) for k, v in entry.items() if k != "line"))
    if isinstance(entry, list | tuple):
        return repr(sorted(_plain(v, mirrored) for v in entry))
    if hasattr(entry, "__dataclass_fields__"):
        return _plain({k: getattr(entry, k) for k in entry.__dataclass_fields__}, mirrored)
    return _OTHER.get(str(entry), str(entry)) if mirrored else str(entry)


def _shown(given: Given, page: Reading) -> Iterator[tuple[str, str, int]]:
    for key in _SHOWN:
        value = getattr(page, key, "")
        for text in [value] if isinstance(value, str) else value:
            yield key, text, given.line(page, key)
    for need in getattr(page, "only_after", ()):
        yield "otherwise", need.otherwise, need.line
    task = getattr(page, "owner_task", None)
    if task is not None:
        for key in ("says", "stop_and_ring_me_if", "ring_the_vet_if"):
            yield key, getattr(task, key), task.line
