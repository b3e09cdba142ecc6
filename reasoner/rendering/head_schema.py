"""The shape of what every JSON answer begins with.

In: nothing. Out: `Head`, of which the shapes of the answers are made.
Not here: the answers (answer_schema.py and its neighbours), filling it (answer_head.py). No command imports this.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from reasoner.rendering.schema_base import Shape

Line = Annotated[int, Field(ge=0)]


class About(Shape):
    """The visit the answer is about."""

    file: str
    date: Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$")]
    horse: str
    examined_by: str


class Warning_(Shape):
    """Something in the visit file worth a second look."""

    model_config = ConfigDict(extra="forbid", title="Warning")
    code: str
    file: str
    line: Line
    sentence: str
    hint: str


class Signing(Shape):
    """An apprentice's visit: who examined, who answers for it, and whether these very words are countersigned, as far as the
    records were asked. While they are not, this is a draft for the screen and no report leaves."""

    examined_by: str | None
    checked_by: str
    countersigned: bool
    countersigned_at: str | None
    says: str


class VisitOfTheDay(Shape):
    """Which visit of its day the file is taken for; `kept` are in the records, `says` tells it where there is a choice."""

    part: Annotated[int, Field(ge=1)]
    kept: Annotated[int, Field(ge=0)]
    says: str | None


class Head(Shape):
    """What every answer begins with; `rulebase` is the stamp of the rules, `engine` the version of the program. `signing` is null
    where nobody else has to sign, `visit_of_the_day` where no records were asked."""

    schema_version: Literal["1"]
    visit: About
    rulebase: str
    engine: str
    warnings: list[Warning_]
    signing: Signing | None
    visit_of_the_day: VisitOfTheDay | None


SHAPES: dict[str, type[Shape]] = {}
"""No answer is a head alone, so no file is written from here."""
