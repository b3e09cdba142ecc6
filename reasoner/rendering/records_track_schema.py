"""The shapes of the JSON of `reasoner records told`, `judge`, `countersign`, and of `reasoner track` and `yard`.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shapes (told_json.py, track_json.py, yard_json.py), writing the files. No command imports this.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reasoner.rendering.schema_base import Shape

Count = Annotated[int, Field(ge=0)]
Day = Annotated[str, Field(pattern=r"^\d{4}-\d\d-\d\d$")]
Part = Annotated[float, Field(ge=0, le=1)]
Side = Literal["left", "right"] | None
Answer = Literal["done", "partly", "not", "stopped"]
Outcome = Literal["came true", "partly", "not", "not examined"] | None


class Head(Shape):
    """`store`: where the records are; a server's address without its password."""

    schema_version: Literal["1"]
    store: str


class KeptVisit(Shape):
    """The newest version of a visit; what was not written is null."""

    visit: str
    version: str
    number: Count
    horse: str
    yard: str | None
    date: Day
    part: Count
    examined_by: str | None
    checked_by: str | None
    saddle: str | None
    rider: str | None
    call: str
    rulebase: str


class Told(Shape):
    """What was told of one step."""

    step: str
    side: Side
    answer: Answer
    because: str | None
    by: str
    told_on: Day


class RecordsTold(Head, Told):
    """One answer, kept; `new` is false where it was kept already, in the same words."""

    visit: KeptVisit
    new: bool
    before: Told | None = Field(description="what was told last of that step until then")


class Judgement(Shape):
    """A practitioner's own judgement of one conclusion."""

    conclusion: str
    side: Side
    agrees: bool
    because: str
    by: str


class KeptJudgement(Judgement):
    """The same, and when it was kept (UTC)."""

    at: str


class RecordsJudged(Head, Judgement):
    """One judgement, kept; `new` is false where it was kept already, in the same words."""

    visit: KeptVisit
    new: bool


class RecordsCountersigned(Head):
    """`new` is false where it was countersigned already."""

    visit: KeptVisit
    by: str
    new: bool


class Signed(Shape):
    """A countersignature; `at` in UTC."""

    by: str
    at: str


class RateOf(Shape):
    """`count` of `of`, with Wilson's interval; null where there is no case."""

    count: Count
    of: Count
    share: Part | None
    low: Part | None
    high: Part | None


class PromiseOf(Shape):
    """What a step promised of one place, in points of the soreness scale; `outcome` is null where it was not carried out."""

    place: str
    side: Side
    from_: Annotated[float | None, Field(alias="from")]
    to: float
    by: Day
    outcome: Outcome
    seen_on: Day | None


class LookedForOf(Shape):
    """What a step looked for that is seen and not felt: an entry, its reading then, and the readings hoped for."""

    entry: str
    side: Side
    was: str | None
    to: list[str]
    by: Day
    outcome: Outcome
    seen_on: Day | None


class StepOf(Shape):
    """A step of a plan; `told` is null where nobody told; `looked_for` is what is seen and not felt."""

    step: str
    side: Side
    told: Answer | None
    promises: list[PromiseOf]
    looked_for: list[LookedForOf]


class CaseOf(Shape):
    """One case behind a figure; `outcome` is null where nothing was carried out in whole, `outcome_in_part` where nothing was
    done in part, or something in whole."""

    visit: str
    horse: str
    date: Day
    side: Side
    outcome: Outcome
    outcome_in_part: Outcome
    steps: list[StepOf]


class TallyOf(Shape):
    """How often the promises of one cause, action or rule came true; `by_horse` counts each horse once, by its last case."""

    view: Literal["cause", "action", "rule"]
    key: str
    kind: str | None
    came_true: Count
    partly: Count
    not_: Annotated[int, Field(alias="not", ge=0)]
    not_examined: Count
    in_part: Annotated[int, Field(ge=0, description="done only in part: in no other number and no share")]
    in_part_true: Count
    not_carried_out: Count
    not_told: Count
    horses: Count
    true_rate: RateOf
    partly_rate: RateOf
    by_horse: RateOf
    enough: bool
    cases: list[CaseOf]


