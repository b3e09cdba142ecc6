"""Two rules of one page do not say the same thing, and none stands where another always speaks louder.

In: the premises of each conclusion. Out: a problem for each pair with one premise, or with one inside the other.
Not here: findings that two rules share without being the same question (RB31, inference.voices).
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator

from reasoner.frozen import frozen
from reasoner.problems import Problem, register
from reasoner.rulebook.checks.given import Given
from reasoner.rulebook.checks.mirror import form
from reasoner.rulebook.conditions import All, Condition
from reasoner.rulebook.pages import Conclusion, Evidence, bases
from reasoner.rulebook.vocabulary import canonical

register({"RB45": "two rules ask the same question"})


@frozen
class _Asked:
    rule: Evidence
    parts: frozenset[Hashable]
    strength: float
    group: str


def same_questions(given: Given) -> Iterator[Problem]:
    """Pairs of rules of which one can be left out: the same premise, or one inside the other and never louder."""
    for page in given.book.conclusions.values():
        asked = [a for number in range(len(page.evidence)) if (a := _asked(given, page, number)) is not None]
        for at, second in enumerate(asked):
            for first in asked[:at]:
                what = _between(first, second)
                if what:
                    yield given.say(page, second.rule.line, "RB45", f'"{second.rule.rule}" and "{first.rule.rule}" {what}.',
                                    "Make one rule of them, or say in a `waiver:` why both stand.")  # fmt: skip


def _asked(given: Given, page: Conclusion, number: int) -> _Asked | None:
    rule = page.evidence[number]
    when = given.book.parsed.get((page.id, f"evidence {number} when"))
    if when is None:
        return None
    parts = _parts(when)
    gate = given.book.parsed.get((page.id, f"evidence {number} only_if"))
    if gate is not None:
        parts |= {("only_if", form(gate))}
    strength = given.book.scales.strengths[canonical(rule.points or rule.against or "")]
    return _Asked(rule, parts, strength if rule.points else -strength, rule.group or rule.rule)


def _parts(condition: Condition) -> frozenset[Hashable]:
    """The questions that must all be answered; nested alls are one."""
    if isinstance(condition, All):
        return frozenset().union(*map(_parts, condition.parts))
    return frozenset({form(condition)})


def _between(one: _Asked, other: _Asked) -> str:
    if one.strength * other.strength < 0:
        # For and against may rest on one finding where trade and published work differ: both views then stand.
        alike = one.parts == other.parts and set(bases(one.rule.basis)) == set(bases(other.rule.basis))
        return "have one premise and one basis, and one speaks for, one against" if alike else ""
    if one.group != other.group:
        return ""  # RB31 tells of these: they rest on one finding and have no common group
    if one.parts == other.parts:
        return "have the same premise"
    wide, narrow = (one, other) if one.parts < other.parts else (other, one)
    if not wide.parts < narrow.parts:
        return ""
    if abs(narrow.strength) <= abs(wide.strength):
        return f'have nested premises, and "{narrow.rule.rule}" never speaks louder'
    return ""
