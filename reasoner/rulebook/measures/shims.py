"""The figures behind shims and the roll of a saddle: the shape of rules/measures/shims.yaml.

In: nothing, `fill` makes it from the file. Out: `Shims`.
Not here: the figures, the geometry (measures/roll.py, measures/shim.py).
"""

from __future__ import annotations

from collections.abc import Mapping

from reasoner.frozen import frozen

Basis = str | tuple[str, ...]


@frozen(kw_only=True)
class ReadingError:
    """Standard deviations of one reading, each in the unit of its name."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    off_mm: float
    roll_deg: float
    height_mm: float
    apart_mm: float
    bars_mm: float
    radius_mm: float
    tracing_mm: float
    thickness_mm: float
    mass_kg: float
    mass_height_mm: float
    basis: Basis


@frozen(kw_only=True)
class ClearFrom:
    """From how many standard deviations on something is a side and not the middle."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    times: float
    basis: Basis


@frozen(kw_only=True)
class Possible:
    """The steepest roll anything is worked out from."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    roll_deg: float
    basis: Basis


@frozen(kw_only=True)
class RadiusFrom:
    """The sections of the back whose tracing may give the radius, first to last."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    stations: tuple[str, ...]
    basis: Basis


@frozen(kw_only=True)
class CommonFigure:
    """The thickness the trade names, before anybody sits on it."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    thickness_mm: float
    basis: Basis


@frozen(kw_only=True)
class PressedAway:
    """The share of a soft shim's thickness that is gone under the rider, in percent."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    percent: float
    basis: Basis


@frozen(kw_only=True)
class Most:
    """The thickest shim, and the most roll, that is answered with a shim."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    thickness_mm: float
    roll_deg: float
    basis: Basis


@frozen(kw_only=True)
class ThicknessFor:
    """The saddle types (readings of the vocabulary) that get a thickness, and what is said of the others."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    types: tuple[str, ...]
    otherwise: str
    basis: Basis


@frozen(kw_only=True)
class Warned:
    """One thing that stands beside every thickness."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    says: str
    basis: Basis


@frozen(kw_only=True)
class Pace:
    """Mean pressure in front at one pace, shimmed and under a saddle of the right width, with standard deviations."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    shimmed_kpa: float
    shimmed_sd_kpa: float
    right_width_kpa: float
    right_width_sd_kpa: float


@frozen(kw_only=True)
class FrontPressure:
    """What shims under a wide saddle did to the front of it, by pace."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    paces: Mapping[str, Pace]
    basis: Basis


@frozen(kw_only=True)
class Shims:
    """rules/measures/shims.yaml."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    reading_error: ReadingError
    clear_from: ClearFrom
    possible: Possible
    radius_from: RadiusFrom
    common_figure: CommonFigure
    pressed_away: PressedAway
    most: Most
    thickness_for: ThicknessFor
    warnings: tuple[Warned, ...]
    front_pressure: FrontPressure