class CertaintyOf(Shape):
    """The cases of one group of certainties. A certainty is not a probability."""

    from_: Annotated[float, Field(alias="from", ge=0, le=1)]
    to: Part
    horses: Count
    came_true: RateOf
    enough: bool


class JudgedOf(Shape):
    """How often practitioners agreed with one conclusion."""

    conclusion: str
    agreed: Count
    disagreed: Count
    people: Count
    agreement: RateOf


class ProposalOf(Shape):
    """Another strength for one rule, never given by itself; `proposed` and `paste` are null where the scale ends."""

    rule: str
    strength: str
    proposed: str | None
    came_true: Count
    horses: Count
    elsewhere_came_true: Count
    elsewhere_horses: Count
    cases: Count
    chance: Annotated[Part, Field(description="after all rules looked at")]
    alike: list[str]
    paste: str | None


class StepsCounted(Shape):
    """Steps of all plans."""

    carried_out: Count
    in_part: Count
    not_carried_out: Count
    not_told: Count
    promised_nothing: Count


class EnoughOf(Shape):
    """From how many cases of how many horses on a rate is told."""

    cases: Count
    horses: Count


class TrackShape(Head):
    """The track record; `tallies` of the views asked for."""

    rulebase: str
    examiner: str | None
    since: Day | None
    visits: Count
    horses: Count
    last: Day | None
    steps: StepsCounted
    tallies: list[TallyOf]
    certainty: list[CertaintyOf]
    judged: list[JudgedOf]
    proposals: list[ProposalOf]
    rules_looked_at: Count
    rules_with_too_few: Count
    enough: EnoughOf
    interval: Part
    basis: str
    rests_on: list[str]


Kind = Literal["rider", "saddle", "examiner", "yard"]


class SharedBy(Shape):
    """What else all horses of a run have in common."""

    kind: Kind
    name: str


class HorseOf(Shape):
    """A horse of a run, and where it stands; `line` is 0 where it was worked out."""

    horse: str
    yard: str | None
    date: Day
    visit: str
    line: Count
    words: str


class RunOf(Shape):
    """What `count` of `of` horses of one group show alike; `side` is null for a conclusion drawn for all of them."""

    kind: Kind
    name: str
    question: Literal["observed", "felt", "concluded"]
    key: str
    side: Side
    count: Count
    of: Count
    to_the_other: Count
    neither: Count
    in_group: Count
    usual: Annotated[Part, Field(description="the share it was held against")]
    usual_of: Annotated[int, Field(ge=0, description="of how many other horses; 0: too few, one half was taken")]
    chance: Annotated[Part, Field(description="of so uneven a split by chance alone")]
    after_all: Annotated[Part, Field(description="the same after all questions looked at")]
    shared: list[SharedBy]
    horses: list[HorseOf]


class LeftOut(Shape):
    """What was not counted, by kind: visits without a name, visits whose name was taken out, names with too few horses."""

    unnamed: dict[Kind, Count]
    erased: dict[Kind, Count]
    too_few_horses: dict[Kind, Count]


class YardShape(Head):
    """What several horses show together, the rarest first."""

    rulebase: str
    name: str | None
    since: Day | None
    visits: Count
    horses: Count
    looked_at: Count
    groups: dict[Kind, Count]
    runs: list[RunOf]
    left_out: LeftOut
    basis: str
    rests_on: list[str]


SHAPES: dict[str, type[Shape]] = {
    "records_told.json": RecordsTold,
    "records_judged.json": RecordsJudged,
    "records_countersigned.json": RecordsCountersigned,
    "track.json": TrackShape,
    "yard.json": YardShape,
}
