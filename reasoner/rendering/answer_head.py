"""What every JSON answer begins with: the visit, the rules, warnings, and what the records hold of the visit's file.

In: an answer. Out: dicts ready for json.dumps.
Not here: the schema (answer_schema.py), the answers themselves.
"""

from __future__ import annotations

from typing import Any

from reasoner import __version__
from reasoner.problems import Problem
from reasoner.rendering.answered import Answered

#: A key that is added leaves it; one that goes, or comes to mean something else, raises it.
SCHEMA_VERSION = "1"


def head(answer: Answered) -> dict[str, Any]:
    """What every answer begins with: version, visit, rulebook, engine, warnings."""
    visit = answer.visit
    hands = visit.noted_value("examined_by")
    return {
        "schema_version": SCHEMA_VERSION,
        "visit": {
            "file": visit.file,
            "date": visit.day.isoformat(),
            "horse": visit.horse_name,
            "examined_by": hands if isinstance(hands, str) else "",
        },
        "rulebase": answer.ready.book.stamp,
        "engine": __version__,
        "warnings": [_warning(problem) for problem in visit.warnings],
        "signing": _signing(answer),
        "visit_of_the_day": None
        if answer.taken is None
        else {"part": answer.taken.part, "kept": answer.taken.kept, "says": answer.taken.says or None},
    }


def _signing(answer: Answered) -> dict[str, Any] | None:
    """Whether an apprentice's visit is countersigned; None where nobody else has to sign."""
    if answer.visit.noted_value("checked_by") is None:
        return None
    from reasoner.records.signing import signing_of
    from reasoner.rendering.beside_lines import signing_words

    signing = signing_of(answer.visit, answer.signature)
    if signing is None:
        return None
    signature = signing.signature
    return {
        "examined_by": signing.examined_by or None, "checked_by": signing.checked_by,
        "countersigned": signature is not None, "countersigned_at": signature.saved_at if signature else None,
        "says": signing_words(signing),
    }  # fmt: skip


def _warning(problem: Problem) -> dict[str, Any]:
    return {
        "code": problem.code,
        "file": problem.file,
        "line": problem.line,
        "sentence": problem.sentence,
        "hint": problem.hint,
    }
