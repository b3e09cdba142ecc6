"""The numbers of tracings for programs, units in their names.

In: stations and changes. Out: JSON-ready data; its shape stands in measured_tracing_schema.py.
Not here: sentences, rounding for people.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from reasoner.facts.traced import AtStation
from reasoner.rendering.tracing_changes import Compared
from reasoner.rulebook.measures.tracing import Tracing

if TYPE_CHECKING:
    from uncertainties import UFloat

_DIGITS = 4


def numbers_of(at: Sequence[AtStation], table: Tracing, changes: Sequence[Compared]) -> dict[str, Any]:
    """Every number, each with its standard error beside it."""
    return {
        "errors_shown": table.errors_shown.value,
        "slope_between_mm": [table.slope.upper_mm, table.slope.lower_mm],
        "ratio_of_mm": [table.ratio.upper_mm, table.ratio.lower_mm],
        "stations": [_station(one) for one in at],
        "changes": [_change(one) for one in changes],
    }


def _station(at: AtStation) -> dict[str, Any]:
    return {
        "station": at.station,
        "measured_with": at.instrument.key,
        "traced": not at.taped,
        "depths": [
            {
                "depth_mm": width.depth_mm, "narrower": width.narrower, **_pair("left_mm", width.left),
                **_pair("right_mm", width.right), **_pair("width_mm", width.full),
                **_pair("left_less_right_mm", width.difference),
            }
            for width in at.widths
        ],
        "widths": [{"depth_mm": depth, **_pair("width_mm", full)} for depth, full in at.full.items()],
        "alone": [
            {"side": side, "depth_mm": depth, **_pair("out_mm", out)} for (side, depth), out in at.alone.items()
        ],
        "ratio": None if at.ratio is None else _pair("value", at.ratio),
        "slopes": [{"side": side, **_pair("slope_deg", slope)} for side, slope in at.slopes.items()],
        "slope_left_less_right": None if at.slope_difference is None else _pair("slope_deg", at.slope_difference),
        "missing": list(at.missing),
    }  # fmt: skip


def _change(one: Compared) -> dict[str, Any]:
    return {
        "station": one.station, "of": one.of, "depth_mm": one.depth_mm, "way": one.change.way,
        **_pair("then", one.change.then), **_pair("now", one.change.now), **_pair("change", one.change.change),
    }  # fmt: skip


def _pair(name: str, value: UFloat) -> dict[str, float]:
    """The value, and its standard error under the same name with `_error` after it."""
    return {name: round(value.n, _DIGITS) + 0.0, f"{name}_error": round(value.s, _DIGITS)}
