"""Mat readings and contact area of a visit, and the entries that follow.

In: a visit and the table of pressure. Out: `Mat`, and the entries `pressure_at_the_withers` and `heaviest_third` as `Noted`.
Not here: the arithmetic (measures/), what a pressure means (pages), sentences about it (rendering).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any, cast

from reasoner.facts.measured_load import weights_of
from reasoner.frozen import frozen
from reasoner.measures.contact_pressure import THIRDS, Beside, Of, beside, mean_pressure_kpa, stands_out, together
from reasoner.rulebook.measures.pressure import Pressure
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Noted, Visit

TABLE = "pressure"
GAITS = ("walk", "trot", "canter")
AREA = "contact_area"
WITHERS, HEAVIEST = "pressure_at_the_withers", "heaviest_third"
_FIELDS: tuple[tuple[str, Of], ...] = (("withers_mean", "mean"), ("withers_most", "most"))


@frozen(kw_only=True)
class Mat:
    """What was measured of pressure. `means` and `mosts` stand beside the groups, gait by gait; `thirds` are kPa by gait and
    third, for the gaits at which all three were written, and `out` the third that stands out at each (or empty).

    `slips` are sentences, one for each gait whose mean was written above its greatest: neither of the two is used.
    `mean_kpa` follows from `mass_kg` on `area_cm2` (with their errors); None where one of them is missing. `with_tack`: the mass
    is rider, tack and extra, else the rider alone.
    """

    table: Pressure
    means: tuple[Beside, ...]
    mosts: tuple[Beside, ...]
    thirds: Mapping[str, Mapping[str, float]]
    out: Mapping[str, str]
    slips: tuple[str, ...] = ()
    area_cm2: Any = None
    mass_kg: Any = None
    with_tack: bool = False
    mean_kpa: Any = None


def table_of(book: Rulebook) -> Pressure:
    """The table of this topic. Raises KeyError where the rulebook has none."""
    return cast(Pressure, book.measures[TABLE])


def mat_of(visit: Visit, book: Rulebook) -> Mat:
    """Every pressure of a visit."""
    table = table_of(book)
    numbers = {n.key: float(n.value) for n in visit.noted if n.side is None and isinstance(n.value, Decimal)}
    slips = tuple(_slips(numbers))
    found: dict[Of, tuple[Beside, ...]] = {
        of: tuple(beside(numbers[key], of, gait, table) for gait in GAITS if (key := f"{field}_{gait}") in numbers)
        for field, of in _FIELDS
    }
    thirds = {}
    for gait in GAITS:
        here = {third: numbers[key] for third in THIRDS if (key := f"{third}_third_{gait}") in numbers}
        if len(here) == len(THIRDS):
            thirds[gait] = here
    out = {gait: stands_out(here, table.stands_out_by_percent.value) for gait, here in thirds.items()}
    area, mass, with_tack = _area_and_mass(visit, numbers, table, book)
    mean = None if area is None or mass is None else mean_pressure_kpa(mass, area)
    return Mat(
        table=table, means=found["mean"], mosts=found["most"], thirds=thirds, out=out, slips=slips,
        area_cm2=area, mass_kg=mass, with_tack=with_tack, mean_kpa=mean,
    )  # fmt: skip


def worked_out(visit: Visit, book: Rulebook) -> Iterator[Noted]:
    """The group that the means at the withers are like, and the third that stands out: each at every gait measured."""
    mat = mat_of(visit, book)
    if mat.means:
        at = ", ".join(f"{one.gait} {one.kpa:g} kPa" for one in mat.means)
        reading = together(mat.means, mat.table)
        yield Noted(
            key=WITHERS, value=reading, line=_line(visit, f"withers_mean_{mat.means[0].gait}"),
            written=f"{reading.replace('_', ' ')} (mean at the withers: {at})",
        )  # fmt: skip
    if mat.thirds:
        reading = heaviest(mat)
        at = "; ".join(
            f"{gait} {', '.join(f'{t} {kpa:g}' for t, kpa in here.items())} kPa" for gait, here in mat.thirds.items()
        )
        yield Noted(
            key=HEAVIEST, value=reading, line=_line(visit, f"front_third_{next(iter(mat.thirds))}"),
            written=f"{reading.replace('_', ' ')} ({at})",
        )  # fmt: skip


def heaviest(mat: Mat) -> str:
    """The reading of the third that stands out at every gait measured, or that of none."""
    words, found = mat.table.heaviest, set(mat.out.values())
    if len(found) != 1:
        return words.none
    return {"front": words.front, "middle": words.middle, "rear": words.rear}.get(found.pop(), words.none)


def _slips(numbers: dict[str, float]) -> Iterator[str]:
    """What no mat shows, told; the readings of such a gait are taken out of `numbers`, for nobody knows which one is wrong."""
    for gait in GAITS:
        mean, most = (f"{field}_{gait}" for field, _ in _FIELDS)
        if mean in numbers and most in numbers and numbers[mean] > numbers[most]:
            yield (
                f"At {gait} a mean of {numbers.pop(mean):g} kPa and a greatest of {numbers.pop(most):g} kPa at the withers were "
                "read; a mean is never above the greatest. Neither is used; see whether the two were changed over."
            )


def _area_and_mass(
    visit: Visit, numbers: Mapping[str, float], table: Pressure, book: Rulebook
) -> tuple[Any, Any, bool]:  # fmt: skip
    if AREA not in numbers:
        return None, None, False
    from uncertainties import ufloat

    area = ufloat(numbers[AREA], numbers[AREA] * table.area_error_percent.value / 100)
    weights = weights_of(visit, book)
    if weights.carried is not None:
        return area, weights.carried, True
    return area, weights.rider, False


def _line(visit: Visit, key: str) -> int:
    return next(noted.line for noted in visit.noted if noted.key == key)
