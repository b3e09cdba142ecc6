"""What is told of one version of a visit, table by table.

In: a visit just read and its answer. Out: the rows of each table; they follow from these two, and from nothing else.
Not here: keeping them (saving.py), reading them back.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from reasoner.store.spoken import answered, spoke
from reasoner.visit.model import DateSpan, Noted, Outline, Touch, VetsWord, Visit


def told_of(visit: Visit, answer: Mapping[str, Any]) -> dict[str, list[dict[str, Any]]]:
    """The rows of each table that tells of a version: they follow from its words and its answer, and from nothing else."""
    leading = {(key["key"], key["side"]) for key in answer["leading"]}
    plan = answer["plan"]
    return {
        "touch": [_touch(touch) for touch in visit.touches],
        "noted": [_noted(noted) for noted in visit.noted],
        "outline": [row for outline in visit.outlines for row in _outline(outline)],
        "vets_word": [_vets_word(word) for word in visit.vets_words],
        "conclusion": [
            {
                "key": one["key"], "side": one["side"] or "", "kind": one["kind"], "certainty": one["certainty"],
                "band": one["band"], "leading": (one["key"], one["side"]) in leading, "words": one["words"],
            }
            for one in answer["conclusions"] if one["band"] != "none"
        ],
        "raised": [
            {"key": one["key"], "side": one["side"] or "", "place": one["place"] or "", "call": one["call"],
             "words": one["words"]}
            for one in answer["referral"]["concerns"]
        ],
        "step": [_step(step, visit.day) for step in plan["steps"]],
        "expectation": [row for step in plan["steps"] for row in _expected(step, visit.day)],
        "spoke": list(spoke(answer)),
        "answered": list(answered(answer)),
    }  # fmt: skip


def _touch(touch: Touch) -> dict[str, Any]:
    return {
        "place": touch.place, "side": touch.side or "", "time": touch.when, "soreness": _amount(touch.soreness),
        "responses": _list(touch.responses), "felt": _list(touch.felt), "depth": touch.depth, "touch": touch.touch,
        "refused": touch.refused, "not_examined": touch.not_examined, "quiet_list": touch.quiet_list, "line": touch.line,
        "note": touch.note,
    }  # fmt: skip


def _noted(noted: Noted) -> dict[str, Any]:
    value = noted.value
    if isinstance(value, DateSpan):
        shown = "never" if value.never else f"{value.first.isoformat()}/{value.last.isoformat()}"
    else:
        shown = _amount(value) or "" if isinstance(value, Decimal) else value
    return {
        "key": noted.key, "side": noted.side or "", "about": "/".join(noted.about or ()), "kind": noted.kind,
        "value": shown, "written": noted.written, "line": noted.line, "note": noted.note,
    }  # fmt: skip


def _outline(outline: Outline) -> list[dict[str, Any]]:
    return [
        {
            "of": outline.of, "plane": outline.plane, "station": outline.station, "side": side, "line": outline.line,
            "points": " ".join(f"{_amount(x)}/{_amount(y)}" for x, y in points),
        }
        for side, points in (("left", outline.left), ("right", outline.right)) if points
    ]  # fmt: skip


def _vets_word(word: VetsWord) -> dict[str, Any]:
    return {
        "who": word.who, "seen": word.seen.isoformat(), "until": word.until.isoformat() if word.until else None,
        "about": _list(word.about) or "", "allows": _list(word.allows) or "", "forbids": _list(word.forbids) or "",
        "line": word.line, "note": word.note,
    }  # fmt: skip


def _step(step: Mapping[str, Any], day: date) -> dict[str, Any]:
    days = step["recheck_days"]
    return {
        "key": step["key"], "side": step["side"] or "", "kind": step["kind"], "words": step["words"],
        "answers": " ".join(f"{a['key']}" for a in step["because"]),
        "recheck_on": (day + timedelta(days=days)).isoformat() if days is not None else None,
    }  # fmt: skip


def _expected(step: Mapping[str, Any], day: date) -> list[dict[str, Any]]:
    return [
        {
            "step": step["key"], "step_side": step["side"] or "", "place": one["place"], "side": one["side"] or "",
            "was": None if one["from"] is None else f"{one['from']:g}", "to": f"{one['to']:g}",
            "by": (day + timedelta(days=one["by_days"])).isoformat(),
        }
        for one in step["expects"]
    ] + [
        {
            "step": step["key"], "step_side": step["side"] or "", "place": one["entry"], "side": one["side"] or "",
            "was": one["was"], "to": " ".join(one["to"]), "by": (day + timedelta(days=one["by_days"])).isoformat(),
        }
        for one in step.get("looks_for", ())  # answers kept by an earlier release have none
    ]  # fmt: skip


def _amount(amount: Decimal | None) -> str | None:
    return None if amount is None else f"{amount.normalize():f}"


def _list(words: Sequence[str] | None) -> str | None:
    return None if words is None else " ".join(words)
