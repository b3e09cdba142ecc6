"""What the commands of the records print with --json.

In: rows of the records. Out: JSON-ready data (schemas/records_*.json).
Not here: reading the records.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from reasoner.rendering.records_care_text import Beside
from reasoner.store.consents import Agreed
from reasoner.store.enclosed_bytes import TakenIn
from reasoner.store.enclosing import Enclosed
from reasoner.store.place import Place
from reasoner.store.placing import Placed
from reasoner.store.reading import KnownHorse, KnownVisit
from reasoner.store.saving import Saved
from reasoner.visit.model import Visit

RECORDS_VERSION = "1"
Gone = Iterable[tuple[KnownVisit, Placed]]


def saved_json(
    place: Place, saved: Iterable[tuple[Path, Visit, Saved, date | None, Sequence[str]]], *, begun: bool = False
) -> dict[str, Any]:
    """What was kept, with the day of a later visit that was kept before it and what was noticed; `begun`: in records that were
    begun with it."""
    return {
        **head_json(place), "begun": begun,
        "saved": [
            {
                "file": str(path), "horse": visit.horse_name, "date": visit.day.isoformat(), "visit": one.visit,
                "version": one.version, "number": one.number, "new": one.new,
                "since": one.since or None, "kept_after": behind.isoformat() if behind else None,
                "notes": list(notes),
            }
            for path, visit, one, behind, notes in saved
        ],
    }  # fmt: skip


def horses_json(
    place: Place, every: Iterable[KnownHorse], said: Mapping[str, Iterable[Agreed]], today: date
) -> dict[str, Any]:
    """Every horse; `said` is what was agreed about each, by its uid."""
    horses = [{**horse_json(one), "agreed": agreed_json(said.get(one.uid, ()), today)} for one in every]
    return {**head_json(place), "horses": horses}


def visits_json(
    place: Place, horse: KnownHorse, every: Iterable[KnownVisit], agreed: Iterable[Agreed], today: date, gone: Gone = ()
) -> dict[str, Any]:
    """Every visit to one horse; `gone` are those that were moved or withdrawn."""
    return {
        **head_json(place), "horse": {**horse_json(horse), "agreed": agreed_json(agreed, today)},
        "visits": [visit_json(one) for one in every],
        "gone": [{"visit": visit_json(one), **placed_json(last)} for one, last in gone],
    }  # fmt: skip


def shown_json(
    place: Place, visit: KnownVisit, versions: Sequence[Any], row: Any, answer: Mapping[str, Any], beside: Beside
) -> dict[str, Any]:  # fmt: skip
    """One visit as it was kept; `answer` as it was given then."""
    return {
        **head_json(place), "visit": visit_json(visit), "versions": [_version(one) for one in versions],
        "agreed": agreed_json(beside.agreed, beside.today), "enclosed": [file_json(one) for one in beside.enclosed],
        "kept_under": beside.first, "placed": [placed_json(one) for one in beside.placed],
        "withdrawn": bool(beside.placed) and beside.placed[-1].withdrawn, "shown": row.number, "answer": answer,
    }  # fmt: skip


def upgraded_json(place: Place, copy: Path | None, taken: TakenIn) -> dict[str, Any]:
    """Records brought up to date."""
    return {
        **head_json(place), "copy": str(copy) if copy else None, "files_taken_in": taken.files,
        "files_elsewhere": list(taken.elsewhere),
    }  # fmt: skip


def placed_json(one: Placed) -> dict[str, Any]:
    """Where somebody said that a visit counts, or that it counts nowhere."""
    return {
        "horse": one.horse, "part": one.part, "withdrawn": one.withdrawn, "by": one.who, "why": one.why, "at": one.saved_at,
    }  # fmt: skip


def agreed_json(agreed: Iterable[Agreed], today: date) -> list[dict[str, Any]]:
    """What stands; `holds` says whether it still does today."""
    return [
        {
            "what": one.what, "given": one.given, "who": one.who, "on": one.on.isoformat(),
            "until": one.until.isoformat() if one.until else None, "note": one.note or None, "holds": one.holds(today),
            "another_owner_since": one.another_since.isoformat() if one.another_since else None,
        }
        for one in agreed
    ]  # fmt: skip


def file_json(one: Enclosed) -> dict[str, Any]:
    """A file kept with a visit; `number` is the version it came with."""
    return {
        "name": one.name, "kind": one.kind, "number": one.number, "size": one.size, "sha256": one.sha256,
        "file": None if one.at is None else str(one.at), "shows": one.shows or None, "caption": one.caption or None,
    }  # fmt: skip


def visit_json(one: KnownVisit) -> dict[str, Any]:
    """A visit of the records; what was not written is null."""
    return {
        "visit": one.uid, "version": one.version, "number": one.number, "horse": one.name, "yard": one.yard or None,
        "date": one.day.isoformat(), "part": one.part, "examined_by": one.examiner or None,
        "checked_by": one.checked_by or None, "saddle": one.saddle or None, "rider": one.rider or None, "call": one.level,
        "rulebase": one.rulebook,
    }  # fmt: skip


def head_json(place: Place) -> dict[str, Any]:
    """What every answer of the records begins with."""
    return {"schema_version": RECORDS_VERSION, "store": place.shown}


def horse_json(one: KnownHorse) -> dict[str, Any]:
    """A horse of the records; what was not written is null."""
    return {
        "horse": one.uid, "name": one.name, "yard": one.yard or None, "born": one.born or None,
        "owner": one.owner or None, "visits": one.visits,
        "last": one.last.isoformat() if one.last else None,
    }  # fmt: skip


def _version(row: Any) -> dict[str, Any]:
    return {
        "version": row.uid, "number": row.number, "saved_at": row.saved_at, "saved_by": row.saved_by,
        "why": row.why or None, "rulebase": row.rulebook,
    }  # fmt: skip
