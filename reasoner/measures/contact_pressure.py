"""Pressure on the back: the mean from mass and contact area, and mat readings beside published groups.

In: kilograms, cm2 and kPa, the table of pressure. Out: kPa with their error, the group a mean is like, the third that stands out.
Not here: which field of a mat was read, wording. Pressure is not pain, and nothing here is a limit.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Any, Literal

from reasoner.frozen import frozen
from reasoner.measures.uncertain import nominal
from reasoner.problems import BadInput, Problem, register
from reasoner.quantities import STANDARD_GRAVITY, unit_size
from reasoner.rulebook.measures.pressure import Group, Level, Pressure

register({"MS12": "a mass and a contact area of which no pressure can be made"})

KPA_IN_N_PER_CM2 = float(unit_size("N/cm²"))
THIRDS = ("front", "middle", "rear")
Of = Literal["mean", "most"]


@frozen(kw_only=True)
class Beside:
    """A reading beside the groups at one gait. `group` is the one it is like, None where it lies between two of them, or where it
    is like a higher group and this kind of reading told only the lowest from the rest at this gait (`higher`).

    `ratios`: how many times each group's figure it is, by the group's key. `tells_apart`: it told all groups apart at this gait.
    `passed` are the published levels it lies above.
    """

    gait: str
    of: Of
    kpa: float
    group: Group | None
    ratios: Mapping[str, float]
    tells_apart: bool
    passed: tuple[Level, ...]
    higher: bool = False


def mean_pressure_kpa(mass_kg: Any, area_cm2: Any) -> Any:
    """The mean over a whole stride, in kPa: mass x 9.80665 / area, 1 N/cm2 being 10 kPa. Errors are propagated.

    Over a whole stride the mean force is the weight (de Cocq 2010). Raises BadInput (MS12) for an area or a mass not above 0.

    >>> round(mean_pressure_kpa(60.0, 1000.0), 2), round(mean_pressure_kpa(75.0, 500.0), 2)
    (5.88, 14.71)
    """
    mass, area = nominal(mass_kg), nominal(area_cm2)
    if not (area > 0 and mass > 0):
        what = f"{mass:g} kg on {area:g} cm² were read; both are above 0."
        raise BadInput([Problem("mat", 0, "MS12", what, "Write what the scale and the mat said.")])
    return mass_kg * float(STANDARD_GRAVITY) / area_cm2 * KPA_IN_N_PER_CM2


def beside(kpa: float, of: Of, gait: str, table: Pressure) -> Beside:
    """A mat reading (kPa, above 0) at a gait beside the published groups and levels.

    Steps from one group's figure to the next are measured in ratio. The middle part of a step (`belongs_to_neither`) is like
    neither group, the part before it like the lower one and the part after it like the higher one. Below the lowest group it is
    like that one, above the highest like that one.

    INVARIANT: a greater reading is never like a group with less pressure.
    """
    figures = [(one.mean_kpa if of == "mean" else one.most_kpa)[gait] for one in table.groups]
    apart = gait in (table.mean_tells_apart if of == "mean" else table.most_tells_apart).gaits
    group = _like(kpa, figures if apart else figures[:2], table)
    higher = not apart and group is not None and group is not table.groups[0]
    return Beside(
        gait=gait, of=of, kpa=kpa, group=None if higher else group, higher=higher,
        ratios={one.key: kpa / figure for one, figure in zip(table.groups, figures, strict=True)},
        tells_apart=apart, passed=tuple(one for one in table.levels if one.of == of and kpa > one.kpa),
    )  # fmt: skip


def _like(kpa: float, figures: list[float], table: Pressure) -> Group | None:
    part = (1 - table.belongs_to_neither.value) / 2
    for at, (low, high) in enumerate(pairwise(figures)):
        step = math.log(kpa / low) / math.log(high / low)
        if step <= part:
            return table.groups[at]
        if step < 1 - part:
            return None
    return table.groups[len(figures) - 1]


def together(each: tuple[Beside, ...], table: Pressure) -> str:
    """The reading of all gaits together: the group all of them are like, or that of none."""
    groups = {one.group.key if one.group else table.between for one in each}
    return groups.pop() if len(groups) == 1 else table.between


def stands_out(thirds: Mapping[str, float], by_percent: float) -> str:
    """The third ("front", "middle", "rear") whose mean is higher than each of the others' by this much or more; empty if none is.

    >>> stands_out({"front": 5.0, "middle": 5.2, "rear": 6.8}, 25), stands_out({"front": 5.0, "middle": 6.0, "rear": 6.8}, 25)
    ('rear', '')
    """
    most = max(THIRDS, key=lambda third: thirds[third])
    others = max(thirds[third] for third in THIRDS if third != most)
    return most if thirds[most] >= others * (1 + by_percent / 100) else ""
