"""The shapes of the JSON of `reasoner firm` and `reasoner overturn`.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shapes (firm_json.py, overturn_json.py), writing the files (schema_files.py). No command imports this.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reasoner.rendering.answer_schema import Head, Key, Shape

Count = Annotated[int, Field(ge=0)]
Points = Annotated[float, Field(ge=0)]
Level = Literal["none", "routine", "prompt", "emergency"]
STEP = "each side the first step stands for; `veterinarian` where the call leaves no step, empty where none is due"


class Wavering(Shape):
    """How far the hand wavers, as standard deviations in points of the soreness scale, and what that rests on."""

    shared: Annotated[float, Field(ge=0, le=10, description="one amount for all scores of a visit")]
    noise: Annotated[float, Field(ge=0, le=10, description="an amount of its own for each place and side")]
    basis: str
    whose: Literal["the rules", "this examiner", "given here"]


class BandKept(Key):
    """A conclusion: its band as written, in how many rows it keeps it, and the rows of every band it took."""

    band: str
    kept: Count
    bands: dict[str, Count]


class SetCounted(Shape):
    """A set of conclusions or steps and the rows it was found in."""

    value: list[Key]
    rows: Count


class SetKept(Shape):
    """A set as it stands in the visit as written, and what it became in the rows."""

    now: list[Key]
    kept: Count
    values: list[SetCounted]


class LevelCounted(Shape):
    """A level of call and the rows it was found in."""

    value: Level
    rows: Count


class LevelKept(Shape):
    """The level of the call as it stands in the visit as written, and what it became in the rows."""

    now: Level
    kept: Count
    values: list[LevelCounted]


class Firm(Head):
    """How often the answer stays as it is when every score is read again. Counts are rows; `rows` is the number of all."""

    rows: Count
    seed: Count
    error: Wavering
    scores: Count = Field(description="how many scores were read again in each row")
    conclusions: list[BandKept]
    leading: SetKept
    call: LevelKept
    same_reasons_to_call: Count = Field(description="rows in which the very same reasons to call stand")
    first_step: SetKept = Field(description=STEP)


SHAPES: dict[str, type[Shape]] = {"firm.json": Firm}
