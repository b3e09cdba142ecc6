"""The shapes of the answers to the questions asked next: next, why-not, suppose, which-of.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling them, the shape of a whole answer (answer_schema.py). No command imports this.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from reasoner.rendering.answer_schema import Certainty, Concluded, Degree, Finding, Item, Key, Side
from reasoner.rendering.head_schema import Head, Line
from reasoner.rendering.rules_schema import Change
from reasoner.rendering.schema_base import Shape

Level = Literal["none", "routine", "prompt", "emergency"]


class Called(Shape):
    """One reason to call; side and place are null where it has none."""

    key: str
    side: Side
    place: str | None


class Call(Shape):
    """A reading that would raise reasons to call, the most pressing of them."""

    reading: str
    level: Level
    concerns: list[Called]


class Look(Shape):
    """One check not yet made, and what its readings would do."""

    check: str
    name: str
    sides: list[Literal["left", "right"]]
    heading: str = Field(description="where it is written in the visit file")
    minutes: float
    question: str
    how: str
    safety: str
    readings: list[str] = Field(description="the readings it was tried with")
    calls: list[Call] = Field(description="the readings that would raise a new reason to call, the most pressing first")
    changes_plan: bool = Field(description="whether some reading changes which actions stand")
    narrows: float = Field(description="how much all ranges together narrow, in certainty, the mean over its readings")
    raises: Key | None = Field(
        description="the conclusion one reading brings up most; side null where left and right rise alike"
    )
    tells_from: Key | None = Field(description="another one that another reading brings up instead")


class NotProposed(Shape):
    """A look that would tell something, and what keeps it back."""

    check: str
    because: str


class NextAnswer(Head):
    """What `next` prints."""

    referral: Level
    stop: bool = Field(description="an emergency stands: telephone, and look at nothing else first")
    first_look: list[Look] = Field(description="what is open of the first sixty seconds")
    proposed: list[Look] = Field(description="in the order of one walk round the horse")
    others: int
    not_proposed: list[NotProposed]


class PlannedAnswer(Head):
    """What `next --minutes` prints."""

    referral: Level
    stop: bool
    steps: list[Look]
    minutes: float
    narrows: float = Field(description="what these look narrow together, the mean over the draws")
    of: float = Field(description="what all candidates would narrow together")
    seed: int


class Question(Shape):
    """A question an owner can answer."""

    check: str
    question: str
    veterinarian_if: list[Call] = Field(description="the answers that mean the veterinarian and no booking")
    changes_plan: bool
    narrows: float


class TelephoneAnswer(Head):
    """What `next --telephone` prints."""

    referral: Level
    questions: list[Question]


class Missing(Shape):
    """One thing that would have to hold for a rule to speak."""

    state: Literal["not examined", "discounted", "too weak", "otherwise", "not concluded"]
    where: str = Field(description="a place, an entry, or an earlier conclusion")
    side: Side
    wanted: str
    support: Degree = Field(description="how far it holds")
    needs: Degree = Field(description="it must hold further than this")
    found: list[Finding]
    lessened_by: list[str]
    short: float | None = Field(description="how much a recorded number lacks, in points or its base unit")


class Silent(Shape):
    """A rule that could have spoken; `missing` is the least that would make it speak."""

    rule: str
    name: str
    strength: Certainty
    because: str
    basis: list[str]
    file: str
    line: Line
    missing: list[Missing]
    then: Certainty = Field(description="the certainty the conclusion would then have")
    band: str


class WhyNotAnswer(Head):
    """What `why-not` prints."""

    referral: Level
    conclusion: Concluded
    speaking: int = Field(description="how many rules speak for it already")
    silent: list[Silent]
    against: Item | None = Field(description="the strongest evidence against it")


class Standing(Key):
    """A conclusion as it stands."""

    certainty: Certainty
    band: str


class State(Shape):
    """What one of the two answers comes to."""

    referral: Level
    riding: str
    conclusions: list[Standing]
    steps: list[Key]


class RuleNamed(Shape):
    """A rule, for one side."""

    rule: str
    side: Side
    strength: Certainty


class SupposeAnswer(Head):
    """What `suppose` prints; `visit` and `warnings` are those of the file as it stands."""

    supposed: list[str]
    before: State
    after: State
    changes: list[Change]
    started: list[RuleNamed]
    stopped: list[RuleNamed]


class Parting(Shape):
    """A look that would part two conclusions."""

    check: str
    name: str
    question: str
    minutes: float
    parts: float = Field(description="how far apart its readings bring the difference of the two certainties")
    towards_one: str | None
    towards_two: str | None


class WhichOfAnswer(Head):
    """What `which-of` prints."""

    referral: Level
    stop: bool
    one: Concluded
    two: Concluded
    both: list[Finding]
    only_one: list[Finding]
    only_two: list[Finding]
    partings: list[Parting]


SHAPES: dict[str, type[Head]] = {
    "next.json": NextAnswer,
    "next_minutes.json": PlannedAnswer,
    "next_telephone.json": TelephoneAnswer,
    "why_not.json": WhyNotAnswer,
    "suppose.json": SupposeAnswer,
    "which_of.json": WhichOfAnswer,
}
