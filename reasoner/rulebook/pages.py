"""The shapes of the pages of a rulebook: conclusions, concerns, actions, circumstances, sources.

In: nothing. Out: frozen dataclasses, field for field what a page may hold (docs of the fields: rules/README.md).
Not here: reading, checking across pages, the grammar of conditions (conditions.py); a condition stays as written here.
"""

from __future__ import annotations

from typing import Any, Literal

from reasoner.frozen import frozen

Call = Literal["emergency", "prompt", "routine"]
ConclusionKind = Literal["cause", "pattern", "trait", "mechanism"]
ActionKind = Literal["call", "riding", "tack", "rider", "feet_and_teeth", "bodywork", "exercise", "look", "recheck"]
Status = Literal["sketch", "in trial", "agreed", "retired"]
Sure = Literal["high", "medium", "low"]
Condition = dict[str, Any]
FORBID = {"extra": "forbid"}


@frozen(kw_only=True)
class Reviewed:
    """Who last read the page through, and when."""

    __pydantic_config__ = FORBID
    by: str
    date: str
    line: int = 0


@frozen(kw_only=True)
class Example:
    """A case the page must answer: what was recorded, what is expected, and what brings that about."""

    __pydantic_config__ = FORBID
    name: str
    recorded: Any
    expect: Any
    thanks_to: tuple[str, ...] = ()
    stopped_by: tuple[str, ...] = ()
    waiting_on: tuple[str, ...] = ()
    because: str = ""
    line: int = 0


@frozen(kw_only=True)
class Waiver:
    """Leave to break one rule of good writing, named by its code: why, and since when."""

    __pydantic_config__ = FORBID
    code: str
    because: str
    date: str
    line: int = 0


@frozen(kw_only=True)
class Evidence:
    """One rule: a premise, which way and how strongly it points, why, and on what it rests."""

    __pydantic_config__ = FORBID
    rule: str
    when: Condition
    because: str
    basis: str | tuple[str, ...]
    points: str | None = None
    against: str | None = None
    group: str = ""
    only_if: Condition | None = None
    sure: Sure = "medium"
    waiver: str | Waiver = ""
    line: int = 0


@frozen(kw_only=True)
class Conclusion:
    """A page for one conclusion of kind cause, pattern, trait or mechanism."""

    __pydantic_config__ = FORBID
    id: str
    says: str
    kind: ConclusionKind
    sides: Literal["each", "none"]
    status: Status
    evidence: tuple[Evidence, ...]
    can_mislead: str
    lesson: str
    examples: tuple[Example, ...]
    plain: str = ""
    accounts_for: tuple[dict[str, Any], ...] = ()
    leads_to: tuple[dict[str, Any], ...] = ()
    replaced_by: str = ""
    reviewed: Reviewed | None = None
    file: str = ""
    line: int = 0


@frozen(kw_only=True)
class Sign:
    """One crisp sign that raises a concern."""

    __pydantic_config__ = FORBID
    sign: str
    when: Condition
    because: str
    basis: str | tuple[str, ...]
    sure: Sure = "medium"
    line: int = 0


@frozen(kw_only=True)
class Concern:
    """A reason to call the veterinarian: when to call, what it stops, what to do while waiting.

    `for_each` is "place", "spinous_space", or a group or region of places. `yields_to` names more pressing pages on the
    same finding: while one of them stands, for the same side and place, this one is told with it and not beside it.
    `riding_says` answers "may it be ridden?" where no veterinarian's word makes it a horse to ride.
    """

    __pydantic_config__ = FORBID
    id: str
    says: str
    kind: Literal["concern"]
    call: Call
    stops: tuple[str, ...]
    status: Status
    signs: tuple[Sign, ...]
    while_you_wait: tuple[str, ...]
    can_mislead: str
    lesson: str
    examples: tuple[Example, ...]
    plain: str = ""
    sides: Literal["each", "none"] = "none"
    for_each: str = ""
    yields_to: tuple[str, ...] = ()
    tell_the_vet: tuple[str, ...] = ()
    family: str = ""
    riding_says: str = ""
    replaced_by: str = ""
    reviewed: Reviewed | None = None
    file: str = ""
    line: int = 0


@frozen(kw_only=True)
class Need:
    """Something an action may only follow; `otherwise` is the sentence that stands in its place."""

    __pydantic_config__ = FORBID
    need: Condition
    otherwise: str
    line: int = 0


@frozen(kw_only=True)
class Forbid:
    """Something that forbids an action, with the sentence why."""

    __pydantic_config__ = FORBID
    when: Condition
    because: str
    line: int = 0


@frozen(kw_only=True)
class Expectation:
    """What an action is expected to change: the place and side, to which soreness (0-10), within how many days."""

    __pydantic_config__ = FORBID
    place: str
    to: float
    by_days: int
    side: str = ""
    line: int = 0


