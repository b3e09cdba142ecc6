"""The table behind body weight, load and the rider's force.

In: rules/measures/load.yaml. Out: `Load` and its parts, frozen.
Not here: the figures, any arithmetic.
"""

from __future__ import annotations

from typing import Literal

from reasoner.frozen import frozen

Basis = str | tuple[str, ...]
Units = Literal["cm_kg", "in_lb"]
Counts = Literal["rider", "rider_and_tack", "not_noted"]
_STRICT = {"extra": "forbid"}


@frozen(kw_only=True)
class Figure:
    """One number and what it rests on; its unit stands in the name of the field that holds it."""

    __pydantic_config__ = _STRICT
    value: float
    basis: Basis


@frozen(kw_only=True)
class Way:
    """A formula for weight: girth x girth x length / `divisor`, and `plus_lb` pounds more.

    `points` is the reading of the measuring points it was made for; `error_percent` one standard error of one horse.
    """

    __pydantic_config__ = _STRICT
    key: str
    called: str
    points: str
    units: Units
    divisor: float
    error_percent: float
    sure: str
    says: str
    basis: Basis
    plus_lb: float = 0.0


@frozen(kw_only=True)
class Printed:
    """The same formula with a divisor printed elsewhere."""

    __pydantic_config__ = _STRICT
    called: str
    units: Units
    divisor: float
    sure: str
    basis: Basis


@frozen(kw_only=True)
class HorseClass:
    """Which horses a way is for; `way` is empty where no formula is in print. Limits left out do not narrow it."""

    __pydantic_config__ = _STRICT
    key: str
    called: str
    way: str
    says: str
    basis: Basis
    age_below_days: float | None = None
    height_below_mm: float | None = None
    types: tuple[str, ...] = ()


@frozen(kw_only=True)
class Caution:
    """A sentence that travels with a number."""

    __pydantic_config__ = _STRICT
    says: str
    basis: Basis


@frozen(kw_only=True)
class Tape:
    """Weight from a tape. Errors are one standard error; the ratios and weights are what no horse passes."""

    __pydantic_config__ = _STRICT
    explained: Figure
    girth_error_mm: Figure
    length_error_mm: Figure
    length_for_girth_least: Figure
    length_for_girth_most: Figure
    least_kg: Figure
    most_kg: Figure
    ways: tuple[Way, ...]
    printed_otherwise: tuple[Printed, ...]
    classes: tuple[HorseClass, ...]
    cautions: tuple[Caution, ...]


@frozen(kw_only=True)
class Weighed:
    """How a weight was come by (the reading, or empty where that is not written), and one standard error."""

    __pydantic_config__ = _STRICT
    how: str
    called: str
    error_percent: float
    basis: Basis


@frozen(kw_only=True)
class ScaleErrors:
    """One standard error of a household scale, in kilograms."""

    __pydantic_config__ = _STRICT
    rider_error_kg: Figure
    tack_error_kg: Figure
    extra_error_kg: Figure


@frozen(kw_only=True)
class Band:
    """A reading of the entry `load`: shares below one edge, or up to it and including it; the last has neither."""

    __pydantic_config__ = _STRICT
    reading: str
    basis: Basis
    below_percent: float | None = None
    up_to_percent: float | None = None


@frozen(kw_only=True)
class Tried:
    """A load, or a stretch of loads, that was tried (percent of body weight), and what came of it.

    `trouble`: worse answers to the work, stopped tests or a warning belong to it, as the study tells it.
    """

    __pydantic_config__ = _STRICT
    from_percent: float
    to_percent: float
    trouble: bool
    tells: str
    middle_percent: float | None = None
    spread_percent: float | None = None


@frozen(kw_only=True)
class Study:
    """One piece of work. `besides` is a sentence on all its loads together; `no_leave`: its figures are not to be carried over to
    other horses; `opinion`: nothing was measured."""

    __pydantic_config__ = _STRICT
    key: str
    called: str
    horses: str
    work: str
    counts: Counts
    sure: str
    basis: str
    bars: tuple[Tried, ...]
    besides: str = ""
    no_leave: bool = False
    opinion: bool = False


@frozen(kw_only=True)
class Force:
    """A published force: in multiples of the rider's weight, in N for each kg of rider, or in N as measured."""

    __pydantic_config__ = _STRICT
    gait: Literal["walk", "trot", "canter"]
    what: str
    per: Literal["times", "n_per_kg", "n"]
    value: float
    sure: str
    basis: str
    seat: Literal["", "sitting", "rising"] = ""
    spread: float | None = None


@frozen(kw_only=True)
class Load:
    """Everything of this topic. `errors_shown`: how many standard errors wide an error is told."""

    __pydantic_config__ = _STRICT
    errors_shown: Figure
    tape: Tape
    horse_weighed: tuple[Weighed, ...]
    scales: ScaleErrors
    bands: tuple[Band, ...]
    studies: tuple[Study, ...]
    cautions: tuple[Caution, ...]
    forces: tuple[Force, ...]
    force_cautions: tuple[Caution, ...]
