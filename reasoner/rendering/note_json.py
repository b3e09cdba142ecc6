"""The answer of `reasoner note` for machines.

In: what was understood of each line. Out: a dict ready for json.dumps.
Not here: its shape (note_schema), sentences.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reasoner.lines import Finding, PassedOver, Question, Understood
from reasoner.lines.writing import plain_reading
from reasoner.rulebook.rulebook import Rulebook

VERSION = "1"


def note_json(every: Sequence[Understood], whole: Understood, book: Rulebook, written: str | None) -> dict[str, Any]:
    """Each line, and what has to be answered before anything is written; `written` is the file it was written into."""
    return {
        "schema_version": VERSION,
        "rulebase": book.stamp,
        "lines": [understood_json(told) for told in every],
        "open_questions": len(whole.questions),
        "written": written,
    }


def understood_json(told: Understood) -> dict[str, Any]:
    """What was understood of one line."""
    return {
        "line": told.line,
        "findings": [_finding(f) for f in told.findings],
        "not_examined": [_passed(one) for one in told.not_examined],
        "questions": [_question(q) for q in told.questions],
        "kept": [*told.kept],
        "withdrawn": [_finding(f) for f in told.withdrawn],
        "called": dict(told.called),
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "kind": finding.kind, "key": finding.key, "side": finding.side, "reading": plain_reading(finding),
        "words": finding.words,
    }  # fmt: skip


def _passed(one: PassedOver) -> dict[str, Any]:
    return {"kind": one.kind, "key": one.key, "side": one.side, "reason": one.reason, "words": one.words}


def _question(question: Question) -> dict[str, Any]:
    return {
        "ask": question.ask, "about": [*question.about], "offers": [*question.offers], "words": question.words,
        "sides": [part.side for part in question.parts],
    }  # fmt: skip
