"""What would change, visit by visit, as lines for a terminal and as JSON.

In: the changes of each visit. Out: `Line`s, or JSON-ready data (schemas/rules_impact.json).
Not here: comparing (differences), judging visits.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from reasoner.differences import KINDS, Change
from reasoner.frozen import frozen
from reasoner.rendering.differences_text import HEADINGS, difference_json, differing_lines
from reasoner.rendering.phrases import counted
from reasoner.rendering.text_page import GAP, Line

IMPACT_VERSION = "1"


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
            lines += differing_lines(visit.changes)
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
            {
                "file": v.file,
                "horse": v.horse,
                "changed": bool(v.changes),
                "changes": [difference_json(c) for c in v.changes],
            }
            for v in judged
        ],
    }


def _counts(judged: Sequence[Judged]) -> dict[str, int]:
    seen = Counter(kind for visit in judged for kind in {change.kind for change in visit.changes})
    return {kind: seen[kind] for kind in KINDS if seen[kind]}
