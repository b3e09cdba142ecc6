"""A hand on a floor scale, for machines.

In: a `Practice`, the table of pressing, the rulebook. Out: a dict ready for json.dumps.
Not here: its schema (press_schema.py). The figure of the trade and its caution are one object.
"""

from __future__ import annotations

from typing import Any

from reasoner import __version__
from reasoner.rendering.answer_head import SCHEMA_VERSION
from reasoner.rendering.numbers import number
from reasoner.rulebook.measures.press import PressTable
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.press import Practice, Series, Within


def press_json(practice: Practice, book: Rulebook, table: PressTable) -> dict[str, Any]:
    """Everything the page is made from."""
    scale = table.floor_scale
    return {
        "schema_version": SCHEMA_VERSION, "rulebase": book.stamp, "engine": __version__,
        "aim_kg": number(practice.aim_kg),
        "hands": [{"hand": hand, **_series(series)} for hand, series in practice.hands.items()],
        "right_less_left_kg": _within(practice.apart_kg),
        "sessions": [
            {
                "session": one.session or None, "hand": one.hand, "pushes": one.pushes, "mean_kg": number(one.mean_kg),
                "deviation_kg": None if one.deviation_kg is None else number(one.deviation_kg),
            }
            for one in practice.sessions
        ],
        "floor_scale": {
            "about_kg": number(scale.about_kg), "says": scale.says, "caution": scale.caution,
            "basis": scale.basis,
        },
        "cautions": list(table.cautions.lines),
    }  # fmt: skip


def _series(series: Series) -> dict[str, Any]:
    return {
        "pushes_kg": [number(one) for one in series.pushes], "mean_kg": _within(series.mean_kg), "off_kg": _within(series.off_kg),
        "deviation_kg": _within(series.deviation_kg),
        "variation_percent": None if series.variation_percent is None else number(series.variation_percent),
        "steps_kg": None if series.steps_kg is None else number(series.steps_kg), "drift_kg": _within(series.drift_kg),
    }  # fmt: skip


def _within(found: Within | None) -> dict[str, Any] | None:
    if found is None:
        return None
    low, high = (None if end is None else number(end) for end in (found.low, found.high))
    return {"value": number(found.value), "low": low, "high": high}
