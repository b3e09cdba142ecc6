"""The shapes of the JSON of `reasoner records move`, `withdraw` and `horse`.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shapes (placed_json.py), writing the files (schema_files.py). No command imports this.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from reasoner.rendering.records_schema import Day, OfRecords, Uid, Visit
from reasoner.rendering.schema_base import Shape


class AgreedThen(Shape):
    """Something that was agreed or refused, and when."""

    what: Literal["owner agreed", "veterinary practice", "veterinarian aware", "report may go to"]
    given: bool
    who: str
    on: Day


class MovedVisit(OfRecords):
    """What `records move` and `records withdraw` did: the visit before and after. Nothing kept was changed."""

    before: Visit
    after: Visit
    withdrawn: bool = Field(description="true: it counts nowhere now")
    by: str
    why: str
    agreements_that_went: list[AgreedThen]
    agreements_that_stayed: list[AgreedThen]


class StayOf(Shape):
    """What somebody said of a horse from a day on; null: nothing was said of it."""

    yard: str | None
    owner: str | None
    since: Day
    by: str
    why: str | None
    at: str


class HorseStays(OfRecords):
    """What `records horse` prints: where the horse stands, whose it is, and all that was said of both, as it holds by day."""

    horse: Uid
    name: str
    yard: str | None
    owner: str | None
    first_yard: str | None
    new: bool | None = Field(description="null: nothing was said; false: it was so already")
    said: list[StayOf]


SHAPES: dict[str, type[Shape]] = {
    "records_move.json": MovedVisit,
    "records_withdraw.json": MovedVisit,
    "records_horse.json": HorseStays,
}
