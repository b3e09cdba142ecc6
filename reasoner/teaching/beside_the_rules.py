"""A teacher's own answer beside what the rules make of the same case: where they differ.

In: the answer, the reasoner's answer to the whole case. Out: `RulesSay`, and `Differs` for each difference.
Not here: words (rendering), which of the two is right: both are kept, and both are shown at the end.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal

from reasoner.consult import Answer
from reasoner.explanation.from_record import OTHER
from reasoner.frozen import frozen
from reasoner.teaching.marking import what_stops
from reasoner.teaching.recovery import starting_points
from reasoner.teaching.session import NONE, Key
from reasoner.teaching.teachers_answer import TeachersAnswer, keys_of

What = Literal["cause", "other side", "cause of the rules", "calls later", "calls sooner", "stopped", "in their plan"]


@frozen(kw_only=True)
class RulesSay:
    """What the rules make of the whole case: what their account begins with and the causes among that, the degree of the
    call, the steps of their plan, and the stamp of the rulebook."""

    begins: tuple[Key, ...]
    causes: tuple[Key, ...]
    referral: str
    steps: tuple[Key, ...]
    stamp: str


@frozen(kw_only=True)
class Differs:
    """One difference. `key` is the cause or step ("" and "" for the call); `because`: what stands in the way of a step;
    `certainty` of a cause of the teacher's by the rules, from -1 to 1."""

    what: What
    key: Key = ("", "")
    because: tuple[str, ...] = ()
    certainty: float = 0.0


def rules_say(whole: Answer) -> RulesSay:
    """What the rules make of it."""
    kinds = whole.ready.book.conclusions
    begins = starting_points(whole)
    return RulesSay(
        begins=begins, causes=tuple(key for key in begins if kinds[key[0]].kind == "cause"),
        referral=whole.referral.level, steps=tuple((one.key, one.side) for one in whole.plan.steps),
        stamp=whole.ready.book.stamp,
    )  # fmt: skip


def differences(answer: TeachersAnswer, whole: Answer) -> Iterator[Differs]:
    """Every difference, the call first."""
    rules = rules_say(whole)
    degrees = (NONE, *whole.ready.book.scales.calls)
    later = degrees.index(rules.referral) - degrees.index(answer.referral)
    if later:
        yield Differs(what="calls later" if later > 0 else "calls sooner")
    turned: set[Key] = set()
    for key in answer.causes:
        if key not in rules.causes:
            other = (key[0], OTHER[key[1]])
            what: What = "other side" if other in rules.causes else "cause"
            turned |= {other}
            yield Differs(what=what, key=key, certainty=whole.record.certainty(*key))
    for key in rules.causes:
        if key not in answer.causes and key not in turned:
            yield Differs(what="cause of the rules", key=key, certainty=whole.record.certainty(*key))
    for key in answer.wanted:
        because = what_stops(key, whole)
        if because:
            yield Differs(what="stopped", key=key, because=because)
    for key in answer.wrong:
        if key in rules.steps or key in whole.plan.standing:
            yield Differs(what="in their plan", key=key)


def plain_rules(rules: RulesSay) -> dict[str, Any]:
    """The same as JSON-ready data."""
    return {
        "begins": [list(key) for key in rules.begins], "causes": [list(key) for key in rules.causes], "referral": rules.referral,
        "steps": [list(key) for key in rules.steps], "stamp": rules.stamp,
    }  # fmt: skip


def rules_of(said: dict[str, Any]) -> RulesSay:
    """The same from such data. Raises KeyError, TypeError or ValueError where it is none."""
    return RulesSay(begins=keys_of(said["begins"]), causes=keys_of(said["causes"]), referral=str(said["referral"]),
                    steps=keys_of(said["steps"]), stamp=str(said["stamp"]))  # fmt: skip
