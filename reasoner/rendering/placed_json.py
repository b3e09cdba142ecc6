"""What `reasoner records move`, `withdraw` and `horse` print with --json.

In: what was done. Out: JSON-ready data (schemas/records_move.json and its neighbours).
Not here: doing it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from reasoner.rendering.records_json import head_json, visit_json
from reasoner.store.consents import Agreed
from reasoner.store.place import Place
from reasoner.store.placing import Moved
from reasoner.store.reading import KnownHorse
from reasoner.store.standing import Stay


def moved_json(place: Place, done: Moved, *, by: str, why: str) -> dict[str, Any]:
    """Where a visit counts now, and what went with it."""
    return {
        **head_json(place), "before": visit_json(done.before), "after": visit_json(done.after), "withdrawn": done.withdrawn,
        "by": by, "why": why, "agreements_that_went": _agreed(done.went), "agreements_that_stayed": _agreed(done.stayed),
    }  # fmt: skip


def horse_stays_json(place: Place, horse: KnownHorse, every: Sequence[Stay], *, new: bool | None) -> dict[str, Any]:
    """Where a horse stood and whose it was; `new` is null where nothing was said, false where it was so already."""
    return {
        **head_json(place), "horse": horse.uid, "name": horse.name, "yard": horse.yard or None, "owner": horse.owner or None,
        "first_yard": horse.first or None, "new": new,
        "said": [
            {"yard": one.yard or None, "owner": one.owner or None, "since": one.since.isoformat(), "by": one.who,
             "why": one.why or None, "at": one.saved_at}
            for one in every
        ],
    }  # fmt: skip


def _agreed(every: Iterable[Agreed]) -> list[dict[str, Any]]:
    return [{"what": one.what, "given": one.given, "who": one.who, "on": one.on.isoformat()} for one in every]
