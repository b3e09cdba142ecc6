"""What `reasoner yard` prints with --json.

In: a `YardView`. Out: JSON-ready data (schemas/yard.json).
Not here: counting, words.
"""

from __future__ import annotations

from typing import Any

from reasoner.records.yard import Run, YardView
from reasoner.rendering.records_json import RECORDS_VERSION
from reasoner.rendering.yard_text import left_out_json, rests_on
from reasoner.rulebook.practice import YardSettings
from reasoner.store.place import Place


def yard_json(
    place: Place, view: YardView, settings: YardSettings, *, name: str, since: str, stamp: str
) -> dict[str, Any]:
    """The view."""
    return {
        "schema_version": RECORDS_VERSION, "store": place.shown, "rulebase": stamp, "name": name or None,
        "since": since or None, "visits": view.visits, "horses": view.horses, "looked_at": view.looked_at,
        "groups": dict(view.groups), "runs": [_run(run) for run in view.runs],
        "left_out": {key: dict(held) for key, held in left_out_json(view).items()}, "basis": settings.basis,
        "rests_on": list(rests_on(settings)),
    }  # fmt: skip


def _run(run: Run) -> dict[str, Any]:
    return {
        "kind": run.kind, "name": run.name, "question": run.question[0], "key": run.question[1], "side": run.side or None,
        "count": run.count, "of": run.of, "to_the_other": run.to_the_other, "neither": run.neither,
        "in_group": run.in_group, "usual": run.usual, "usual_of": run.usual_of, "chance": run.chance,
        "after_all": run.after_all, "shared": [{"kind": kind, "name": name} for kind, name in run.shared],
        "horses": [
            {"horse": one.visit.name, "yard": one.visit.yard or None, "date": one.visit.day.isoformat(),
             "visit": one.visit.uid, "line": one.seen.line, "words": one.seen.words}
            for one in run.horses
        ],
    }  # fmt: skip
