"""How firm the answer is, for machines.

In: a `Firmness` and its answer. Out: a dict ready for json.dumps.
Not here: its schema (firmness_schema.py).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from reasoner.rendering.answer_head import head
from reasoner.rendering.answered import Answered
from reasoner.rendering.numbers import number

if TYPE_CHECKING:
    from reasoner.questions.firm import Firmness, Stays


def firm_json(firmness: Firmness, answer: Answered) -> dict[str, Any]:
    """Every count, with what it was counted in."""
    error = firmness.hand.error
    return {
        **head(answer),
        "rows": firmness.rows,
        "seed": firmness.seed,
        "error": {
            "shared": number(error.shared),
            "noise": number(error.noise),
            "basis": error.basis,
            "whose": firmness.hand.whose,
        },
        "scores": firmness.scores,
        "conclusions": [
            {
                **keys_json([key])[0],
                "band": stays.now,
                "kept": stays.kept,
                "bands": {str(v): n for v, n in stays.values},
            }
            for key, stays in firmness.bands.items()
        ],
        "leading": _stays(firmness.leading, keys_json),
        "call": _stays(firmness.call, lambda level: level),
        "same_reasons_to_call": firmness.reasons.kept,
        "first_step": _stays(firmness.first, keys_json),
    }


def keys_json(value: Any) -> list[dict[str, Any]]:
    """A set of conclusions or of steps."""
    return [{"key": key, "side": side or None} for key, side in value]


def _stays(stays: Stays, plain: Callable[[Any], Any]) -> dict[str, Any]:
    return {
        "now": plain(stays.now),
        "kept": stays.kept,
        "values": [{"value": plain(value), "rows": count} for value, count in stays.values],
    }
