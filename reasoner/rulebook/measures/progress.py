"""The table behind progress: what counts as a change, what makes two visits unlike, what takes a cause away, what stays.

In: rules/measures/progress.yaml. Out: `Progress` and its parts, frozen.
Not here: the figures, comparing anything.
"""

from __future__ import annotations

from reasoner.frozen import frozen

_STRICT = {"extra": "forbid"}
Basis = str | tuple[str, ...]


@frozen(kw_only=True)
class BetterOrWorse:
    """A difference counts once it is larger than `beyond` standard deviations of the difference of two visits."""

    __pydantic_config__ = _STRICT
    beyond: float
    basis: Basis


@frozen(kw_only=True)
class Sign:
    """An entry that, with one of these `words`, makes a visit unlike others; `says` is told of that day."""

    __pydantic_config__ = _STRICT
    entry: str
    words: tuple[str, ...]
    says: str


@frozen(kw_only=True)
class Unlike:
    """What makes readings of two visits unlike each other, whatever the places say."""

    __pydantic_config__ = _STRICT
    signs: tuple[Sign, ...]
    basis: Basis


@frozen(kw_only=True)
class Remedies:
    """The kinds of step that take a cause away, or try to; what came of one is told of its cause for `holds_days` days."""

    __pydantic_config__ = _STRICT
    kinds: tuple[str, ...]
    holds_days: int
    basis: Basis


@frozen(kw_only=True)
class Relapses:
    """Places that came down after a remedy and were worse again are counted over the last `within_days` days."""

    __pydantic_config__ = _STRICT
    within_days: int
    basis: Basis


@frozen(kw_only=True)
class DoneBefore:
    """The kinds of step that stand `behind` the others of their kind where they were done and changed nothing."""

    __pydantic_config__ = _STRICT
    behind: tuple[str, ...]
    basis: Basis


@frozen(kw_only=True)
class LookedAt:
    """A visit up to `within_days` days after the day set still tells what came of an expectation; a later one does not."""

    __pydantic_config__ = _STRICT
    within_days: int
    basis: Basis


@frozen(kw_only=True)
class InPart:
    """The `answers` of an owner after which a step counts as done only in part; `says` what follows from that."""

    __pydantic_config__ = _STRICT
    answers: tuple[str, ...]
    says: str
    basis: Basis


@frozen(kw_only=True)
class Stays:
    """The entries that a new visit takes over from the last."""

    __pydantic_config__ = _STRICT
    entries: tuple[str, ...]
    basis: Basis


@frozen(kw_only=True)
class Progress:
    """How visits are laid side by side. `carried_out` are the answers of an owner after which there is something to learn,
    `in_part` those after which nothing is learnt of cause and step, and which count where a veterinarian is asked."""

    __pydantic_config__ = _STRICT
    better_or_worse: BetterOrWorse
    unlike: Unlike
    remedies: Remedies
    relapses: Relapses
    done_before: DoneBefore
    looked_at: LookedAt
    carried_out: tuple[str, ...]
    in_part: InPart
    stays: Stays
