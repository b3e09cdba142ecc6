"""The table behind contact pressure and pressure mats.

In: rules/measures/pressure.yaml. Out: `Pressure` and its parts, frozen.
Not here: the figures, any arithmetic.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from reasoner.frozen import frozen
from reasoner.rulebook.measures.load import Basis, Caution, Figure

_STRICT = {"extra": "forbid"}


@frozen(kw_only=True)
class Group:
    """A published group of horses: mean and greatest pressure at the withers by gait, in kPa. `key` is a reading."""

    __pydantic_config__ = _STRICT
    key: str
    called: str
    horses: int
    sure: str
    basis: str
    mean_kpa: Mapping[str, float]
    most_kpa: Mapping[str, float]


@frozen(kw_only=True)
class TellsApart:
    """The gaits at which a pressure told all groups apart."""

    __pydantic_config__ = _STRICT
    gaits: tuple[str, ...]
    basis: str


@frozen(kw_only=True)
class Level:
    """A published level for the mean or for the greatest pressure, in kPa."""

    __pydantic_config__ = _STRICT
    key: str
    of: Literal["mean", "most"]
    kpa: float
    called: str
    sure: str
    says: str
    basis: Basis


@frozen(kw_only=True)
class Third:
    """Mean pressure of one third of the saddle under one tree, in kPa."""

    __pydantic_config__ = _STRICT
    third: str
    tree: str
    walk_kpa: float
    trot_kpa: float
    sure: str
    basis: str


@frozen(kw_only=True)
class Heaviest:
    """The readings for the third that stands out."""

    __pydantic_config__ = _STRICT
    front: str
    middle: str
    rear: str
    none: str


@frozen(kw_only=True)
class Shimmed:
    """Mean pressure under the front at one gait: the saddle that suited, and a wide one with pad and shims, in kPa."""

    __pydantic_config__ = _STRICT
    gait: str
    called: str
    suited_kpa: float
    shimmed_kpa: float
    sure: str
    basis: str


@frozen(kw_only=True)
class Pressure:
    """Everything of this topic. `groups` stand in the order of their pressure; `between` is the reading for none of them."""

    __pydantic_config__ = _STRICT
    groups: tuple[Group, ...]
    between: str
    mean_tells_apart: TellsApart
    most_tells_apart: TellsApart
    belongs_to_neither: Figure
    levels: tuple[Level, ...]
    thirds: tuple[Third, ...]
    stands_out_by_percent: Figure
    heaviest: Heaviest
    shims: tuple[Shimmed, ...]
    shims_for_pad: tuple[str, ...]
    area_error_percent: Figure
    cautions: tuple[Caution, ...]
    mat_cautions: tuple[Caution, ...]
    mean_cautions: tuple[Caution, ...]
