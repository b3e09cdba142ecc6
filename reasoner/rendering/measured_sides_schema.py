"""The shapes of the numbers of `reasoner measure sides` and `reasoner measure hand`.

In: nothing. Out: `SHAPES`, file name to model: what stands under `numbers` of a measure (measured.json).
Not here: filling the shapes (measured_sides.py), writing the files (schema_files.py). No command imports this.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from reasoner.rendering.schema_base import Shape


class PairNumbers(Shape):
    """One pair; amounts, errors and the difference are in `unit`. The index is (right - left) over half their sum."""

    what: str
    unit: str = Field(description="the base unit of what was measured; empty for a count")
    left: float = Field(ge=0)
    right: float = Field(ge=0)
    left_error: float | None = Field(description="how far the reading may be off either way; null where nobody said")
    right_error: float | None
    difference: float = Field(description="right less left")
    difference_error: float | None
    symmetry_index_percent: float = Field(ge=-200, le=200)
    symmetry_index_error_percent: float | None
    over_sum_percent: float = Field(ge=-100, le=100, description="another formula: the difference over the sum")
    over_right_percent: float | None = Field(
        description="another formula: the difference over the right; null where that is 0"
    )
    larger: Literal["left", "right", "even"]


class SpotNumbers(PairNumbers):
    """One spot pressed on both sides; `unit` is kPa, or N where the tip is not known."""

    place: str
    tip_cm2: float | None
    left_kg_per_cm2: float | None
    right_kg_per_cm2: float | None
    answered_sooner: Literal["left", "right", "even"]


class TwoDays(Shape):
    """How far scores of two days may be compared."""

    how_far: Literal["both ways", "one way", "not"]
    reasons: list[str]


class HandNumbers(Shape):
    """What the gauge showed, and how firmly the hand pressed."""

    spots: list[SpotNumbers]
    presses_on_each_spot: int | None
    hand_word: str | None
    hand_kg: float | None = Field(description="of the hand on a scale; no target on a horse")
    two_days: TwoDays | None


SHAPES: dict[str, type[Shape]] = {"measure_sides.json": PairNumbers, "measure_hand.json": HandNumbers}
