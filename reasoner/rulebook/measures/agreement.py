"""The table behind agreement of hands: when there is enough, how intervals are made, what published work calls a number.

In: rules/measures/agreement.yaml. Out: `AgreementTable` and its parts, frozen.
Not here: the figures, working anything out.
"""

from __future__ import annotations

from typing import Literal

from reasoner.frozen import frozen

_STRICT = {"extra": "forbid"}
Basis = str | tuple[str, ...]


@frozen(kw_only=True)
class Readings:
    """At least so many places graded by both; `graders` where the source names that too."""

    __pydantic_config__ = _STRICT
    readings: int
    basis: Basis
    graders: int = 2


@frozen(kw_only=True)
class Pairs:
    """At least so many pairs of visits."""

    __pydantic_config__ = _STRICT
    pairs: int
    basis: Basis


@frozen(kw_only=True)
class Enough:
    """When there is enough: `statistics` for any number at all, `firm` by the published rule of thumb, `resampling` for drawing
    whole visits again, `own_noise` and `own_shared` for an examiner's own error of reading."""

    __pydantic_config__ = _STRICT
    statistics: Readings
    firm: Readings
    resampling: Pairs
    own_noise: Readings
    own_shared: Pairs


@frozen(kw_only=True)
class Blind:
    """A visit graded blind opens after `opens_after_hours`, though the other hand's never came."""

    __pydantic_config__ = _STRICT
    opens_after_hours: float
    basis: Basis


@frozen(kw_only=True)
class Sides:
    """It is asked whether left was written for right where `places` or more have a sorer side in both files, and exchanged sides
    would lie no further apart than `share` of what they do (0 to 1)."""

    __pydantic_config__ = _STRICT
    places: int
    share: float
    basis: Basis


@frozen(kw_only=True)
class Interval:
    """An interval holds `share` (0 to 1); where it is made by drawing again, from `draws` draws."""

    __pydantic_config__ = _STRICT
    share: float
    draws: int
    basis: Basis


@frozen(kw_only=True)
class Near:
    """Readings no further apart than `points` are counted as near."""

    __pydantic_config__ = _STRICT
    points: float
    basis: Basis


@frozen(kw_only=True)
class Limits:
    """Limits of agreement lie `times` standard deviations either way of the mean difference."""

    __pydantic_config__ = _STRICT
    times: float
    basis: Basis


@frozen(kw_only=True)
class Says:
    """A sentence and what it rests on."""

    __pydantic_config__ = _STRICT
    says: str
    basis: Basis


@frozen(kw_only=True)
class Forms:
    """Which form of each statistic, and why: `icc_two` for two examiners, `icc_one` for one examiner twice; `words` for a word
    that was written or not, `share` for how often two say the same."""

    __pydantic_config__ = _STRICT
    kappa: Says
    icc_two: Says
    icc_one: Says
    words: Says
    share: Says


@frozen(kw_only=True)
class Step:
    """A word that holds from a value on; with `above` only above it."""

    __pydantic_config__ = _STRICT
    says: str
    at: float
    above: bool = False


@frozen(kw_only=True)
class Bands:
    """The words one source has for one statistic, from low to high."""

    __pydantic_config__ = _STRICT
    of: Literal["kappa", "icc"]
    basis: Basis
    steps: tuple[Step, ...]

    def word(self, value: float) -> str:
        """The word for a value from -1 to 1."""
        found = self.steps[0].says
        for step in self.steps:
            if value > step.at or (value == step.at and not step.above):
                found = step.says
        return found


@frozen(kw_only=True)
class AgreementTable:
    """Everything the comparison of two hands reads."""

    __pydantic_config__ = _STRICT
    enough: Enough
    blind: Blind
    interval: Interval
    near: Near
    limits: Limits
    forms: Forms
    bands: tuple[Bands, ...]
    differing: Says
    published_hands: Says
    sides: Sides | None = None  # a practice's own table may have been written before it was asked
