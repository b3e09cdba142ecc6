"""The shapes of the numbers of `reasoner measure feet` and `reasoner measure gait`.

In: nothing. Out: `SHAPES`, file name to model: what stands under `numbers` of a measure (measured.json).
Not here: filling the shapes (measured_feet_and_gait.py), writing the files (schema_files.py). No command imports this.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from reasoner.rendering.schema_base import Shape

Side = Literal["left", "right"]
Called = Literal["flat", "medium", "upright"]


class FeetNumbers(Shape):
    """The slopes of the two fore feet, in degrees."""

    left_deg: float
    right_deg: float
    error_deg: float = Field(description="how far one slope may be off either way")
    difference_deg: float = Field(description="right less left")
    difference_error_deg: float
    steeper: Literal["left", "right", "even"]
    flatter: Literal["left", "right", "even"]
    left_called: Called
    right_called: Called


class Difference(Shape):
    """One difference between the halves of a stride as a system gave it, and the one before it."""

    key: str
    side: Side | None = Field(description="the side that the system named; null for 0 mm")
    mm: float = Field(ge=0)
    repeat_mm: float = Field(description="the spread of one measurement after another; a smaller change is none")
    earlier_side: Side | None
    earlier_mm: float | None
    changed_by_mm_to_the_right: float | None
    changed: bool | None


class Given(Shape):
    """A grade as a veterinarian gave it."""

    scale: str
    grade: str
    day: str | None


class LegGrades(Shape):
    """The grades of one leg, the earlier first, and how the last stands to the one before it."""

    leg: str
    grades: list[Given]
    later: Literal["higher", "lower", "same", "not compared"] | None
    why: str | None


class GaitNumbers(Shape):
    """Numbers as they were given; nothing is converted."""

    differences: list[Difference]
    grades: list[LegGrades]
    face_total: int | None
    ridden_signs: int | None


SHAPES: dict[str, type[Shape]] = {"measure_feet.json": FeetNumbers, "measure_gait.json": GaitNumbers}
