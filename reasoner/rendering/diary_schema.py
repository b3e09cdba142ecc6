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


class Awaited(Shape):
    """What a step was expected to change; `was` and `to` are of ten, as written."""

    place: str
    side: Side
    was: str | None
    to: str
    by: Day


class Due(Shape):
    """A horse to be seen again."""

    visit: str
    horse: str
    yard: str | None
    due: Day
    overdue_days: Annotated[int, Field(ge=0)]
    last_seen: Day
    call_then: Literal["none", "routine", "prompt", "emergency"]
    word_ends: Day | None = Field(description="the last day of a veterinarian's word")
    steps: list[Agreed]
    expected: list[Awaited]


class Look(Shape):
    """Something not looked at last time that would tell something."""

    key: str
    name: str
    how: str
    safety: str


class NotProposed(Shape):
    """A look that a standing sign takes away."""

    key: str
    because: str


class DayHorse(Due):
    """A horse of the day. `emergency`: one stood at the last visit, and nothing is planned."""

    emergency: bool
    look_at: list[Look]
    not_proposed: list[NotProposed]


class Diary(Shape):
    """What is due."""

    schema_version: Literal["1"]
    store: str
    day: Day
    due: list[Due]


class DaySheet(Shape):
    """A day's horses; `without_a_sheet` are due too, and overdue for too long to be that day's."""

    schema_version: Literal["1"]
    store: str
    day: Day
    horses: list[DayHorse]
    without_a_sheet: list[Due]


SHAPES: dict[str, type[Shape]] = {"diary.json": Diary, "day_sheet.json": DaySheet}
