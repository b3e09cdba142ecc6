"""What share of its own weight a horse carries, and where published work stands beside that share.

In: kilograms with their errors, the table of load. Out: shares in percent of body weight with their errors, the band, the place
of each load that was tried, kilograms to an edge. Not here: how a weight was come by, wording. No share is called too much.
"""

from __future__ import annotations

from typing import Any, Literal

from reasoner.frozen import frozen
from reasoner.measures.uncertain import error_of, nominal
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.measures.load import Band, Study, Tried

register({"MS11": "weights of which no share can be made"})

Where = Literal["below", "at", "inside", "above"]
#: Shares closer than this are the same number written in two ways.
_SAME = 1e-9


@frozen(kw_only=True)
class Placed:
    """A load that was tried, and where today's share lies: `below` it, `at` it (a single load, within the error), `inside` the
    stretch, or `above` it. `edge_near`: an end of it is within the error, so the other side of that end is possible too.
    """

    study: Study
    tried: Tried
    share: Any
    where: Where
    edge_near: bool


def share_percent(carried_kg: Any, horse_kg: Any) -> Any:
    """What is carried, in percent of the horse's weight: 100 x carried / horse. Errors are propagated.

    Raises BadInput (MS11) where the horse weighs nothing or something weighs less than nothing, or the load outweighs the horse.

    >>> share_percent(75.0, 500.0), share_percent(70.0, 350.0)
    (15.0, 20.0)
    """
    carried, horse = nominal(carried_kg), nominal(horse_kg)
    if horse <= 0 or carried < 0 or carried > horse:
        what = f"{carried:g} kg carried by a horse of {horse:g} kg were read; a horse weighs more than what it carries."
        raise BadInput([Problem("scales", 0, "MS11", what, "See that both stand in their own units.")])
    return 100 * carried_kg / horse_kg


def band_of(share: Any, bands: tuple[Band, ...]) -> Band:
    """The band of the value itself, whatever its error.

    INVARIANT: a greater share is never in a lighter band.
    """
    value = nominal(share)
    for band in bands:
        if band.below_percent is not None and value < band.below_percent - _SAME:
            return band
        if band.up_to_percent is not None and value <= band.up_to_percent + _SAME:
            return band
    return bands[-1]


def bands_possible(share: Any, bands: tuple[Band, ...], errors: float) -> tuple[Band, ...]:
    """Every band between the share less and more `errors` standard errors, lightest first."""
    wide = errors * error_of(share)
    first, last = (bands.index(band_of(nominal(share) + way * wide, bands)) for way in (-1, 1))
    return bands[first : last + 1]


def placed(share: Any, study: Study, errors: float) -> tuple[Placed, ...]:
    """Today's share beside each load of a study. `errors`: how many standard errors wide an end is near."""
    wide, value = errors * error_of(share) + _SAME, nominal(share)
    found = []
    for tried in study.bars:
        low, high = tried.from_percent, tried.to_percent
        near = min(abs(value - low), abs(value - high)) <= wide
        if low == high and near:
            where: Where = "at"
        elif value < low - _SAME:
            where = "below"
        else:
            where = "above" if value > high + _SAME else "inside"
        found.append(Placed(study=study, tried=tried, share=share, where=where, edge_near=near))
    return tuple(found)


def kilograms_above(edge_percent: float, carried_kg: Any, horse_kg: Any) -> Any:
    """How many kilograms of what is carried lie above an edge: carried - edge x horse / 100; below 0 where none do.

    >>> kilograms_above(15.0, 100.0, 500.0)
    25.0
    """
    return carried_kg - edge_percent * horse_kg / 100
