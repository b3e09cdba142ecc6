"""The shapes of the answers of `reasoner teach`, for JSON Schema and for tests.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling them (class_json). No command imports this.
"""

from __future__ import annotations

from typing import Any, Literal

from reasoner.rendering.practise_schema import Marks, Named, Thinks
from reasoner.rendering.schema_base import Shape


class Teacher(Shape):
    """What the teacher says of the whole case."""

    case: str
    causes: list[Named]
    referral: str
    steps_wanted: list[Named]
    steps_wrong: list[Named]
    what_to_see: str
    marks_shown: bool
    names_kept: bool


class Rules(Shape):
    """What the rules said of the whole case when it was handed out: what their account begins with, and the causes among that."""

    begins: list[Named]
    causes: list[Named]
    referral: str
    steps: list[Named]
    rulebook: str


class Differs(Shape):
    """One difference; `key` is empty for the call."""

    what: Literal[
        "cause", "other side", "cause of the rules", "calls later", "calls sooner", "stopped", "in their plan"
    ]
    key: str
    side: str | None
    words: str
    because: list[str]


class Checked(Shape):
    """A teacher's answer beside the rules'."""

    schema_version: str
    rulebook: str
    teacher: Teacher
    rules: Rules
    differs: list[Differs]


class HandedOut(Checked):
    """A case that was handed out: the file to give, its seal, when."""

    file: str
    seal: str
    handed_out: str


class Begun(Shape):
    """The files that begin a case: the teacher's own, and the visit where it was made from a cause."""

    schema_version: str
    rulebook: str
    written: list[str]


class OneFile(Shape):
    """What became of one file."""

    file: str
    became: Literal["taken", "taken already", "taken beside", "the case", "unfinished", "another case", "not taken"]
    by: str | None
    case: str | None
    receipt: str | None
    why: str
    notes: list[str]


class Collected(Shape):
    """What became of the files collected."""

    schema_version: str
    files: list[OneFile]


class CouldChange(Shape):
    """A look and what it could have changed: the reasons to call (how pressing, from 1; 0 none), the plan."""

    look: str
    name: str
    calls: int
    plan: bool


class LookMade(CouldChange):
    """A look made: whether it was telling, and its place among those that could be made then."""

    telling: bool
    place: int
    of: int


class LookLeft(CouldChange):
    """A look left unmade, and by whom."""

    who: list[str]
    nobody_made_it: bool


class Call(Shape):
    """The call beside the teacher's, by how many degrees later or sooner; `not_looked_at`: later, as far as had been looked."""

    said: str
    teacher: str
    later: int
    sooner: int
    not_looked_at: bool
    rules_on_what_was_seen: str
    rules_on_everything: str


class BesideRules(Shape):
    """The causes held beside the account of the rules."""

    found: list[Named]
    other_side: list[Named]
    missed: list[Named]


class Steps(Shape):
    """The steps beside the teacher's; `stopped` by something that stands, by the rules."""

    wanted: list[Named]
    not_proposed: list[Named]
    wrong: list[Named]
    stopped: list[Named]


class Certainty(Shape):
    """How well the certainties matched the teacher's causes taken as one; less is better."""

    share: float
    brier: float
    logarithmic: float
    alike_brier: float
    alike_logarithmic: float


class Answer(Shape):
    """One apprentice's answer beside the teacher's."""

    by: str
    begun: str
    ended_at: str
    receipt: str
    call: Call
    thinks: list[Thinks]
    found: list[Named]
    other_side: list[Named]
    not_found: list[Named]
    also_right: list[Named]
    jumped_to: list[Named]
    named_beside: list[Named]
    by_the_rules: BesideRules
    looks: list[LookMade]
    looks_left: list[CouldChange]
    steps: Steps
    certainty: Certainty | None


class Said(Shape):
    """A degree of the call, and who said it."""

    said: str
    who: list[str]


class Held(Named):
    """A cause, and who held it."""

    who: list[str]


class Second(Shape):
    """Another answer of the same person, kept and not counted."""

    by: str
    file: str
    ended_at: str


class NotRead(Shape):
    """An answer whose choices cannot be made with these rules."""

    by: str
    file: str
    why: str


class Case(Shape):
    """One case: the class over it, and each answer, by name."""

    case: str
    seal: str
    handed_out: str
    teacher: Teacher
    rules: Rules
    called_later: list[str]
    called_sooner: list[str]
    calls: list[Said]
    taken_for: list[Held]
    other_side: list[Held]
    looks_left: list[LookLeft]
    answers: list[Answer]
    not_counted: list[Second]
    not_read: list[NotRead]


class Class(Shape):
    """The class, case by case."""

    schema_version: str
    rulebook: str
    cases: list[Case]


class GivenBack(Shape):
    """One apprentice's answer to give back; `choices` as they were made, each with its time and its link."""

    schema_version: str
    rulebook: str
    case: str
    answer: Answer
    teacher: Teacher
    rules: Rules
    choices: list[dict[str, Any]]
    marks: Marks


SHAPES: dict[str, type[Shape]] = {
    "teach_case.json": Begun, "teach_check.json": Checked, "teach_hand_out.json": HandedOut,
    "teach_collect.json": Collected, "teach_show.json": Class, "teach_give_back.json": GivenBack,
}  # fmt: skip
