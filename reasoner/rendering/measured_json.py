"""A measure as JSON-ready data.

In: `Told`. Out: a dict, by its own schema (rendering/schemas/measured.json).
Not here: what is told.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from reasoner.rendering.measured import Told
from reasoner.rulebook.rulebook import Rulebook

MEASURED_VERSION = "1"


def alone_json(every: Iterable[Told], book: Rulebook) -> dict[str, Any]:
    """What a measure by itself prints."""
    return {
        "schema_version": MEASURED_VERSION,
        "rulebase": book.stamp,
        "measured": [measured_json(told) for told in every],
    }


def measured_json(told: Told) -> dict[str, Any]:
    """One measure."""
    return {
        "key": told.key,
        "title": told.title,
        "lines": [*told.lines, *told.more],
        "numbers": dict(told.numbers),
        "not_measured": list(told.not_measured),
        "cautions": list(told.cautions),
        "rests_on": list(told.rests_on),
        "picture": told.picture or None,
        "picture_says": told.picture_says or None,
    }
