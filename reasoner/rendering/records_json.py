"""What the commands of the records print with --json.

In: rows of the records. Out: JSON-ready data (schemas/records_*.json).
Not here: reading the records.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from reasoner.store.place import Place
from reasoner.store.reading import KnownHorse, KnownVisit
from reasoner.store.saving import Saved
from reasoner.visit.model import Visit

RECORDS_VERSION = "1"


def saved_json(place: Place, saved: Iterable[tuple[Path, Visit, Saved]]) -> dict[str, Any]:
    """What was kept."""
    return {
        **_head(place),
        "saved": [
            {
                "file": str(path), "horse": visit.horse_name, "date": visit.day.isoformat(), "visit": one.visit,
                "version": one.version, "number": one.number, "new": one.new,
            }
            for path, visit, one in saved
        ],
    }  # fmt: skip


def horses_json(place: Place, every: Iterable[KnownHorse]) -> dict[str, Any]:
    """Every horse."""
    return {**_head(place), "horses": [_horse(one) for one in every]}


def visits_json(place: Place, horse: KnownHorse, every: Iterable[KnownVisit]) -> dict[str, Any]:
    """Every visit to one horse."""
    return {**_head(place), "horse": _horse(horse), "visits": [visit_json(one) for one in every]}


def shown_json(
    place: Place, visit: KnownVisit, versions: Sequence[Any], row: Any, answer: Mapping[str, Any]
) -> dict[str, Any]:  # fmt: skip
    """One visit as it was kept; `answer` as it was given then."""
    return {
        **_head(place), "visit": visit_json(visit), "versions": [_version(one) for one in versions],
        "shown": row.number, "answer": answer,
    }  # fmt: skip


def upgraded_json(place: Place, copy: Path | None) -> dict[str, Any]:
    """Records brought up to date."""
    return {**_head(place), "copy": str(copy) if copy else None}


def visit_json(one: KnownVisit) -> dict[str, Any]:
    """A visit of the records; what was not written is null."""
    return {
        "visit": one.uid, "version": one.version, "number": one.number, "horse": one.name, "yard": one.yard or None,
        "date": one.day.isoformat(), "part": one.part, "examined_by": one.examiner or None,
        "checked_by": one.checked_by or None, "saddle": one.saddle or None, "rider": one.rider or None, "call": one.level,
        "rulebase": one.rulebook,
    }  # fmt: skip


def _head(place: Place) -> dict[str, Any]:
    return {"schema_version": RECORDS_VERSION, "store": place.shown}


def _horse(one: KnownHorse) -> dict[str, Any]:
    return {
        "horse": one.uid, "name": one.name, "yard": one.yard or None, "born": one.born or None, "visits": one.visits,
        "last": one.last.isoformat() if one.last else None,
    }  # fmt: skip


def _version(row: Any) -> dict[str, Any]:
    return {
        "version": row.uid, "number": row.number, "saved_at": row.saved_at, "saved_by": row.saved_by,
        "why": row.why or None, "rulebase": row.rulebook,
    }  # fmt: skip
