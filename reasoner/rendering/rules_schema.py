"""The shapes of what `rules show` and `rules impact` print with --json.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling them (rules_show.py, impact_text.py). No command imports this.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from reasoner.rendering.answer_schema import Side
from reasoner.rendering.head_schema import Line
from reasoner.rendering.schema_base import Shape

Kind = Literal["rule", "conclusion", "concern", "action", "circumstance", "source", "place", "observation", "measure"]
Way = Literal[
    "speaks_for", "speaks_against", "gated", "raises", "leads_to", "accounts_for", "wanted", "needed", "forbidden",
    "held", "works_on", "expects", "lessened_by", "lessens", "cites", "one_voice", "example", "records",
]  # fmt: skip


class Label(Shape):
    """One line of what the thing itself says."""

    label: str
    text: str


class Leaning(Shape):
    """One thing that leans on another: in which way, what it is, where it stands, and through what (a group, a case)."""

    way: Way
    kind: Kind
    key: str
    file: str
    line: Line
    note: str


class Shown(Shape):
    """What `rules show` prints. `leans_on_it` holds what leans on it; `leans_on` holds what it leans on."""

    schema_version: str
    rulebase: str = Field(description="the stamp of the rulebook's files")
    kind: Kind
    key: str
    name: str
    file: str
    line: Line
    about: list[Label]
    leans_on_it: list[Leaning]
    leans_on: list[Leaning]


class Of(Shape):
    """One of the two rulebooks."""

    rulebase: str
    folders: list[str]


class Had(Shape):
    """How one rulebook has it: a word or number of the answer, and words for people."""

    value: str
    words: str


ImpactKind = Literal[
    "level", "concern", "riding", "step", "order", "withheld", "starting_points", "conclusion", "reading"
]


class Change(Shape):
    """One difference; null under `before` or `after` where that rulebook has nothing there."""

    kind: ImpactKind
    key: str | None
    side: Side
    name: str
    before: Had | None
    after: Had | None


class Visit(Shape):
    """One visit, and what changes in its answer."""

    file: str
    horse: str
    changed: bool
    changes: list[Change]


class Summary(Shape):
    """How many visits were judged, and in how many of them each kind of thing changes."""

    visits: int
    changed: int
    changed_by_kind: dict[ImpactKind, int]


class Impact(Shape):
    """What `rules impact` prints: `before` is the rulebook named by --against, `after` the one that would replace it."""

    schema_version: str
    before: Of
    after: Of
    summary: Summary
    visits: list[Visit]


SHAPES: dict[str, type[Shape]] = {"rules_show.json": Shown, "rules_impact.json": Impact}
