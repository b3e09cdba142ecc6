"""The table behind left and right: the symmetry index, gauge and tape readings, the hand on a scale.

In: nothing; filled from rules/measures/sides.yaml. Out: `Sides`.
Not here: the figures (they are data), the formulas (measures/).
"""

from __future__ import annotations

from reasoner.frozen import frozen

Basis = str | tuple[str, ...]


@frozen(kw_only=True)
class Errors:
    """How far readings may be off either way where nobody says better; `wide` is how many standard deviations that is."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    wide: float
    gauge_percent: float
    hand_percent: float
    tape_mm: float
    basis: Basis


@frozen(kw_only=True)
class Index:
    """The symmetry index in words: its formula, what its sign means, what it is for."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    formula: str
    sign: str
    kept_for: str
    basis: Basis


@frozen(kw_only=True)
class Cut:
    """A cut in percent that is often quoted, and why it is not used."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    percent: float
    says: str
    basis: Basis


@frozen(kw_only=True)
class Gauge:
    """The tip that most work used, in cm2, and what tips do to a reading."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    usual_tip_cm2: float
    lower_means: str
    tips_say: str
    basis: Basis


@frozen(kw_only=True)
class Said:
    """A sentence and what it rests on."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    says: str
    basis: Basis


@frozen(kw_only=True)
class Repeats:
    """How many presses on one spot are enough."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    most: int
    says: str
    basis: Basis


@frozen(kw_only=True)
class Group:
    """Mean and spread of a published group at one place, in kg/cm2; `place` is the key of the entry it stands beside."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    place: str
    who: str
    mean_kg_cm2: float
    sd_kg_cm2: float
    basis: Basis


@frozen(kw_only=True)
class Thumb:
    """How hard a doctor's thumb presses on people, in kg."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    thumb_kg: float
    says: str
    basis: Basis


@frozen(kw_only=True)
class TwoHands:
    """What a strong push of both hands shows on a scale, in kg."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    about_kg: float
    says: str
    basis: Basis


@frozen(kw_only=True)
class Sides:
    """The whole table."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    errors: Errors
    index: Index
    cut: Cut
    gauge: Gauge
    no_difference_usual: Said
    no_cut_off: Said
    repeats: Repeats
    groups: tuple[Group, ...]
    groups_say: str
    people: Thumb
    two_hands: TwoHands
    hand_cautions: tuple[str, ...]
