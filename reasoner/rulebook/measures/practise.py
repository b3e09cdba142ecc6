"""The table behind practice sessions: what an error weighs, which look is telling, when a case is harder, when it comes again.

In: rules/measures/practise.yaml. Out: `Practise` and its parts, frozen.
Not here: the figures, marking anything.
"""

from __future__ import annotations

from reasoner.frozen import frozen

_STRICT = {"extra": "forbid"}
Basis = str | tuple[str, ...]


@frozen(kw_only=True)
class Weights:
    """Points taken off a hundred for each error of a kind."""

    __pydantic_config__ = _STRICT
    referral_too_low: float
    referral_not_seen: float
    referral_too_high: float
    stopped_step: float
    cause_missed: float
    wrong_side: float
    jumped_to: float
    look_missed: float
    step_missed: float
    step_beside: float
    basis: Basis


@frozen(kw_only=True)
class Looks:
    """A look is telling in the upper `telling_share` of those that could be made; of missed ones at most `looks_counted`
    count."""

    __pydantic_config__ = _STRICT
    telling_share: float
    looks_counted: int
    basis: Basis


@frozen(kw_only=True)
class Sureness:
    """The least and the most that may be given to one cause, in percent."""

    __pydantic_config__ = _STRICT
    least_percent: int
    most_percent: int
    basis: Basis


@frozen(kw_only=True)
class Adapts:
    """After `in_a_row` sessions with at least `well` points the next is harder, after one below `poorly` easier."""

    __pydantic_config__ = _STRICT
    in_a_row: int
    well: float
    poorly: float
    basis: Basis


@frozen(kw_only=True)
class Again:
    """From which share on the right cause a case went hard, well or easily (0 to 1), and the share to be remembered."""

    __pydantic_config__ = _STRICT
    hard: float
    good: float
    easy: float
    wanted_retention: float
    basis: Basis


@frozen(kw_only=True)
class Practise:
    """How practice sessions are marked."""

    __pydantic_config__ = _STRICT
    weights: Weights
    looks: Looks
    certainty: Sureness
    adapts: Adapts
    again: Again
