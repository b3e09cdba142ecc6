"""The shapes of the numbers of the load and of pressure.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shapes (measured_load.py, measured_force.py, measured_pressure.py). No command imports this.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from reasoner.rendering.schema_base import Shape

Gait = Literal["walk", "trot", "canter"]
Sure = Literal["high", "medium", "low"]


class Amount(Shape):
    """A number in the unit that its name ends in, with one standard error."""

    value: float
    standard_error: float


class BodyWeight(Shape):
    """Of the measure `body_weight`."""

    class_: str = Field(alias="class", description="the class of horse that was taken")
    horse_kg: Amount | None
    formula: str | None
    printed_otherwise_kg: dict[str, float] = Field(description="the same tape by figures printed elsewhere")


class Tried(Shape):
    """A load a study tried, in percent of body weight, and where today's share lies."""

    from_percent: float
    to_percent: float
    trouble: bool = Field(description="whether trouble is told at this load")
    tells: str
    today: Literal["below", "at", "inside", "above"]
    edge_within_error: bool = Field(description="an end of it lies within the error of today's share")


class Study(Shape):
    """One study."""

    study: str
    source: str
    counts: Literal["rider", "rider_and_tack", "not_noted"]
    sure: Sure
    opinion: bool
    no_leave: bool = Field(description="its figures are no leave for other horses")
    tried: list[Tried]


class LoadNumbers(Shape):
    """Of the measure `load`. Whole shares are missing where the tack was not weighed."""

    horse_kg: Amount
    horse_weighed: str
    rider_kg: Amount
    tack_kg: Amount | None
    extra_kg: Amount | None
    carried_kg: Amount | None
    share_percent: Amount | None = Field(description="rider, tack and extra")
    rider_share_percent: Amount
    band: str | None
    bands_also_possible: list[str]
    errors_shown: float = Field(description="how many standard errors wide an error is told in words")
    studies: list[Study]


class ForceFigure(Shape):
    """One published figure for this rider, or as it was measured with another."""

    gait: Gait
    seat: Literal["sitting", "rising"] | None
    what: str
    source: str
    sure: Sure
    for_this_rider: bool
    newtons: Amount
    times_weight: float | None


class RiderForce(Shape):
    """Of the measure `rider_force`."""

    rider_kg: Amount
    standing_n: float
    forces: list[ForceFigure]


class MeanPressure(Shape):
    """Of the measure `mean_pressure`."""

    mass_kg: Amount | None
    with_tack: bool
    area_cm2: Amount
    mean_kpa: Amount | None


class AtTheWithers(Shape):
    """One reading at the withers beside the published groups."""

    gait: Gait
    of: Literal["mean", "most"]
    kpa: float
    like: str | None = Field(
        description="a group, between the groups, or null where the higher groups are not told apart"
    )
    times_the_group: dict[str, float]
    tells_the_groups_apart: bool
    above_kpa: list[float] = Field(description="published levels it lies above")


class PressureMat(Shape):
    """Of the measure `pressure_mat`."""

    pressure_at_the_withers: str | None
    heaviest_third: str | None
    withers: list[AtTheWithers]
    thirds_kpa: dict[Gait, dict[Literal["front", "middle", "rear"], float]]


class MeasureLoad(Shape):
    """The numbers of `reasoner measure load`, by the key of the measure."""

    body_weight: BodyWeight | None = None
    load: LoadNumbers | None = None
    rider_force: RiderForce | None = None


class MeasurePressure(Shape):
    """The numbers of `reasoner measure pressure`, by the key of the measure."""

    mean_pressure: MeanPressure | None = None
    pressure_mat: PressureMat | None = None


SHAPES: dict[str, type[Shape]] = {"measure_load.json": MeasureLoad, "measure_pressure.json": MeasurePressure}
