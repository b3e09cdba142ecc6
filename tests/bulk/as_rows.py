"""Visits written as rows of a table, as a person with a spreadsheet would.

In: `Visit` objects. Out: rows, and Arrow tables of them.
Not here: judging. What only a visit file holds (a veterinarian's word, notes on work done) is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

import pyarrow as pa

from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.model import DateSpan, Noted, Touch, Visit

NAMES = ("visit", "date", "finding", "side", "value", "when", "response", "felt", "depth", "touch", "leg")
WHEN = {"first": None, "settled": "once settled", "after_work": "after work"}


def rows_of(visit: Visit, called: str, vocabulary: Vocabulary) -> list[dict[str, str | None]]:
    """The rows of one visit."""
    found = [_touch(t, vocabulary) for t in visit.touches]
    found += [_noted(n, vocabulary) for n in visit.noted if n.key != "visit"]
    return [{"visit": called, "date": visit.day.isoformat(), **row} for row in found]


def table_of(visits: Mapping[str, Visit] | Sequence[tuple[str, Visit]], vocabulary: Vocabulary) -> Any:
    """The visits as a table, all its columns texts."""
    pairs = visits.items() if isinstance(visits, Mapping) else visits
    return table_from(row for called, visit in pairs for row in rows_of(visit, called, vocabulary))


def table_from(rows: Iterable[Mapping[str, str | None]]) -> Any:
    """Rows as an Arrow table of texts."""
    every = list(rows)
    return pa.table({name: pa.array([row.get(name) for row in every], pa.string()) for name in NAMES})


def _touch(touch: Touch, vocabulary: Vocabulary) -> dict[str, str | None]:
    value = None if touch.soreness is None else str(touch.soreness)
    if touch.refused:
        value = value or "would not allow touch"
    if touch.not_examined is not None:
        value = f"not examined - {touch.not_examined.replace('_', ' ')}"
    if touch.quiet_list:
        value = "quiet"
    responses = list(touch.responses or ())
    if touch.refused and value is not None and value[0].isdigit() and "would_not_allow" not in responses:
        responses.append("would_not_allow")
    return {
        "finding": vocabulary.places[touch.place].name, "side": touch.side, "value": value, "when": WHEN[touch.when],
        "response": ", ".join(responses) or None, "felt": ", ".join(touch.felt or ()) or None, "depth": touch.depth,
        "touch": touch.touch,
    }  # fmt: skip


def _noted(noted: Noted, vocabulary: Vocabulary) -> dict[str, str | None]:
    one = vocabulary.observations[noted.key]
    heading = "" if one.section == "top" else f"{one.section.split('/')[-1].replace('_', ' ')}: "
    value: Any = noted.written
    if isinstance(noted.value, DateSpan) and not noted.written[:1].isdigit():
        value = one.none_word
    elif isinstance(noted.value, Decimal) and noted.written == str(noted.value):
        value = noted.written
    leg = f"{noted.about[1]} {noted.about[0].partition('_')[0]}" if noted.about else None
    return {"finding": heading + one.name, "side": noted.side, "value": value, "leg": leg}
