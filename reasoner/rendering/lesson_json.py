"""A lesson, for machines: the same chapters and steps as every face shows.

In: a `Told` and its answer, and the files that were written. Out: a dict ready for json.dumps.
Not here: its schema (lesson_schema.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from reasoner.rendering.answer_head import head
from reasoner.rendering.answered import Answered
from reasoner.rendering.lesson_shapes import Anatomy, Basis, Chapter, Rule, Seen, Step, Told


def lesson_json(told: Told, answer: Answered, written: Sequence[Path] = ()) -> dict[str, Any]:
    """The lesson in the words that were asked for."""
    return {
        **head(answer), "words": told.words, "title": told.title, "about": told.about, "call": answer.referral.level,
        "chapters": [_chapter(chapter) for chapter in told.chapters], "not_checked": list(told.not_checked),
        "rests_on": list(told.rests_on),
        "cautions": list(told.cautions), "written": [str(path) for path in written],
    }  # fmt: skip


def _chapter(chapter: Chapter) -> dict[str, Any]:
    return {
        "key": chapter.key, "title": chapter.title, "opening": list(chapter.opening),
        "steps": [_step(step) for step in chapter.steps], "closing": list(chapter.closing),
    }  # fmt: skip


def _step(step: Step) -> dict[str, Any]:
    return {
        "key": step.key, "says": step.says, "more": list(step.more), "leading": not step.folded, "alarm": step.alarm,
        "about": [{"key": key, "side": side or None} for key, side in step.about],
        "points": [{"mark": p.mark, "text": p.text, "leading": not p.folded} for p in step.points],
        "seen": _seen(step.seen), "rules": [_rule(rule) for rule in step.rules],
        "anatomy": [_anatomy(place) for place in step.anatomy],
    }  # fmt: skip


def _seen(some: Iterable[Seen]) -> list[dict[str, Any]]:
    return [{"words": one.words, "file": one.file, "line": one.line} for one in some]


def _basis(some: Iterable[Basis]) -> list[dict[str, Any]]:
    return [{"words": one.words, "entry": one.entry or None} for one in some]


def _rule(rule: Rule) -> dict[str, Any]:
    return {
        "speaks": rule.speaks, "name": rule.name, "of": rule.of, "loud": rule.loud or None, "because": rule.because,
        "rests_on": _basis(rule.basis), "seen": _seen(rule.seen), "file": rule.file, "line": rule.line, "entry": rule.entry,
    }  # fmt: skip


def _anatomy(place: Anatomy) -> dict[str, Any]:
    return {
        "place": place.place, "name": place.name, "rows": [{"label": label, "text": text} for label, text in place.rows],
        "read": place.read, "rests_on": _basis(place.basis), "file": place.file, "line": place.line, "entry": place.entry,
    }  # fmt: skip
