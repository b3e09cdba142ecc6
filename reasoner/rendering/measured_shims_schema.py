"""The shapes of the numbers of `reasoner measure shims` and `reasoner measure stirrups`.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shapes (seat_lines.py, measured_shims_alone.py, measured_stirrups.py). No command imports this.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reasoner.rendering.answer_schema import Side
from reasoner.rendering.schema_base import Shape

Positive = Annotated[float, Field(ge=0)]
RIGHT = "positive towards the horse's own right"


class RollOf(Shape):
    """The roll by one reading."""

    how: Literal["by degrees", "by heights", "by millimetres and a radius"]
    roll_deg: float = Field(description=RIGHT)
    give_or_take_deg: Positive


class LoadOf(Shape):
    """What each side bears on a standing horse; left and right together are the whole load."""

    left_kg: float
    right_kg: float
    left_n: float
    right_n: float
    moved_mm: float = Field(description=f"the line of the load against the middle between the bars, {RIGHT}")
    give_or_take_kg: Positive


class SeatOf(Shape):
    """One saddle measured at one time."""

    when: str | None = Field(description="`on the standing horse`, `after work`, or null where a command was asked")
    side: Literal["left", "right", "straight"] | None = Field(
        description="by the more direct reading, where two differ"
    )
    readings_differ: bool = Field(description="two readings name opposite sides; no thickness is worked out then")
    off_mm: float | None = Field(description=RIGHT)
    off_give_or_take_mm: Positive | None
    rolls: list[RollOf] = Field(description="the most direct reading first")
    load: LoadOf | None


class ShimOf(Shape):
    """The shim that would lift the low side; never in an answer about a visit, where the plan's own step gives it."""

    side: Side = Field(description="null where no roll was measured")
    roll_deg: Positive
    under_load_mm: Positive
    laid_in_mm: Positive = Field(description="before anybody sits on it")
    give_or_take_mm: Positive
    pressed_away_percent: Positive
    pressed_away_given: bool
    common_mm: Positive
    from_common_mm: float = Field(description="`laid_in_mm` less `common_mm`")
    common_left_mm: Positive
    common_roll_deg: Positive


class ThicknessOf(Shape):
    """The roll that a thickness under one bar gives."""

    under_load_mm: Positive
    roll_deg: Positive
    give_or_take_deg: Positive


class ShimsNumbers(Shape):
    """The numbers of `reasoner measure shims`, and of what was measured of a saddle at a visit."""

    seats: list[SeatOf]
    shim: ShimOf | None
    thickness: ThicknessOf | None


class StirrupsNumbers(Shape):
    """The numbers of `reasoner measure stirrups`."""

    left_mm: Positive
    right_mm: Positive
    difference_mm: Positive
    give_or_take_mm: Positive
    shorter: Literal["left", "right", "even"]
    holes: Positive
    hole_spacing_mm: Positive
    hole_spacing_given: bool


SHAPES: dict[str, type[Shape]] = {"measure_shims.json": ShimsNumbers, "measure_stirrups.json": StirrupsNumbers}
