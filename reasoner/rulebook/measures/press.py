"""The table behind practice with a floor scale: when there is enough, the figure of the trade with its caution.

In: rules/measures/press.yaml. Out: `PressTable` and its parts, frozen.
Not here: the figures, working anything out.
"""

from __future__ import annotations

from reasoner.frozen import frozen

_STRICT = {"extra": "forbid"}
Basis = str | tuple[str, ...]


@frozen(kw_only=True)
class Pushes:
    """At least so many pushes."""

    __pydantic_config__ = _STRICT
    pushes: int
    basis: Basis


@frozen(kw_only=True)
class Enough:
    """When there is enough for a spread, and for a drift."""

    __pydantic_config__ = _STRICT
    spread: Pushes
    drift: Pushes


@frozen(kw_only=True)
class Interval:
    """An interval holds `share` (0 to 1)."""

    __pydantic_config__ = _STRICT
    share: float
    basis: Basis


@frozen(kw_only=True)
class FloorScale:
    """What the trade says a strong push reads, in kg and in words. INVARIANT: shown nowhere without `caution` beside it."""

    __pydantic_config__ = _STRICT
    about_kg: float
    says: str
    caution: str
    basis: Basis


@frozen(kw_only=True)
class Says:
    """A sentence and what it rests on."""

    __pydantic_config__ = _STRICT
    says: str
    basis: Basis


@frozen(kw_only=True)
class Cautions:
    """Sentences shown with every answer about pressing on a scale."""

    __pydantic_config__ = _STRICT
    lines: tuple[str, ...]
    basis: Basis


@frozen(kw_only=True)
class PressTable:
    """Everything practice with a floor scale reads."""

    __pydantic_config__ = _STRICT
    enough: Enough
    interval: Interval
    floor_scale: FloorScale
    bands_published: Says
    cautions: Cautions
