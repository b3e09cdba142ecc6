"""The shape of what `reasoner note --json` prints.

In: nothing. Out: `SHAPES`, file name to model.
Not here: the values. No command imports this.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from reasoner.rendering.schema_base import Shape

Side = Literal["left", "right"]


class NotedFinding(Shape):
    """A reading as a visit file writes it; no side on the midline and for an entry without sides."""

    kind: Literal["place", "entry"]
    key: str
    side: Side | None
    reading: str | dict[str, str | list[str]]
    words: str = Field(description="the piece of the line it rests on")


class NotedPassedOver(Shape):
    """A place, region or entry that was not examined; `reason` is empty where none was said."""

    kind: Literal["place", "region", "entry"]
    key: str
    side: Literal["left", "right", "both"] | None
    reason: str
    words: str


class NotedQuestion(Shape):
    """What has to be answered before anything of it is entered; no offers: any place may be named."""

    ask: Literal["verb", "place", "side", "reading"]
    about: list[str]
    offers: list[str]
    words: str
    sides: list[Literal["left", "right", "both"] | None] = Field(
        description="the side of each reading, where it is known"
    )


class NotedLine(Shape):
    """What was understood of one line."""

    line: str
    findings: list[NotedFinding]
    not_examined: list[NotedPassedOver]
    questions: list[NotedQuestion]
    kept: list[str] = Field(description="pieces nothing was understood of, kept as a note")
    withdrawn: list[NotedFinding] = Field(description="findings of the lines before that this one takes back")
    called: dict[str, str] = Field(description="what a place was called, where its own name does not hold that")


class Note(Shape):
    """What `note` prints; with open questions the exit code is 2 and nothing was written."""

    schema_version: str
    rulebase: str
    lines: list[NotedLine]
    open_questions: int
    written: str | None


SHAPES = {"note.json": Note}
