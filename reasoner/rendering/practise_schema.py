"""The shapes of the answers of `reasoner practise`, for JSON Schema and for tests.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling them (practise_json). No command imports this.
"""

from __future__ import annotations

from reasoner.rendering.schema_base import Shape


class Named(Shape):
    """A cause, or a step, and its side."""

    key: str
    side: str | None


class Felt(Shape):
    """One place as it was felt."""

    place: str
    side: str | None
    soreness: float | None
    refused: bool
    responses: list[str]
    felt: list[str]
    depth: str | None
    touch: str | None


class Seen(Shape):
    """One entry as it was seen."""

    entry: str
    side: str | None
    value: str | None
    written: str


class MayLook(Shape):
    """A look that may be made."""

    look: str
    name: str
    heading: str
    question: str
    how: str
    safety: str


class Thinks(Named):
    """How likely a cause is held, as a share of the whole."""

    share: float


class Found(Shape):
    """A finding of the case."""

    where: str
    name: str
    side: str | None
    value: str


class Told(Shape):
    """A rule, or a sign of a reason to call, that would have told; `unseen`: what it rests on and no look had shown."""

    rule: str
    name: str
    because: str
    basis: list[str]
    file: str
    line: int
    findings: list[Found]
    unseen: list[Found]


class Cause(Named):
    """A cause beside the rules'."""

    words: str
    share: float
    certainty_seen: float
    certainty_whole: float
    told: list[Told]


class Could(Shape):
    """What a look could have changed: the reasons to call (how pressing, from 1; 0 none), the plan; by how much it narrows."""

    look: str
    name: str
    calls: int
    plan: bool
    narrows: float


class Made(Could):
    """A look made: its place among those that could be made then, whether that is telling, whether it could be had that day."""

    place: int
    of: int
    telling: bool
    had: bool


class Closed(Shape):
    """Looks that something seen stood in the way of."""

    because: str
    looks: list[str]


class Referral(Shape):
    """The referral beside the rules', and by how many degrees it was off; `not_seen`: by how many looks left open would have
    raised it."""

    said: str
    seen: str
    whole: str
    too_low: int
    too_high: int
    not_seen: int
    told: list[Told]


class Step(Named):
    """A step, and what stops it."""

    words: str
    stopped_by: list[str]


class Steps(Shape):
    """The steps beside the plan of the rules."""

    right: list[Step]
    other: list[Step]
    stopped: list[Step]
    missed: list[Step]


class Certainty(Shape):
    """Both scores, and those of one who holds every cause for equally likely; less is better."""

    came: Named
    share: float
    brier: float
    logarithmic: float
    alike_brier: float
    alike_logarithmic: float


class Lost(Shape):
    """Points taken off."""

    what: str
    points: float


class Skill(Shape):
    """A skill in one session, from 0 to 1; null where there was nothing to show."""

    skill: str
    share: float | None


class Marks(Shape):
    """An ended session beside the rules."""

    points: float
    lost: list[Lost]
    made_from: Named | None
    begins_with: list[Cause]
    found: list[Cause]
    other_side: list[Cause]
    missed: list[Cause]
    out_of_reach: list[Cause]
    on_the_way: list[Cause]
    supported: list[Cause]
    jumped_to: list[Cause]
    looks: list[Made]
    looks_missed: list[Could]
    closed: list[Closed]
    referral: Referral
    steps: Steps
    certainty: Certainty | None
    skills: list[Skill]


class SkillSoFar(Shape):
    """A skill over sessions."""

    skill: str
    lately: float
    before: float
    sessions: int


class ComesAgain(Shape):
    """How many kinds of case come again within so many days, 0 for now; null: later than the last of these."""

    within_days: int | None
    kinds: int


class SoFar(Shape):
    """The apprentice's record."""

    sessions: int
    skills: list[SkillSoFar]
    comes_again: list[ComesAgain]


class Practise(Shape):
    """Where a practice session stands. `marks` are null until it has ended, and nothing else of the case stands here before."""

    schema_version: str
    rulebook: str
    difficulty: str | None
    ended: bool
    touches: list[Felt]
    entries: list[Seen]
    looks: list[str]
    stop: bool
    offered: list[MayLook]
    not_now: int
    thinks: list[Thinks]
    referral: str | None
    steps: list[Named]
    marks: Marks | None
    record: SoFar | None


class TakenFor(Named):
    """What the account began with instead, in how many cases."""

    cases: int


class Kind(Named):
    """One kind of case: how many were made, and in how many its cause was found."""

    difficulty: str
    cases: int
    found: int
    first: int
    led_to: int
    calls: int
    instead: list[TakenFor]


class Recovered(Shape):
    """How often causes are found again in the cases made from them."""

    schema_version: str
    rulebook: str
    seed: int
    kinds: list[Kind]


SHAPES: dict[str, type[Shape]] = {"practise.json": Practise, "practise_recovered.json": Recovered}
