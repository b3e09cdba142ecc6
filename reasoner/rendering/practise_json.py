"""`reasoner practise` for machines: where a session stands, and its marks once it has ended.

In: a session, what may be looked at, marks, a record. Out: dicts ready for json.dumps.
Not here: their shapes (practise_schema). Before the end nothing of the case stands here that was not uncovered.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from reasoner.explanation.model import Finding
from reasoner.questions.telling import Effect
from reasoner.rendering.numbers import number
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.marked import Cause, Marked, Step, Told
from reasoner.teaching.offered import Offered
from reasoner.teaching.practice_record import Record, by_skill, coming
from reasoner.teaching.recovery import Recovered
from reasoner.teaching.session import Key, Session, revealed

VERSION = "1"


def practise_json(
    session: Session, offer: Offered, marks: Marked | None, record: Record | None, book: Rulebook,
    at: datetime | None = None,
) -> dict[str, Any]:  # fmt: skip
    """Where a session stands; `marks` and `record` once there are any, the record as it stands `at` that moment."""
    visit = revealed(session, book)
    return {
        "schema_version": VERSION,
        "rulebook": book.stamp,
        "difficulty": session.case.difficulty or None,
        "ended": session.ended,
        "touches": [
            {
                "place": t.place,
                "side": t.side,
                "soreness": None if t.soreness is None else float(t.soreness),
                "refused": t.refused,
                "responses": list(t.responses or ()),
                "felt": list(t.felt or ()),
                "depth": t.depth,
                "touch": t.touch,
            }
            for t in visit.touches
        ],
        "entries": [
            {
                "entry": n.key,
                "side": n.side,
                "value": n.value if isinstance(n.value, str) else None,
                "written": n.written,
            }
            for n in visit.noted
        ],
        "looks": list(session.looks),
        "stop": offer.stop,
        "offered": [
            {
                "look": c.key,
                "name": c.name,
                "heading": c.heading,
                "question": c.question,
                "how": c.how,
                "safety": c.safety,
            }
            for c in (() if session.ended else offer.checks)
        ],
        "not_now": 0 if session.ended else len(offer.left),
        "thinks": [{**_key(key), "share": number(share)} for key, share in session.thinks.items()],
        "referral": session.referral or None,
        "steps": [_key(key) for key in session.steps],
        "marks": marks_json(marks) if marks is not None else None,
        "record": _record(record, at) if record is not None and at is not None else None,
    }


def recovered_json(rows: Sequence[Recovered], seed: int, book: Rulebook) -> dict[str, Any]:
    """How often causes are found again."""
    return {
        "schema_version": VERSION,
        "rulebook": book.stamp,
        "seed": seed,
        "kinds": [
            {
                **_key((row.cause, row.side)),
                "difficulty": row.difficulty,
                "cases": row.cases,
                "found": row.found,
                "first": row.first,
                "led_to": row.led,
                "calls": row.calls,
                "instead": [{**_key(key), "cases": count} for key, count in row.instead],
            }
            for row in rows
        ],
    }


def marks_json(marks: Marked) -> dict[str, Any]:
    """An ended session beside the rules, by itself."""
    said, sure = marks.referral, marks.sureness
    return {
        "points": number(marks.points),
        "lost": [{"what": what, "points": number(points)} for what, points in marks.lost],
        "made_from": _key(marks.truth) if marks.truth is not None else None,
        "begins_with": [_cause(one) for one in marks.starting_points],
        "found": [_cause(one) for one in marks.found],
        "other_side": [_cause(one) for one in marks.other_side],
        "missed": [_cause(one) for one in marks.missed],
        "out_of_reach": [_cause(one) for one in marks.out_of_reach],
        "on_the_way": [_cause(one) for one in marks.on_the_way],
        "supported": [_cause(one) for one in marks.supported],
        "jumped_to": [_cause(one) for one in marks.jumped_to],
        "looks": [
            {**_effect(look.effect), "place": look.place, "of": look.of, "telling": look.telling, "had": look.had}
            for look in marks.looks
        ],
        "looks_missed": [_effect(effect) for effect in marks.looks_missed],
        "closed": [{"because": why, "looks": [c.key for c in checks]} for why, checks in marks.closed_by],
        "referral": {
            "said": said.said,
            "seen": said.seen,
            "whole": said.whole,
            "too_low": said.low,
            "too_high": said.high,
            "not_seen": said.not_seen,
            "told": [_told(one) for one in said.told],
        },
        "steps": {
            "right": _steps(marks.steps_right),
            "other": _steps(marks.steps_other),
            "stopped": _steps(marks.steps_stopped),
            "missed": _steps(marks.steps_missed),
        },
        "certainty": None
        if sure.came is None
        else {
            "came": _key(sure.came),
            "share": number(sure.share),
            "brier": number(sure.brier),
            "logarithmic": number(sure.logarithmic),
            "alike_brier": number(sure.alike_brier),
            "alike_logarithmic": number(sure.alike_logarithmic),
        },
        "skills": [{"skill": name, "share": None if share is None else number(share)} for name, share in marks.skills],
    }


def _record(record: Record, at: datetime) -> dict[str, Any]:
    return {
        "sessions": len(record.done),
        "skills": [
            {"skill": name, "lately": number(now), "before": number(before), "sessions": count}
            for name, now, before, count in by_skill(record)
        ],
        "comes_again": [
            {"within_days": days if days >= 0 else None, "kinds": kinds} for days, kinds in coming(record, at)
        ],
    }


def _key(key: Key) -> dict[str, Any]:
    return {"key": key[0], "side": key[1] or None}


def _cause(one: Cause) -> dict[str, Any]:
    return {
        **_key((one.key, one.side)),
        "words": one.words,
        "share": number(one.share),
        "certainty_seen": number(one.seen),
        "certainty_whole": number(one.whole),
        "told": [_told(told) for told in one.told],
    }


def _told(told: Told) -> dict[str, Any]:
    return {
        "rule": told.rule,
        "name": told.name,
        "because": told.because,
        "basis": list(told.basis),
        "file": told.file,
        "line": told.line,
        "findings": [_finding(one) for one in told.findings],
        "unseen": [_finding(one) for one in told.unseen],
    }


def _finding(one: Finding) -> dict[str, Any]:
    return {"where": one.where, "name": one.name, "side": one.side or None, "value": one.value}


def _effect(effect: Effect) -> dict[str, Any]:
    return {
        "look": effect.check.key,
        "name": effect.check.name,
        "calls": effect.level,
        "plan": effect.plan,
        "narrows": number(effect.narrows),
    }


def _steps(steps: Sequence[Step]) -> list[dict[str, Any]]:
    return [{**_key((one.key, one.side)), "words": one.words, "stopped_by": list(one.stopped)} for one in steps]
