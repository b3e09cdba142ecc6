"""The shapes of the JSON answers, as pydantic models; the JSON Schemas in the package are made from them.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shapes (answer_json.py), writing the files (schema_files.py). No command imports this.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reasoner.rendering.head_schema import Head, Line
from reasoner.rendering.measured_schema import Measured
from reasoner.rendering.records_progress_schema import ToldSinceThen
from reasoner.rendering.schema_base import Shape
from reasoner.rendering.step_schema import Step

Side = Literal["left", "right"] | None
Certainty = Annotated[float, Field(ge=-1, le=1)]
Degree = Annotated[float, Field(ge=0, le=1)]


class Key(Shape):
    """A conclusion and its side; null where it has none."""

    key: str
    side: Side


class Finding(Shape):
    """Something recorded: where, what, on which line of the visit file."""

    where: str
    name: str
    side: Side
    value: str
    file: str
    line: Line
    degree: Degree


class Missing(Shape):
    """Something not recorded."""

    where: str
    name: str
    side: Side


class Unchecked(Missing):
    """Something not recorded that the named rules listen to, and how to look."""

    question: str
    how: str
    safety: str
    tells: list[str]


class Item(Shape):
    """One rule at work; contribution and share are signed."""

    rule: str
    name: str
    strength: Certainty
    degree: Degree
    contribution: Certainty
    share: float
    because: str
    basis: list[str]
    sure: Literal["high", "medium", "low"]
    file: str
    line: Line
    findings: list[Finding]
    via: list[Key]
    lessened_by: list[str]
    gated: bool


class Silent(Shape):
    """A rule that did not speak: below its threshold, or waiting on something not checked."""

    rule: str
    name: str
    strength: Certainty
    state: Literal["below", "waits"]
    support: Degree
    findings: list[Finding]
    waiting_on: list[Missing]


class Concluded(Shape):
    """One conclusion for one side. Certainties are not probabilities; lower and upper hold what was not checked."""

    key: str
    kind: Literal["cause", "pattern", "trait", "mechanism"]
    side: Side
    certainty: Certainty
    lower: Certainty
    upper: Certainty
    band: str
    lower_band: str
    upper_band: str
    words: str
    plain: str
    supporting: list[Item]
    opposing: list[Item]
    silent: list[Silent]
    not_checked: list[Missing]
    accounts_for: list[Finding]
    leads_to: list[Key]
    basis: list[str]
    can_mislead: str
    file: str


class Chain(Shape):
    """A conclusion of the account and what it leads to; `loop` holds others that lead to it and from it."""

    key: str
    side: Side
    words: str
    band: str
    certainty: Certainty
    loop: list[Key]
    leads_to: list[Chain]


class Sign(Shape):
    """What raised a concern."""

    sign: str
    because: str
    basis: list[str]


class Folded(Shape):
    """A milder reason on the same finding, told with the more pressing one that it yields to."""

    key: str
    call: Literal["routine", "prompt"]
    words: str
    file: str
    line: Line


class Concern(Shape):
    """A reason to call the veterinarian; `released` are stops that a veterinarian's word opened again."""

    key: str
    side: Side
    place: str | None
    call: Literal["routine", "prompt", "emergency"]
    when: str
    words: str
    plain: str
    stops: list[str]
    released: list[str]
    while_you_wait: list[str]
    tell_the_vet: list[str]
    signs: list[Sign]
    findings: list[Finding]
    folds: list[Folded]
    file: str
    line: Line


class Release(Shape):
    """A veterinarian's word as it bears on this visit."""

    who: str
    seen: str
    until: str | None
    about: list[str]
    allows: list[str]
    forbids: list[str]
    holds: bool
    closed_because: str
    line: Line


class Referral(Shape):
    """The most pressing call and every concern raised."""

    level: Literal["none", "routine", "prompt", "emergency"]
    concerns: list[Concern]
    releases: list[Release]


class Withheld(Shape):
    """Something wanted that is not for today, with the sentences why."""

    key: str
    side: Side
    kind: str
    words: str
    because: list[str]


class OwnerTask(Shape):
    """Something the owner is asked to do."""

    key: str
    side: Side
    words: str
    stop_and_ring_me_if: str
    ring_the_vet_if: str


class Plan(Shape):
    """The draft plan. `riding` is the answer as one of four words, `riding_says` the sentence that answers the owner."""

    riding: Literal[
        "as usual", "lightly", "not in this saddle", "led, not ridden", "not until the veterinarian has seen it"
    ]
    riding_says: str
    riding_because: list[str]
    steps: list[Step]
    withheld: list[Withheld]
    owner_tasks: Annotated[list[OwnerTask], Field(max_length=3)]
    recheck_days: int | None
    recheck_on: str | None
    cautions: list[str]
    not_checked: list[str]


class FromRecords(Head):
    """What the commands add where records were asked; an answer that is not printed by one has no such key."""

    since_then: ToldSinceThen | None = Field(
        default=None, description="what owners told after the day of the visit, and what the answer would be with it"
    )


class Answer(FromRecords):
    """The answer to one visit."""

    referral: Referral
    conclusions: list[Concluded]
    leading: list[Key]
    account: list[Chain]
    account_ties: list[list[Key]]
    too_little_to_say: bool
    look_at: list[Unchecked]
    notable: list[Finding]
    unexplained: list[Finding]
    not_checked: list[Unchecked]
    circumstances: list[Finding]
    measured: list[Measured]
    plan: Plan


class PlanAnswer(FromRecords):
    """The referral and the plan of one visit."""

    referral: Referral
    plan: Plan


class Reason(Concluded):
    """A conclusion behind a place; `path` runs from it down to the one that accounts for the place directly."""

    path: list[Key]


class Here(Shape):
    """What lies behind one place and side; `others` are open: what was not checked could bring them up."""

    where: str
    name: str
    side: Side
    finding: Finding | None
    not_examined: str | None
    notable: bool
    reasons: list[Reason]
    others: list[Concluded]
    not_checked: list[Unchecked]


class Why(FromRecords):
    """What lies behind one place, for each side asked about."""

    places: list[Here]


SHAPES: dict[str, type[Head]] = {"answer.json": Answer, "plan.json": PlanAnswer, "why.json": Why}
