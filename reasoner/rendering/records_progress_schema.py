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
    """What was to change at one place; where it is seen and not felt `place` is an entry, `was_word` its reading then and
    `hoped_words` the readings hoped for, and there are no points."""

    place: str
    side: Side | None
    was: float | None
    to: float | None
    was_word: str | None
    hoped_words: list[str]
    by: str


class AskedStep(StepKept):
    """A step to ask about."""

    looked_for: list[str]
    expects: list[LookedFor]


class AskedByStep(Shape):
    """A step that looks for a change, and what it looks for by itself."""

    step: str
    step_side: Side | None
    to: float | None
    hoped_words: list[str]


class Strictest(LookedFor):
    """What is looked for at one place by one day: the strictest of what the steps look for."""

    asked_by: list[AskedByStep]


class ToldSince(Shape):
    """What was told of a step of an earlier plan after an answer was given."""

    planned: str
    step: str
    side: Side | None
    words: str
    answer: str
    because: str | None
    by: str | None
    on: str
    known_then: str | None


class HadBefore(Shape):
    """How one of two answers has a thing."""

    value: str
    words: str


class Differs(Shape):
    """One thing in which the answer would differ."""

    kind: str
    key: str | None
    side: Side | None
    name: str
    before: HadBefore | None
    after: HadBefore | None


class ToldSinceThen(Shape):
    """What was told after the answer to a visit was given, which stands, and what it would be with that; worked out now."""

    visit: str
    rulebase: str
    other_rulebase: bool
    unread: str | None
    told: list[ToldSince]
    differs: list[Differs]


class CarriedWord(Shape):
    """A veterinarian's word of an earlier visit: what of it is written into the new file, and what is over."""

    who: str
    seen: str
    from_visit: str
    state: Literal["holds", "left out", "run out", "unread"]
    why: str | None
    about: list[str]
    allows: list[str]
    forbids: list[str]
    until: str | None


class AgainAnswer(Shape):
    """What `reasoner again` prints with --json."""

    schema_version: Literal["1"]
    store: str
    before: KeptVisit
    answers: str
    ask: list[AskedStep]
    expected: list[Strictest]
    vets_words: list[CarriedWord]
    since_then: ToldSinceThen | None
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
    state: Literal["came", "went", "not_looked_at", "stayed"]
    before: str | None
    now: str | None


class OutcomeOf(StepKept, LookedFor):
    """An expectation and what came of it."""

    plan: str
    came: Literal["came_true", "partly", "not", "not_yet", "not_examined"]
    within_the_hand: bool
    days_late: int = Field(
        description="days after the day set of the visit that judged, or came too late to; 0: not after it"
    )
    judged: str | None
    compared: Difference | None


class TriedInPart(Shape):
    """A remedy of a cause that was done only in part: nothing is learnt from it, and no rule hears of it."""

    cause: str
    side: Side | None
    step: str
    step_side: Side | None
    planned: str
    judged: str
    written: str


class TriedCause(TriedInPart):
    """What came of the remedy of a cause: an entry of the visit that rules read."""

    key: Literal["no_change_after", "better_after", "worse_again_after"]


class RestedOnOthers(Shape):
    """An answer that was given with an earlier visit as it no longer counts: `visit` (the `part`th of that day) rested on
    `other`, which was withdrawn, moved away or corrected since, or came to this horse since."""

    visit: str
    part: int
    other: str
    other_part: int
    what: Literal["withdrawn", "moved_away", "came", "corrected"]
    by: str | None
    why: str | None


class WithoutChange(Shape):
    """Visits in a row at which nothing was better although something agreed was done."""

    visits: int
    written: str


class WorseAgain(Shape):
    """How often the place that did so most often came down after a remedy and was worse again."""

    times: int
    written: str


class StepDoneBefore(Shape):
    """A step that was carried out and changed nothing, by the newest time that can be judged."""

    step: str
    side: Side | None
    judged: str
    told: str


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
    looked_at_within_days: int = Field(
        description="how many days after the day set a visit still tells what came of it"
    )
    sites: list[SiteCourse]
    conclusions: list[Turned]
    expectations: list[OutcomeOf]
    causes: list[TriedCause]
    causes_in_part: list[TriedInPart]
    visits_without_change: WithoutChange | None
    times_worse_again: WorseAgain | None
    done_before: list[StepDoneBefore]
    unlike: list[str]
    examiners: list[str] | None
    kept_late: list[str]
    rested_on_others: list[RestedOnOthers]
    rests_on: list[str]
    not_countersigned: list[str] = Field(description="days of visits that wait for a countersignature; no page leaves")
    since_then: list[ToldSinceThen] = Field(description="of the last two visits")
    written: list[str]


SHAPES: dict[str, type[Shape]] = {"again.json": AgainAnswer, "progress.json": ProgressAnswer}
