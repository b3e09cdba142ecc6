"""The figures behind two stirrups: the shape of rules/measures/stirrups.yaml.

In: nothing, `fill` makes it from the file. Out: `Stirrups`.
Not here: the figures, the arithmetic (measures/stirrup.py).
"""

from __future__ import annotations

from reasoner.frozen import frozen
from reasoner.rulebook.measures.shims import Basis, ClearFrom


@frozen(kw_only=True)
class LengthError:
    """The standard deviation of one length, bar to tread."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    length_mm: float
    basis: Basis


@frozen(kw_only=True)
class Holes:
    """How far two holes of a leather lie apart where nobody measured it."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    spacing_mm: float
    basis: Basis


@frozen(kw_only=True)
class View:
    """What one school says a shorter stirrup does; {side} is the shorter side."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    of: str
    says: str
    basis: Basis


@frozen(kw_only=True)
class Stirrups:
    """rules/measures/stirrups.yaml."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    reading_error: LengthError
    clear_from: ClearFrom
    holes: Holes
    views: tuple[View, ...]