@frozen(kw_only=True)
class LooksFor:
    """What an action is expected to change that is seen and not felt: an entry, its side, the readings (`to`) hoped for, within
    how many days. A word has no points, so nothing is said of how much."""

    __pydantic_config__ = FORBID
    entry: str
    to: str | tuple[str, ...]
    by_days: int
    side: str = ""
    line: int = 0


@frozen(kw_only=True)
class OwnerTask:
    """What the owner is asked to do, and when to stop and whom to ring."""

    __pydantic_config__ = FORBID
    says: str
    stop_and_ring_me_if: str
    ring_the_vet_if: str
    line: int = 0


@frozen(kw_only=True)
class ToldWith:
    """The action this one is told with while both stand, and what it adds there: a sentence for everybody, more of the
    dose, more for the owner to do. What is left empty adds nothing."""

    __pydantic_config__ = FORBID
    step: str
    adds: str
    to_the_dose: str = ""
    to_the_task: str = ""
    line: int = 0


@frozen(kw_only=True)
class ToldTo:
    """What somebody who reads a report of their own (a saddle fitter, a farrier) is asked, said to that person."""

    __pydantic_config__ = FORBID
    reader: str
    says: str
    asks: str = ""
    line: int = 0


@frozen(kw_only=True)
class Action:
    """A page for one action of the plan.

    `one_at_a_time` are words shared by actions of which one is done in a day. `yields_to` names the actions that say the
    same thing and say more: while one of them stands, this one is told with it and not beside it.
    """

    __pydantic_config__ = FORBID
    id: str
    says: str
    kind: ActionKind
    status: Status
    wanted_by: tuple[Condition, ...]
    because: str
    basis: str | tuple[str, ...]
    lesson: str
    can_mislead: str
    examples: tuple[Example, ...]
    plain: str = ""
    sides: Literal["each", "none"] = "none"
    only_after: tuple[Need, ...] = ()
    forbidden_by: tuple[Forbid, ...] = ()
    stopped_by: tuple[str, ...] | None = None
    works_on: tuple[dict[str, Any], ...] = ()
    one_at_a_time: str | tuple[str, ...] = ()
    yields_to: tuple[ToldWith, ...] = ()
    told_to: tuple[ToldTo, ...] = ()
    rank: int = 50
    riding: Literal["", "as usual", "lightly", "not in this saddle", "led, not ridden"] = ""
    dose: str = ""
    calculation: Literal["", "shim", "stirrups", "load", "tracing"] = ""
    sure: Sure = "medium"
    expects: tuple[Expectation, ...] = ()
    looks_for: tuple[LooksFor, ...] = ()
    recheck_days: int | None = None
    owner_task: OwnerTask | None = None
    replaced_by: str = ""
    reviewed: Reviewed | None = None
    file: str = ""
    line: int = 0


@frozen(kw_only=True)
class Circumstance:
    """What changes how far a reading may be trusted: it lessens soreness (support) or quiet (opposition)."""

    __pydantic_config__ = FORBID
    id: str
    says: str
    when: Condition
    lessens: Literal["soreness", "quiet"]
    of: str | tuple[str, ...]
    by: float
    because: str
    basis: str | tuple[str, ...]
    lesson: str
    for_each: Literal["", "place"] = ""
    status: Status = "in trial"
    sure: Sure = "medium"
    can_mislead: str = ""
    examples: tuple[Example, ...] = ()
    reviewed: Reviewed | None = None
    file: str = ""
    line: int = 0


@frozen(kw_only=True)
class Source:
    """A publication a rule rests on: what it is, how it was seen, how far it is trusted and why."""

    __pydantic_config__ = FORBID
    id: str
    authors: str
    title: str
    where: str
    seen: str
    trust: Sure
    why: str
    used_for: str
    year: str = ""
    doi: str = ""
    file: str = ""
    line: int = 0


Page = Conclusion | Concern | Action | Circumstance | Source


def waives(rule: Evidence, code: str) -> bool:
    """Whether a rule has leave to break the rule of good writing of this code. A bare reason stands for RB31."""
    if isinstance(rule.waiver, Waiver):
        return rule.waiver.code == code
    return bool(rule.waiver.strip()) and code == "RB31"


def bases(basis: str | tuple[str, ...]) -> tuple[str, ...]:
    """A basis as a tuple, however it was written."""
    return words_of(basis)


def words_of(written: str | tuple[str, ...]) -> tuple[str, ...]:
    """One word or a list of words, as a tuple.

    >>> words_of("tack"), words_of(("tack", "rider or saddle"))
    (('tack',), ('tack', 'rider or saddle'))
    """
    return (written,) if isinstance(written, str) else tuple(written)
