"""The shapes of one step of a plan in the JSON answers, as pydantic models.

In: nothing. Out: `Step` and its parts; `SHAPES`, which is empty.
Not here: the plan as a whole and the answer (answer_schema.py), filling them (step_json.py). No command imports this.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reasoner.rendering.schema_base import Shape

Side = Literal["left", "right"] | None


class Expected(Shape):
    """What a step should change: soreness at a place, from and to, within days."""

    place: str
    name: str
    side: Side
    from_: Annotated[float | None, Field(alias="from", ge=0, le=10)]
    to: Annotated[float, Field(ge=0, le=10)]
    by_days: Annotated[int, Field(ge=0)]


class LookedFor(Shape):
    """What a step should change that is seen: an entry, from one reading to one of `to`, within days."""

    entry: str
    name: str
    side: Side
    was: str
    to: list[str]
    by_days: Annotated[int, Field(ge=0)]


class Answers(Shape):
    """A conclusion that a step answers."""

    key: str
    words: str


class FoldedStep(Shape):
    """A step that says what another says and is told with it, with its own reason."""

    key: str
    side: Side
    words: str
    reason: str
    file: str


class Step(FoldedStep):
    """One step of the draft plan, with the steps told with it; `done_before`: it was done and changed nothing, or was stopped."""

    kind: Literal["call", "riding", "tack", "rider", "feet_and_teeth", "bodywork", "exercise", "look", "recheck"]
    plain: str
    dose: str
    reckoned: list[str]
    done_before: list[str]
    because: list[Answers]
    basis: list[str]
    sure: Literal["high", "medium", "low"]
    expects: list[Expected]
    looks_for: list[LookedFor]
    recheck_days: int | None
    can_mislead: str
    folds: list[FoldedStep]


#: A step stands in answers and in no file of its own.
SHAPES: dict[str, type[Shape]] = {}
