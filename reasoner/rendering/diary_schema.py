"""The shapes of the JSON of `reasoner diary` and `reasoner day-sheet`.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shapes (diary_json.py), writing the files (schema_files.py). No command imports this.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reasoner.rendering.schema_base import Shape

Day = Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$")]
Side = Literal["left", "right"] | None


class Agreed(Shape):
    """A step of the last plan."""

    key: str
    side: Side
    words: str
    look_again: Day | None


class AskedBy(Shape):
    """A step that expects a change, and what it expects by itself."""

    step: str
    side: Side
    to: str


class Awaited(Shape):
    """What was to change at a place by a day, the strictest of what the steps `asked_by` expect; `was` and `to` are of ten, as
    written, or words of an entry."""

    place: str
    side: Side
    was: str | None
    to: str
    by: Day
    asked_by: list[AskedBy]


class Due(Shape):
    """A horse to be seen again."""

    visit: str
    horse: str
    yard: str | None
    due: Day | None = Field(description="null: nothing is due by a day, and the horse was asked for by name")
    overdue_days: Annotated[int, Field(ge=0)]
    last_seen: Day
    call_then: Literal["none", "routine", "prompt", "emergency"]
    word_ends: Day | None = Field(description="the last day of a veterinarian's word")
    steps: list[Agreed]
    expected: list[Awaited]


class Look(Shape):
    """Something not looked at last time that would tell something; `sides` are those not yet examined, where it has sides."""

    key: str
    name: str
    sides: list[Literal["left", "right"]]


class HowTo(Shape):
    """How a check is made and what to take care of; told once for all horses of the day."""

    key: str
    name: str
    how: str
    safety: str


class StepTold(Shape):
    """A step of the last plan and what was told of it since; `answer` and `says` are null where nobody told."""

    key: str
    side: Side
    answer: str | None
    says: str | None


class Needed(Shape):
    """What is brought, or who is asked to be there, and what it is called at this yard."""

    what: str
    named: str | None


class NotProposed(Shape):
    """A look that a standing sign takes away."""

    key: str
    because: str


class DayHorse(Due):
    """A horse of the day. `emergency`: one stood at the last visit, and nothing is planned."""

    time: str | None
    emergency: bool
    cautions: list[str]
    vets_words: list[str]
    told: list[StepTold]
    look_at: list[Look]
    not_proposed: list[NotProposed]
    bring: list[Needed]


class Diary(Shape):
    """What is due."""

    schema_version: Literal["1"]
    store: str
    day: Day
    due: list[Due]


class DaySheet(Shape):
    """A day's horses; `without_a_sheet` are due too, and overdue for too long to be that day's.

    Version 2: how a check is made stands once, under `how_to`.
    """

    schema_version: Literal["2"]
    store: str
    day: Day
    horses: list[DayHorse]
    how_to: list[HowTo]
    without_a_sheet: list[Due]
    written: str | None


SHAPES: dict[str, type[Shape]] = {"diary.json": Diary, "day_sheet.json": DaySheet}
