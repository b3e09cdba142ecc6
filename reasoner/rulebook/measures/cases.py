"""The table behind practice cases: what shows when something is so, on an everyday horse, how clear a case is, and what of a
real visit is told in steps.

In: rules/measures/cases.yaml. Out: `Cases` and its parts, frozen.
Not here: making a case (teaching/), any rule; no answer about a horse depends on this table.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from reasoner.frozen import frozen

_STRICT = {"extra": "forbid"}
Basis = str | tuple[str, ...]
Of = Literal["", "this", "other", "both", "either"]


@frozen(kw_only=True)
class Sign:
    """One thing that shows: a `place` that is sore, or an `entry` with a word or so many days ago.

    `side`: on which side, seen from the side of the cause; empty on the middle line and where an entry has no sides. `word`: a
    reading, or a side seen in the same way. `seen` and `sore` are words of the scales of the table.
    """

    __pydantic_config__ = _STRICT
    place: str = ""
    entry: str = ""
    side: Of = ""
    word: str = ""
    days_ago: tuple[int, int] | None = None
    sore: str = ""
    depth: str = ""
    seen: str = ""
    basis: Basis = ()


@frozen(kw_only=True)
class Way:
    """One way in which something may show; `links`: whether what its page accounts for shows beside it."""

    __pydantic_config__ = _STRICT
    shows: tuple[Sign, ...]
    links: bool = True


@frozen(kw_only=True)
class Links:
    """How often and how sorely what a page accounts for shows, how often one thing brings the next about with it, and the
    share of soreness and chance that is left one link further on."""

    __pydantic_config__ = _STRICT
    seen: str
    sore: str
    leads: str
    fades: float
    basis: Basis


@frozen(kw_only=True)
class Spreads:
    """The muscle lines whose places answer with one another, how often and how much."""

    __pydantic_config__ = _STRICT
    groups: tuple[str, ...]
    seen: str
    sore: str
    basis: Basis


@frozen(kw_only=True)
class Quiet:
    """The middle of what a quiet place answers, in points of the scale, before the hand wavers."""

    __pydantic_config__ = _STRICT
    middle: float
    basis: Basis


@frozen(kw_only=True)
class Difficulty:
    """How clear a case is. `worst`: the range of the worst place in points; `clear`: what the chances are multiplied by;
    `left_out`: the share of looks at which nobody looked; `beside`: how many findings belong to nothing."""

    __pydantic_config__ = _STRICT
    name: str
    worst: tuple[float, float]
    clear: float
    left_out: float
    beside: int
    basis: Basis


@frozen(kw_only=True)
class Everyday:
    """What is written where nothing is amiss."""

    __pydantic_config__ = _STRICT
    shows: tuple[Sign, ...]
    basis: Basis


@frozen(kw_only=True)
class Beside:
    """What stands in a case and belongs to nothing: how sore one place is, or one of these signs."""

    __pydantic_config__ = _STRICT
    sore: str
    shows: tuple[Sign, ...]
    basis: Basis


@frozen(kw_only=True)
class GoesWith:
    """Where `where` has one of the words `has`, `then` has `word`, unless it has one of `unless`."""

    __pydantic_config__ = _STRICT
    where: str
    has: tuple[str, ...]
    then: str
    word: str
    basis: Basis
    unless: tuple[str, ...] = ()


@frozen(kw_only=True)
class FromAVisit:
    """How a real visit becomes a case: by entry, in which steps what one would be known again by is written ("5 cm")."""

    __pydantic_config__ = _STRICT
    steps: Mapping[str, str]
    basis: Basis


@frozen(kw_only=True)
class Cases:
    """How cases are made. `chances` and `soreness`: the words of `seen` and `sore` as shares; `difficulties` from the clearest
    on; `shows`: by conclusion the ways in which it may show, of which one is drawn."""

    __pydantic_config__ = _STRICT
    chances: Mapping[str, float]
    soreness: Mapping[str, float]
    links: Links
    spreads: Spreads
    quiet: Quiet
    difficulties: tuple[Difficulty, ...]
    beside: Beside
    everyday: Everyday
    goes_with: tuple[GoesWith, ...]
    shows: Mapping[str, tuple[Way, ...]]
    from_a_visit: FromAVisit | None = None  # a practice's own table may have been written before there was one
