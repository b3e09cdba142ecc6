"""The diary and the day sheet as JSON-ready data.

In: what is due, and a day's horses. Out: dicts by their schemas (schemas/diary.json, day_sheet.json).
Not here: what is due.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from reasoner.records.day_sheet import Sheet
from reasoner.records.diary import Due
from reasoner.rendering.again import told_words
from reasoner.rendering.day_sheet_words import how_to, one_horse
from reasoner.rulebook.vocabulary import Vocabulary

DIARY_VERSION = "1"
#: 2: how a check is made stands once, under `how_to`, and no longer with every horse.
SHEET_VERSION = "2"


def diary_json(dues: Iterable[Due], today: date, shown: str) -> dict[str, Any]:
    """What is due."""
    return {**_head(today, shown), "due": [_due(due, today) for due in dues]}


def sheet_json(
    sheets: Sequence[Sheet],
    day: date,
    shown: str,
    words: Vocabulary,
    long: Iterable[Due] = (),
    written: Path | None = None,
) -> dict[str, Any]:
    """A day's horses; `long` are those overdue for too long to be that day's."""
    return {
        **_head(day, shown),
        "schema_version": SHEET_VERSION,
        "horses": [_horse(sheet, day, words) for sheet in sheets],
        "how_to": [
            {"key": check.key, "name": check.name, "how": check.how, "safety": check.safety} for check in how_to(sheets)
        ],
        "without_a_sheet": [_due(due, day) for due in long],
        "written": str(written) if written is not None else None,
    }


def _horse(sheet: Sheet, day: date, words: Vocabulary) -> dict[str, Any]:
    said = one_horse(sheet, day, words)
    return {
        **_due(sheet.due, day),
        "time": sheet.at or None,
        "emergency": sheet.next.stop,
        "cautions": list(said.cautions),
        "vets_words": list(said.vet),
        "told": [
            {"key": s.key, "side": s.side or None, "answer": s.told.answer if s.told is not None else None,
             "says": told_words(s.told) or None}
            for s in sheet.held.steps
            if not s.out_by
        ],
        "look_at": [
            {"key": check.key, "name": check.name, "sides": [one for one in check.sides if one]} for check in sheet.looks
        ],
        "not_proposed": [{"key": one.check.key, "because": one.because} for one in sheet.next.left],
        "bring": [{"what": one.bring.what, "named": one.named or None} for one in sheet.needed],
    }  # fmt: skip


def _head(day: date, shown: str) -> dict[str, Any]:
    return {"schema_version": DIARY_VERSION, "store": shown, "day": day.isoformat()}


def _due(due: Due, today: date) -> dict[str, Any]:
    day = due.day if due.why != "named" else None
    return {
        "visit": due.visit.uid, "horse": due.visit.name, "yard": due.visit.yard or None, "due": day.isoformat() if day else None,
        "overdue_days": max((today - day).days, 0) if day else 0, "last_seen": due.visit.day.isoformat(),
        "call_then": due.visit.level,
        "word_ends": due.word_ends.isoformat() if due.word_ends else None,
        "steps": [
            {"key": s.key, "side": s.side or None, "words": s.words,
             "look_again": s.look_again.isoformat() if s.look_again else None}
            for s in due.steps
        ],
        "expected": [
            {"place": a.place, "side": a.side or None, "was": a.was or None, "to": a.to, "by": a.by.isoformat(),
             "asked_by": [{"step": b.step, "side": b.side or None, "to": b.to} for b in a.asked_by]}
            for a in due.awaited
        ],
    }  # fmt: skip
