"""What would change the answer, for machines.

In: an `Overturned` and its answer. Out: a dict ready for json.dumps.
Not here: its schema (firmness_schema.py).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from reasoner.rendering.answer_head import head
from reasoner.rendering.answered import Answered
from reasoner.rendering.firm_json import keys_json
from reasoner.rendering.numbers import number

if TYPE_CHECKING:
    from reasoner.questions.edits import Edit
    from reasoner.questions.overturn import Found, Overturned, Overturning


def overturn_json(told: Overturned, answer: Answered) -> dict[str, Any]:
    """Every smallest change for each question, and how far the search went."""
    return {
        **head(answer),
        "readings_open": told.units,
        "unexamined": told.unexamined,
        "most_readings": told.most_readings,
        "leading": _found(told.leading, lambda one: {"leading": keys_json(one.becomes)}),
        "referral": _found(told.referral, _referral),
        "first_step": _found(told.first_step, lambda one: {"first_step": keys_json(one.becomes)}),
    }


def _found(found: Found, becomes: Callable[[Overturning], dict[str, Any]]) -> dict[str, Any]:
    return {
        "readings": found.readings,
        "whole": found.whole,
        "tried": found.tried,
        "sets": found.sets,
        "changes": [
            {"edits": [_edit(edit) for edit in one.edits], "points": number(one.points), **becomes(one)}
            for one in found.changes
        ],
    }


def _edit(edit: Edit) -> dict[str, Any]:
    about = None if edit.about is None else {"key": edit.about[0], "side": edit.about[1]}
    return {
        "where": edit.key, "side": edit.side or None, "when": edit.when or None, "said_of": about,
        "before": edit.before or None, "after": edit.after, "points": None if edit.word else number(edit.points),
        "line": edit.line,
    }  # fmt: skip


def _referral(one: Overturning) -> dict[str, Any]:
    def concerns(keys: tuple[tuple[str, str, str], ...]) -> list[dict[str, Any]]:
        return [{"key": key, "side": side or None, "place": place or None} for key, side, place in keys]

    return {"level": one.becomes, "raised": concerns(one.raised), "gone": concerns(one.gone)}
