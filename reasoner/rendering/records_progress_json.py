"""What `reasoner again` and `reasoner progress` print with --json.

In: what the records hold of one horse. Out: JSON-ready data (schemas/again.json, schemas/progress.json).
Not here: comparing, the shapes (records_progress_schema.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from reasoner import __version__
from reasoner.records.carried import Carried
from reasoner.records.course import Compared, Course, Seen
from reasoner.records.expectations import Outcome
from reasoner.records.progress import Progress
from reasoner.records.since_then import SinceThen
from reasoner.records.strictest import Awaited, awaited_of
from reasoner.rendering.again import ANSWERS, asked_about
from reasoner.rendering.progress_text import hand_lines
from reasoner.rendering.records_json import RECORDS_VERSION, visit_json
from reasoner.rendering.rested_lines import rested_json
from reasoner.rendering.since_then_text import since_then_json
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store.history import Held, HeldExpectation, HeldStep, number_of
from reasoner.store.place import Place


def again_json(
    place: Place,
    held: Held,
    book: Rulebook,
    text: str,
    output: Path | None,
    words: Sequence[Carried] = (),
    since: SinceThen | None = None,
) -> dict[str, Any]:
    """A new visit file and what it asks about."""
    return {
        "schema_version": RECORDS_VERSION, "store": place.shown, "before": visit_json(held.known), "answers": ANSWERS,
        "ask": [
            {**_step(one.step), "looked_for": list(one.looked_for), "expects": [_expected(e) for e in one.step.expects]}
            for one in asked_about(held, book)
        ],
        "expected": [_awaited(one) for one in awaited_of(held.steps)],
        "vets_words": [
            {"who": one.word.who, "seen": one.word.seen.isoformat(), "from_visit": one.since.isoformat(), "state": one.state,
             "why": one.why or None, "about": list(one.word.about), "allows": list(one.word.allows),
             "forbids": list(one.word.forbids), "until": one.word.until.isoformat() if one.word.until else None}
            for one in words
        ],
        "since_then": since_then_json(since),
        "written": str(output) if output is not None else None, "text": text,
    }  # fmt: skip


def progress_json(
    place: Place, progress: Progress, book: Rulebook, written: Iterable[Path], since: Sequence[SinceThen] = (),
) -> dict[str, Any]:  # fmt: skip
    """The progress of one horse."""
    horse = progress.horse
    last = len(progress.comparing.visits) - 1
    counted, back = progress.without_change, progress.worse_again
    return {
        "schema_version": RECORDS_VERSION, "store": place.shown, "rulebase": book.stamp, "engine": __version__,
        "horse": {"horse": horse.uid, "name": horse.name, "yard": horse.yard or None, "born": horse.born or None},
        "visits": [visit_json(held.known) for held in progress.held],
        "error": progress.comparing.error(last - 1, last) if last else None,
        "beyond": progress.comparing.table.better_or_worse.beyond,
        "looked_at_within_days": progress.comparing.table.looked_at.within_days,
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
        "causes_in_part": [
            {"cause": one.cause, "side": one.side or None, "step": one.step.key, "step_side": one.step.side or None,
             "planned": one.planned.isoformat(), "judged": one.judged.day.isoformat(), "written": one.written}
            for one in progress.in_part
        ],
        "visits_without_change": None if counted is None else {"visits": int(str(counted.value)), "written": counted.written},
        "times_worse_again": None if back is None else {"times": int(str(back.value)), "written": back.written},
        "done_before": [
            {"step": one.step, "side": one.side or None, "judged": one.judged.day.isoformat(), "told": one.told}
            for one in progress.done_before
        ],
        "unlike": list(progress.unlike), "examiners": list(progress.two_hands) if progress.two_hands else None,
        "kept_late": list(progress.kept_late), "rested_on_others": [rested_json(one) for one in progress.rested],
        "rests_on": list(hand_lines(progress)),
        "since_then": [since_then_json(one) for one in since],
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
        "days_late": outcome.days_late,
        "judged": None if outcome.judged is None else visits[outcome.judged].day.isoformat(),
        "compared": None if outcome.compared is None else _compared(outcome.compared),
    }  # fmt: skip


def _awaited(awaited: Awaited) -> dict[str, Any]:
    to, was = _points_or_words(awaited.to), _points_or_words(awaited.was)
    return {
        "place": awaited.place, "side": awaited.side or None, "was": was[0], "to": to[0],
        "was_word": awaited.was if was[1] else None, "hoped_words": to[1], "by": awaited.by.isoformat(),
        "asked_by": [
            {"step": by.step, "step_side": by.side or None, "to": _points_or_words(by.to)[0],
             "hoped_words": _points_or_words(by.to)[1]}
            for by in awaited.asked_by
        ],
    }  # fmt: skip


def _points_or_words(text: str) -> tuple[float | None, list[str]]:
    points = number_of(text)
    return points, [] if points is not None else text.split()


def _expected(expected: HeldExpectation) -> dict[str, Any]:
    return {"place": expected.place, "side": expected.side or None, "was": expected.was,
            "to": None if expected.words else expected.to, "was_word": expected.was_word or None,
            "hoped_words": list(expected.words),
            "by": expected.by.isoformat()}  # fmt: skip


def _step(step: HeldStep) -> dict[str, Any]:
    told = step.told
    return {
        "step": step.key, "step_side": step.side or None, "kind": step.kind, "words": step.words,
        "told": None if told is None else {"answer": told.answer, "because": told.because or None, "by": told.by or None,
                                           "on": told.on.isoformat()},
    }  # fmt: skip
