"""What `reasoner records told`, `judge` and `countersign` print with --json.

In: a visit of the records, and what was told of it. Out: JSON-ready data (schemas/records_told.json and its neighbours).
Not here: keeping it.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from reasoner.rendering.records_json import RECORDS_VERSION, visit_json
from reasoner.store.afterwards import Done, Opinion, Signature
from reasoner.store.place import Place
from reasoner.store.reading import KnownVisit


def told_json(
    place: Place, visit: KnownVisit, step: str, side: str, answer: str, because: str, by: str, on: date, *, new: bool,
    before: Done | None,
) -> dict[str, Any]:  # fmt: skip
    """What was told of a step; `new` is false where that was kept already, `before` what was told last until then."""
    return {
        **_head(place, visit), "step": step, "side": side or None, "answer": answer, "because": because or None, "by": by,
        "told_on": on.isoformat(), "new": new, "before": None if before is None else _told(before),
    }  # fmt: skip


def judged_json(
    place: Place, visit: KnownVisit, key: str, side: str, agrees: bool, because: str, by: str, *, new: bool
) -> dict[str, Any]:
    """What was judged of a conclusion; `new` is false where that was kept already."""
    return {
        **_head(place, visit), "conclusion": key, "side": side or None, "agrees": agrees, "because": because, "by": by,
        "new": new,
    }  # fmt: skip


def countersigned_json(place: Place, visit: KnownVisit, by: str, new: bool) -> dict[str, Any]:
    """That a version is countersigned; `new` is false where it was already."""
    return {**_head(place, visit), "by": by, "new": new}


def afterwards_json(
    done: Iterable[Done], opinions: Iterable[Opinion], signatures: Iterable[Signature]
) -> dict[str, Any]:
    """Everything told of one visit afterwards."""
    return {
        "told": [_told(one) for one in done],
        "judged": [
            {"conclusion": one.conclusion, "side": one.side or None, "agrees": one.agrees, "because": one.because,
             "by": one.who, "at": one.saved_at}
            for one in opinions
        ],
        "countersigned": [{"by": one.who, "at": one.saved_at} for one in signatures],
    }  # fmt: skip


def _told(one: Done) -> dict[str, Any]:
    return {
        "step": one.step, "side": one.side or None, "answer": one.answer, "because": one.because or None, "by": one.told_by,
        "told_on": one.told_on.isoformat(),
    }  # fmt: skip


def _head(place: Place, visit: KnownVisit) -> dict[str, Any]:
    return {"schema_version": RECORDS_VERSION, "store": place.shown, "visit": visit_json(visit)}
