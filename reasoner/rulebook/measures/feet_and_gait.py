"""The table behind slopes of the fore feet and the numbers of gait systems, lists and veterinarians.

In: nothing; filled from rules/measures/feet_and_gait.yaml. Out: `FeetAndGait`.
Not here: the figures (they are data), the scales of grades (rules/vocabulary/grades.yaml), the formulas (measures/).
"""

from __future__ import annotations

from reasoner.frozen import frozen
from reasoner.rulebook.measures.sides import Basis, Said


@frozen(kw_only=True)
class Classes:
    """From which difference a pair counts as uneven, and between which slopes a foot is medium, in degrees."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    uneven_above_deg: float
    flat_below_deg: float
    upright_above_deg: float
    says: str
    basis: Basis


@frozen(kw_only=True)
class AngleError:
    """How far one slope may be off either way, in degrees, read as `wide` standard deviations."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    deg: float
    wide: float
    basis: Basis


@frozen(kw_only=True)
class Repeats:
    """The spread of one measurement after another in the same horse, in mm, by the key of the entry."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    head_min_mm: float
    head_max_mm: float
    withers_min_mm: float
    withers_max_mm: float
    pelvis_min_mm: float
    pelvis_max_mm: float
    says: str
    basis: Basis


@frozen(kw_only=True)
class Screening:
    """Limits of sensors in mm, shown with their remark and read by no rule."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    head_mm: float
    pelvis_mm: float
    says: str
    basis: Basis


@frozen(kw_only=True)
class OwnersLevel:
    """How many riding horses thought level by their owners passed a limit."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    horses: int
    passed: int
    says: str
    basis: Basis


@frozen(kw_only=True)
class Face:
    """The parts of the face that are scored, and the most that each may have."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    units: tuple[str, ...]
    most_each: int
    says: str
    basis: Basis


@frozen(kw_only=True)
class RiddenSigns:
    """How many behaviours under the rider are on the list, and from how many on a veterinarian is called."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    items: int
    called_from: int
    says: str
    basis: Basis


@frozen(kw_only=True)
class FeetAndGait:
    """The whole table."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    classes: Classes
    angle_error: AngleError
    angle_cautions: tuple[str, ...]
    repeats: Repeats
    screening: Screening
    owners_level: OwnersLevel
    withers: Said
    face: Face
    ridden_signs: RiddenSigns
    grades: Said
    gait_cautions: tuple[str, ...]
