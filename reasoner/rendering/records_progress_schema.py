"""The shapes of the JSON of `reasoner again` and `reasoner progress`.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shapes (records_progress_json.py), writing the files (schema_files.py). No command imports this.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from reasoner.rendering.schema_base import Shape

Side = Literal["left", "right"]
Mark = Literal["score", "refused", "words", "not_examined"]
Change = Literal["better", "worse", "within_the_hand", "freed", "refused", "not_examined", "not_measured"]


class KeptVisit(Shape):
    """A visit of the records."""

    visit: str
    version: str
    number: int
    horse: str
    yard: str | None
    date: str
    part: int
    examined_by: str | None
    checked_by: str | None
    saddle: str | None
    rider: str | None
    call: str
    rulebase: str


class ToldOf(Shape):
    """What was told of a step."""

    answer: str
    because: str | None
    by: str | None
    on: str


class StepKept(Shape):
    """A step of a plan and what was told of it."""

    step: str
    step_side: Side | None
    kind: str
    words: str
    told: ToldOf | None


class LookedFor(Shape):
    """What was to change at one place."""

    place: str
    side: Side | None
    was: float | None
    to: float
    by: str


class AskedStep(StepKept):
    """A step to ask about."""

    looked_for: list[str]
    expects: list[LookedFor]


class AgainAnswer(Shape):
    """What `reasoner again` prints with --json."""

    schema_version: Literal["1"]
    store: str
    before: KeptVisit
    answers: str
    ask: list[AskedStep]
    written: str | None
    text: str = Field(description="the new visit file")


class SeenThen(Shape):
    """One reading before work."""

    mark: Mark
    soreness: float | None = Field(ge=0, le=10)
    reason: str | None
    settled: bool
    line: int


class Difference(Shape):
    """Two readings of one place. `by` and `error` (one standard deviation) in points of the soreness scale."""

    change: Change
    by: float | None
    error: float | None
    unlike: list[str]
    earlier: str | None
    later: str | None


class SiteCourse(Shape):
    """One place and side over all visits; null: a gap."""

    place: str
    side: Side | None
    seen: list[SeenThen | None]
    after_work: list[float | None]
    since_last: Difference
    since_first: Difference | None


class Turned(Shape):
    """A conclusion at the last two visits."""

    key: str
    side: Side | None
    kind: str
    words: str
    state: Literal["came", "went", "stayed"]
    before: str | None
    now: str | None


class OutcomeOf(StepKept, LookedFor):
    """An expectation and what came of it."""

    plan: str
    came: Literal["came_true", "partly", "not", "not_yet", "not_examined"]
    within_the_hand: bool
    judged: str | None
    compared: Difference | None


class TriedCause(Shape):
    """What came of the remedy of a cause: an entry of the visit that rules read."""

    key: Literal["no_change_after", "better_after"]
    cause: str
    side: Side | None
    step: str
    step_side: Side | None
    planned: str
    judged: str
    written: str


class WithoutChange(Shape):
    """Visits in a row at which nothing was better although something agreed was done."""

    visits: int
    written: str


class HorseKept(Shape):
    """A horse."""

    horse: str
    name: str
    yard: str | None
    born: str | None


class ProgressAnswer(Shape):
    """What `reasoner progress` prints with --json."""

    schema_version: Literal["1"]
    store: str
    rulebase: str
    engine: str
    horse: HorseKept
    visits: list[KeptVisit]
    error: float | None = Field(description="one standard deviation of the difference of the last two visits")
    beyond: float = Field(description="a difference is a change beyond this many of them")
    sites: list[SiteCourse]
    conclusions: list[Turned]
    expectations: list[OutcomeOf]
    causes: list[TriedCause]
    visits_without_change: WithoutChange | None
    unlike: list[str]
    examiners: list[str] | None
    kept_late: list[str]
    rests_on: list[str]
    written: list[str]


SHAPES: dict[str, type[Shape]] = {"again.json": AgainAnswer, "progress.json": ProgressAnswer}
