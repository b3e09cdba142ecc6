"""The shape of the numbers of tracings in the JSON of `reasoner measure tracing` and of an answer.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shape (tracing_numbers.py). No command imports this.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from reasoner.rendering.answer_schema import Shape

Side = Literal["left", "right"]
ERROR = "one standard error, in the same unit"


class AtDepth(Shape):
    """Both sides at one depth below the midline of the back."""

    depth_mm: float
    narrower: Literal["left", "right", "even"] = Field(description="even: within the error")
    left_mm: float
    left_mm_error: float = Field(description=ERROR)
    right_mm: float
    right_mm_error: float = Field(description=ERROR)
    width_mm: float
    width_mm_error: float = Field(description=ERROR)
    left_less_right_mm: float
    left_less_right_mm_error: float = Field(description=ERROR)


class WholeWidth(Shape):
    """The whole width at one depth."""

    depth_mm: float
    width_mm: float
    width_mm_error: float = Field(description=ERROR)


class OneSide(Shape):
    """A side whose other side was not traced, or ends too early."""

    side: Side
    depth_mm: float
    out_mm: float
    out_mm_error: float = Field(description=ERROR)


class Ratio(Shape):
    """The width at the upper depth for one mm of width at the lower."""

    value: float
    value_error: float = Field(description=ERROR)


class Slope(Shape):
    """How steep one side falls, from the horizontal."""

    side: Side
    slope_deg: float
    slope_deg_error: float = Field(description=ERROR)


class SlopeDifference(Shape):
    """The left side's slope less the right side's."""

    slope_deg: float
    slope_deg_error: float = Field(description=ERROR)


class Station(Shape):
    """One station over the back."""

    station: str
    measured_with: str
    traced: bool = Field(description="false: widths taken with a tape alone")
    depths: list[AtDepth]
    widths: list[WholeWidth]
    alone: list[OneSide]
    ratio: Ratio | None
    slopes: list[Slope]
    slope_left_less_right: SlopeDifference | None
    missing: list[str]


class Changed(Shape):
    """One quantity then and now; in mm, the ratio bare."""

    station: str
    of: Literal["width", "left", "right", "ratio"]
    depth_mm: float | None
    way: Literal["larger", "smaller", "within the error"]
    then: float
    then_error: float = Field(description=ERROR)
    now: float
    now_error: float = Field(description=ERROR)
    change: float
    change_error: float = Field(description=ERROR)


class TracingNumbers(Shape):
    """The `numbers` of the measure `tracing`."""

    errors_shown: float = Field(
        description="how many standard errors stand behind a ± and decide between a side and even"
    )
    slope_between_mm: list[float] = Field(description="the two depths between which each slope is taken")
    ratio_of_mm: list[float] = Field(description="the depths of the widths of the ratio, the first over the second")
    stations: list[Station]
    changes: list[Changed]


SHAPES: dict[str, type[Shape]] = {"measure_tracing.json": TracingNumbers}
