"""The shapes of what commands print with --json besides answers: files written, and things to mend.

In: nothing. Out: `SHAPES`, file name to model.
Not here: the shapes of answers (answer_schema.py). No command imports this.
"""

from __future__ import annotations

from pydantic import Field

from reasoner.rendering.answer_schema import Shape


class Written(Shape):
    """What `new` and `report` wrote; `for` and `approved_by` are the report's."""

    schema_version: str
    written: list[str]
    for_: str | None = Field(default=None, alias="for")
    approved_by: str | None = None


class Mistake(Shape):
    """One thing to mend: a problem as it is also told in words."""

    code: str
    severity: str
    file: str
    line: int
    sentence: str
    hint: str


class Problems(Shape):
    """What every command prints with --json where its input needs mending; the exit code is then 2."""

    schema_version: str
    problems: list[Mistake]


SHAPES: dict[str, type[Shape]] = {"written.json": Written, "problems.json": Problems}
