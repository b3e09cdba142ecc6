"""The shape of the JSON of `reasoner press`.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shape (press_json.py), writing the file (schema_files.py). No command imports this.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reasoner.rendering.schema_base import Shape

Kg = Annotated[float, Field(ge=0)]
Hand = Literal["left", "right", "both"]


class Within(Shape):
    """A number and its interval; the ends are null where there is too little for one."""

    value: float
    low: float | None
    high: float | None


class HandSeries(Shape):
    """The pushes of one hand in the order they were made; null: too few pushes."""

    hand: Hand
    pushes_kg: list[Kg]
    mean_kg: Within
    off_kg: Within = Field(description="the mean less the aim")
    deviation_kg: Within | None
    variation_percent: float | None = Field(description="the standard deviation in percent of the mean")
    steps_kg: Kg | None = Field(description="the spread from push to push alone")
    drift_kg: Within | None = Field(description="kg a push")


class OneSession(Shape):
    """One hand on one day or under one name."""

    session: str | None
    hand: Hand
    pushes: Annotated[int, Field(ge=1)]
    mean_kg: Kg
    deviation_kg: Kg | None


class FloorScale(Shape):
    """The figure of the trade; never shown without its caution."""

    about_kg: Kg
    says: str
    caution: str
    basis: str | list[str]


class Press(Shape):
    """A hand on a floor scale."""

    schema_version: Literal["1"]
    rulebase: str
    engine: str
    aim_kg: Kg
    hands: list[HandSeries]
    right_less_left_kg: Within | None
    sessions: list[OneSession]
    floor_scale: FloorScale
    cautions: list[str]


SHAPES: dict[str, type[Shape]] = {"press.json": Press}
