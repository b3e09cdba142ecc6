"""The table behind tracings of the back.

In: rules/measures/tracing.yaml. Out: `Tracing` and its parts, frozen.
Not here: the figures, any geometry.
"""

from __future__ import annotations

from typing import Literal

from reasoner.frozen import frozen

Basis = str | tuple[str, ...]
Sure = Literal["high", "medium", "low"]


@frozen(kw_only=True)
class Factor:
    """How many standard errors are shown, and how far apart two readings must lie to be called different."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    value: float
    basis: Basis


@frozen(kw_only=True)
class Site:
    """A station over the back and the depths below its midline, in mm, at which the width is read.

    `narrower` is the entry that says which side is narrower here, or empty where there is none.
    """

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    station: str
    depths_mm: tuple[float, ...]
    basis: Basis
    narrower: str = ""


@frozen(kw_only=True)
class Elsewhere:
    """The depths, in mm, at a station that no site names."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    depths_mm: tuple[float, ...]
    basis: Basis


@frozen(kw_only=True)
class Between:
    """Two depths below the midline, in mm, between which a ratio or a slope is taken; upper first."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    upper_mm: float
    lower_mm: float
    basis: Basis


@frozen(kw_only=True)
class Instrument:
    """A way of measuring, and its standard errors in mm: of the line, of the mark of the midline, and of the depth."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    key: str
    called: str
    line_mm: float
    midline_mm: float
    depth_mm: float
    basis: Basis


@frozen(kw_only=True)
class Unnamed:
    """The instrument taken where a visit names none."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    key: str
    basis: Basis


@frozen(kw_only=True)
class TapedWidth:
    """The entry of a visit that holds a width taken without a tracing."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    entry: str
    station: str
    depth_mm: float
    basis: Basis


@frozen(kw_only=True)
class InPrint:
    """A published width: mean and spread (one standard deviation) in mm, of how many horses, and after what."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    station: str
    depth_mm: float
    mean_mm: float
    spread_mm: float
    horses: int
    after: str
    sure: Sure
    basis: Basis


@frozen(kw_only=True)
class ChangedAfter:
    """After how many months published work saw another shape at a station."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    station: str
    months: int
    basis: Basis


@frozen(kw_only=True)
class RatioMoves:
    """What went, in groups of horses, with a ratio that falls or rises at a station."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    station: str
    way: Literal["falls", "rises"]
    says: str
    sure: Sure
    basis: Basis


@frozen(kw_only=True)
class Caution:
    """What a tracing does not say; with a `station`, told only where that one was traced."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    key: str
    says: str
    sure: Sure
    basis: Basis
    station: str = ""


@frozen(kw_only=True)
class Tracing:
    """All figures of tracings. Lengths in mm."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    errors_shown: Factor
    least_reach_mm: Factor
    sites: tuple[Site, ...]
    elsewhere: Elsewhere
    ratio: Between
    slope: Between
    instruments: tuple[Instrument, ...]
    where_none_is_named: Unnamed
    widths: tuple[TapedWidth, ...]
    in_print: tuple[InPrint, ...]
    changed_after_months: tuple[ChangedAfter, ...]
    ratio_moves: tuple[RatioMoves, ...]
    cautions: tuple[Caution, ...]

    def site(self, station: str) -> Site:
        """The site of a station; where none is named, the depths for elsewhere."""
        for site in self.sites:
            if site.station == station:
                return site
        return Site(station=station, depths_mm=self.elsewhere.depths_mm, basis=self.elsewhere.basis)

    def instrument(self, key: str) -> Instrument:
        """The instrument of that key, or the one taken where a visit names none."""
        by_key = {one.key: one for one in self.instruments}
        return by_key.get(key) or by_key[self.where_none_is_named.key]
