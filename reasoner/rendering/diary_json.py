"""The diary and the day sheet as JSON-ready data.

In: what is due, and a day's horses. Out: dicts by their schemas (schemas/diary.json, day_sheet.json).
Not here: what is due.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from reasoner.records.day_sheet import Sheet
from reasoner.records.diary import Due

DIARY_VERSION = "1"


def diary_json(dues: Iterable[Due], today: date, shown: str) -> dict[str, Any]:
    """What is due."""
    return {**_head(today, shown), "due": [_due(due, today) for due in dues]}


def sheet_json(sheets: Iterable[Sheet], day: date, shown: str, long: Iterable[Due] = ()) -> dict[str, Any]:
    """A day's horses; `long` are those overdue for too long to be that day's."""
    return {
        **_head(day, shown),
        "horses": [
            {
                **_due(sheet.due, day),
                "emergency": sheet.next.stop,
                "look_at": [
                    {"key": e.check.key, "name": e.check.name, "how": e.check.how, "safety": e.check.safety}
                    for e in (*sheet.next.first_look, *sheet.next.proposed)
                ],
                "not_proposed": [{"key": one.check.key, "because": one.because} for one in sheet.next.left],
            }
            for sheet in sheets
        ],
        "without_a_sheet": [_due(due, day) for due in long],
    }


def _head(day: date, shown: str) -> dict[str, Any]:
    return {"schema_version": DIARY_VERSION, "store": shown, "day": day.isoformat()}


def _due(due: Due, today: date) -> dict[str, Any]:
    return {
        "visit": due.visit.uid, "horse": due.visit.name, "yard": due.visit.yard or None, "due": due.day.isoformat(),
        "overdue_days": max((today - due.day).days, 0), "last_seen": due.visit.day.isoformat(), "call_then": due.visit.level,
        "word_ends": due.word_ends.isoformat() if due.word_ends else None,
        "steps": [
            {"key": s.key, "side": s.side or None, "words": s.words,
             "look_again": s.look_again.isoformat() if s.look_again else None}
            for s in due.steps
        ],
        "expected": [
            {"place": a.place, "side": a.side or None, "was": a.was or None, "to": a.to, "by": a.by.isoformat()}
            for a in due.awaited
        ],
    }  # fmt: skip
