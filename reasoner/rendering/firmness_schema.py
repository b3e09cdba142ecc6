"""The shapes of the JSON of `reasoner firm` and `reasoner overturn`.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shapes (firm_json.py, overturn_json.py), writing the files (schema_files.py). No command imports this.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reasoner.rendering.answer_schema import Key, Side
from reasoner.rendering.head_schema import Head
from reasoner.rendering.schema_base import Shape

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


class Edited(Shape):
    """One reading written otherwise; `before` is null where nothing was written, `points` for a word."""

    where: str
    side: Side
    when: Literal["first", "settled", "after_work"] | None = Field(description="null for a word")
    said_of: Key | None = Field(description="the leg a word was said of, where it was said of one")
    before: str | None
    after: str
    points: Points | None
    line: Count = Field(description="of the visit file; 0 where nothing was written")


class Change(Shape):
    """One smallest change; `points` is the sum over its scores."""

    edits: list[Edited]
    points: Points


class LeadingChange(Change):
    """A change that brings other leading causes."""

    leading: list[Key]


class Reason(Key):
    """A reason to call the veterinarian."""

    place: str | None


class ReferralChange(Change):
    """A change that brings another level, or other reasons to call."""

    level: Level
    raised: list[Reason]
    gone: list[Reason]


class FirstStepChange(Change):
    """A change that brings another first step."""

    first_step: list[Key] = Field(description=STEP)


class Search(Shape):
    """How far the search went: `whole` says that of `sets` sets of `readings` readings every one was tried or ruled out, so that
    no change as small is missing; else `tried` of them were. Without changes, none of up to so many readings was found."""

    readings: Count
    whole: bool
    tried: Count
    sets: Count


class LeadingFound(Search):
    """All smallest changes of the leading causes."""

    changes: list[LeadingChange]


class ReferralFound(Search):
    """All smallest changes of the referral."""

    changes: list[ReferralChange]


class FirstStepFound(Search):
    """All smallest changes of the first step."""

    changes: list[FirstStepChange]


class Overturn(Head):
    """The fewest readings, then the fewest points, that change each part of the answer."""

    readings_open: Count = Field(description="how many readings were open to change")
    unexamined: bool = Field(description="whether what was not examined was tried as well")
    most_readings: Count
    leading: LeadingFound
    referral: ReferralFound
    first_step: FirstStepFound


SHAPES: dict[str, type[Shape]] = {"firm.json": Firm, "overturn.json": Overturn}
