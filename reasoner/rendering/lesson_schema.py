"""The shape of `reasoner explain --json`, for JSON Schema and for tests.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling it (lesson_json). No command imports this.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reasoner.rendering.head_schema import Head, Line
from reasoner.rendering.schema_base import Shape

Text = Annotated[str, Field(min_length=1)]


class Conclusion(Shape):
    """A conclusion a step names."""

    key: Text
    side: Literal["left", "right"] | None


class Seen(Shape):
    """A finding, and where it stands; line 0 where it is not in the visit's own file."""

    words: Text
    file: str
    line: Line


class Basis(Shape):
    """What something rests on; `entry` is its place in the handbook."""

    words: Text
    entry: str | None


class Rule(Shape):
    """A rule a step rests on."""

    speaks: Literal["for", "against", "calls", "waits"]
    name: Text
    of: Text
    loud: str | None
    because: Text
    rests_on: Annotated[list[Basis], Field(min_length=1)]
    seen: list[Seen]
    file: Text
    line: Line
    entry: Text


class Row(Shape):
    """One line of anatomy."""

    label: Text
    text: Text


class Anatomy(Shape):
    """A place as the hand meets it; `read` says how far its attachments were read in a source."""

    place: Text
    name: Text
    rows: Annotated[list[Row], Field(min_length=1)]
    read: Text
    rests_on: list[Basis]
    file: Text
    line: Line
    entry: Text


class Point(Shape):
    """A line under a step; not leading: told only where the step is opened."""

    mark: Text
    text: Text
    leading: bool


class Step(Shape):
    """One thought. `key` is the same in plain and in technical words."""

    key: Text
    says: Text
    more: list[Text]
    leading: bool
    alarm: bool
    about: list[Conclusion]
    points: list[Point]
    seen: list[Seen]
    rules: list[Rule]
    anatomy: list[Anatomy]


class Chapter(Shape):
    """Steps under one heading."""

    key: Literal["first", "found", "thread", "rivals", "turns", "open", "home"]
    title: Text
    opening: list[Text]
    steps: list[Step]
    closing: list[Text]


class LessonJson(Head):
    """A case told as a lesson; the veterinarian comes first. `call` is how pressing the call is, "none" for no call."""

    words: Literal["plain", "technical"]
    title: Text
    about: Text
    call: Text
    chapters: Annotated[list[Chapter], Field(min_length=2)]
    not_checked: Annotated[list[Text], Field(min_length=1)]
    rests_on: list[Text]
    cautions: list[Text]
    written: list[str]


SHAPES: dict[str, type[Shape]] = {"explain.json": LessonJson}
