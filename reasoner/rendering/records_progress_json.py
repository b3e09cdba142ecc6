"""What `reasoner again` and `reasoner progress` print with --json.

In: what the records hold of one horse. Out: JSON-ready data (schemas/again.json, schemas/progress.json).
Not here: comparing, the shapes (records_progress_schema.py).
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from reasoner import __version__
from reasoner.records.course import Compared, Course, Seen
from reasoner.records.expectations import Outcome
from reasoner.records.progress import Progress
from reasoner.rendering.again import ANSWERS, asked_about
from reasoner.rendering.progress_text import hand_lines
from reasoner.rendering.records_json import RECORDS_VERSION, visit_json
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store.history import Held, HeldExpectation, HeldStep
from reasoner.store.place import Place


def again_json(place: Place, held: Held, book: Rulebook, text: str, output: Path | None) -> dict[str, Any]:
    """A new visit file and what it asks about."""
    return {
        "schema_version": RECORDS_VERSION, "store": place.shown, "before": visit_json(held.known), "answers": ANSWERS,
        "ask": [
            {**_step(one.step), "looked_for": list(one.looked_for), "expects": [_expected(e) for e in one.step.expects]}
            for one in asked_about(held, book)
        ],
        "written": str(output) if output is not None else None, "text": text,
    }  # fmt: skip


def progress_json(place: Place, progress: Progress, book: Rulebook, written: Iterable[Path]) -> dict[str, Any]:
    """The progress of one horse."""
    horse = progress.horse
    last = len(progress.comparing.visits) - 1
    counted = progress.without_change
    return {
        "schema_version": RECORDS_VERSION, "store": place.shown, "rulebase": book.stamp, "engine": __version__,
        "horse": {"horse": horse.uid, "name": horse.name, "yard": horse.yard or None, "born": horse.born or None},
        "visits": [visit_json(held.known) for held in progress.held],
        "error": progress.comparing.error(last - 1, last) if last else None,
        "beyond": progress.comparing.table.better_or_worse.beyond,
        "sites": [
            {**_course(site.course), "since_last": _compared(site.since_last),
             "since_first": None if site.since_first is None else _compared(site.since_first)}
            for site in progress.sites
        ],
        "conclusions": [
            {"key": turn.key, "side": turn.side or None, "kind": turn.kind, "words": turn.words, "state": turn.state,
             "before": turn.before or None, "now": turn.now or None}
            for turn in progress.turns
        ],
        "expectations": [_outcome(outcome, progress) for outcome in progress.outcomes],
        "causes": [
            {"key": one.key, "cause": one.cause, "side": one.side or None, "step": one.step.key,
             "step_side": one.step.side or None, "planned": one.planned.isoformat(), "judged": one.judged.day.isoformat(),
             "written": one.written}
            for one in progress.tried
        ],
        "visits_without_change": None if counted is None else {"visits": int(str(counted.value)), "written": counted.written},
        "unlike": list(progress.unlike), "examiners": list(progress.two_hands) if progress.two_hands else None,
        "kept_late": list(progress.kept_late), "rests_on": list(hand_lines(progress)),
        "written": [str(path) for path in written],
    }  # fmt: skip


def _course(course: Course) -> dict[str, Any]:
    return {
        "place": course.place, "side": course.side or None, "seen": [_seen(seen) for seen in course.seen],
        "after_work": list(course.after_work),
    }  # fmt: skip


def _seen(seen: Seen | None) -> dict[str, Any] | None:
    if seen is None:
        return None
    return {"mark": seen.mark, "soreness": seen.score, "reason": seen.reason or None, "settled": seen.settled,
            "line": seen.line}  # fmt: skip


def _compared(compared: Compared) -> dict[str, Any]:
    return {
        "change": compared.change, "by": compared.by, "error": compared.error, "unlike": list(compared.unlike),
        "earlier": compared.earlier.day.isoformat() if compared.earlier else None,
        "later": compared.later.day.isoformat() if compared.later else None,
    }  # fmt: skip


def _outcome(outcome: Outcome, progress: Progress) -> dict[str, Any]:
    visits = progress.comparing.visits
    return {
        "plan": visits[outcome.plan].day.isoformat(), **_step(outcome.step), **_expected(outcome.expected),
        "came": outcome.came, "within_the_hand": outcome.within_the_hand,
        "judged": None if outcome.judged is None else visits[outcome.judged].day.isoformat(),
        "compared": None if outcome.compared is None else _compared(outcome.compared),
    }  # fmt: skip


def _expected(expected: HeldExpectation) -> dict[str, Any]:
    return {"place": expected.place, "side": expected.side or None, "was": expected.was, "to": expected.to,
            "by": expected.by.isoformat()}  # fmt: skip


def _step(step: HeldStep) -> dict[str, Any]:
    told = step.told
    return {
        "step": step.key, "step_side": step.side or None, "kind": step.kind, "words": step.words,
        "told": None if told is None else {"answer": told.answer, "because": told.because or None, "by": told.by or None,
                                           "on": told.on.isoformat()},
    }  # fmt: skip
