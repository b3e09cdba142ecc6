"""What would change, visit by visit, as lines for a terminal and as JSON.

In: the changes of each visit. Out: `Line`s, or JSON-ready data (schemas/rules_impact.json).
Not here: comparing (differences), judging visits.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any

from reasoner.frozen import frozen
from reasoner.rendering.phrases import at_side, clause, counted, plain, pointers, sentence
from reasoner.rendering.text_page import GAP, Line
from reasoner.differences import KINDS, Change, Had

IMPACT_VERSION = "1"
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


@frozen
class Judged:
    """One visit under both rulebooks: its file, the horse, and what changes."""

    file: str
    horse: str
    changes: tuple[Change, ...]


@frozen
class Stamps:
    """Which two rulebooks: their stamps and folders, before and after."""

    before: str
    before_folders: tuple[str, ...]
    after: str
    after_folders: tuple[str, ...]


def impact_lines(judged: Sequence[Judged], stamps: Stamps) -> list[Line]:
    """The page for a terminal: the visits that change, then the summary."""
    lines = [Line("If this rulebook took the place of that one", "title")]
    lines += [Line(f"that one: {', '.join(stamps.before_folders)}", indent=2, tail=stamps.before)]
    lines += [Line(f"this one: {', '.join(stamps.after_folders)}", indent=2, tail=stamps.after)]
    for visit in judged:
        if visit.changes:
            lines += [GAP, Line(visit.horse or "a horse without a name", "heading", tail=visit.file)]
            for kind in KINDS:
                some = [change for change in visit.changes if change.kind == kind]
                if some:
                    lines.append(Line(HEADINGS[kind], "strong"))
                    lines += [line for change in some for line in _change(change)]
    changed = sum(bool(visit.changes) for visit in judged)
    lines += [GAP, Line(f"{counted(len(judged), 'visit')}, {changed} changed.", "strong")]
    counts = _counts(judged)
    if counts:
        told = "; ".join(f"{HEADINGS[kind].lower()} in {number}" for kind, number in counts.items())
        lines.append(Line(f"Visits in which it changes: {told}."))
    else:
        lines.append(Line("Both answer these visits alike. Of other visits that says nothing."))
    return lines


def impact_json(judged: Sequence[Judged], stamps: Stamps) -> dict[str, Any]:
    """The same as data."""
    return {
        "schema_version": IMPACT_VERSION,
        "before": {"rulebase": stamps.before, "folders": list(stamps.before_folders)},
        "after": {"rulebase": stamps.after, "folders": list(stamps.after_folders)},
        "summary": {
            "visits": len(judged),
            "changed": sum(bool(visit.changes) for visit in judged),
            "changed_by_kind": {kind: _counts(judged).get(kind, 0) for kind in KINDS},
        },
        "visits": [
            {"file": v.file, "horse": v.horse, "changed": bool(v.changes), "changes": [_plain(c) for c in v.changes]}
            for v in judged
        ],
    }


def _counts(judged: Sequence[Judged]) -> dict[str, int]:
    seen = Counter(kind for visit in judged for kind in {change.kind for change in visit.changes})
    return {kind: seen[kind] for kind in KINDS if seen[kind]}


def _plain(change: Change) -> dict[str, Any]:
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
