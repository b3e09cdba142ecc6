"""The shape of the JSON of `reasoner measure ...`.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shapes (measured_json.py), writing the files (schema_files.py). No command imports this.
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from reasoner.rendering.schema_base import Shape


class Measured(Shape):
    """One measure: its sentences, its numbers (units in their names), and what it rests on."""

    key: str
    title: str
    lines: list[str]
    numbers: dict[str, Any] = Field(description="the shape of each measure's numbers stands in its own schema")
    not_measured: list[str]
    cautions: list[str]
    rests_on: list[str] = Field(description="ids of sources, `common practice`, `own setting`")
    picture: str | None = Field(description="a whole SVG")
    picture_says: str | None


class MeasuredAlone(Shape):
    """What `reasoner measure ...` prints with --json."""

    schema_version: Literal["1"]
    rulebase: str = Field(description="the stamp of the rulebook whose tables were used")
    measured: list[Measured]


SHAPES: dict[str, type[Shape]] = {"measured.json": MeasuredAlone}
