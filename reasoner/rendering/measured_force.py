"""What the rider's force at each gait says: every published figure for this rider, side by side.

In: the weights of a visit and the rulebook. Out: `Told`.
Not here: the arithmetic (measures/rider_force.py), which figure is right (they measure different things).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from reasoner.facts.measured_load import Weights
from reasoner.measures.rider_force import Forced, change_percent, forces, weight_n
from reasoner.measures.uncertain import error_of, nominal
from reasoner.rendering.measured import Told
from reasoner.rendering.short_sources import short_source
from reasoner.rulebook.rulebook import Rulebook

GAITS = ("walk", "trot", "canter")


def force_told(weights: Weights, book: Rulebook) -> Told:
    """The forces for the rider of these weights, who was weighed."""
    found = forces(weights.rider, weights.table.forces)
    standing = weight_n(weights.rider)
    lines = [f"The rider of {nominal(weights.rider):.1f} kg weighs {nominal(standing):.0f} N standing still."]
    lines += [line for gait in GAITS if (line := _span(gait, found))]
    more = [line for gait in GAITS if (line := _gait(gait, found, book))]
    more += _rising(found, book)
    bases = dict.fromkeys([*(one.figure.basis for one in found), *_cautions_bases(weights)])
    return Told(
        key="rider_force", title="Force of the rider by gait", lines=tuple(lines), more=tuple(more), rests_on=tuple(bases),
        cautions=tuple(one.says for one in weights.table.force_cautions),
        numbers={
            "rider_kg": {"value": nominal(weights.rider), "standard_error": error_of(weights.rider)},
            "standing_n": round(nominal(standing), 1),
            "forces": [_number(one) for one in found],
        },
    )  # fmt: skip


def _span(gait: str, found: Iterable[Forced]) -> str:
    """The least and the greatest peak that publications give for this rider at one gait; empty where there is none."""
    here = sorted(
        (nominal(one.newtons), nominal(one.times_weight), one.figure.seat)
        for one in found
        if one.figure.gait == gait and one.times_weight is not None
    )
    if not here:
        return ""
    (low, low_times, low_seat), (high, high_times, high_seat) = here[0], here[-1]
    if len(here) == 1:
        return f"At {gait}: a peak of {low:.0f} N in each stride ({low_times:.2f} times the weight)."
    seats = [f" {seat}" if seat else "" for seat in (low_seat, high_seat)]
    return (
        f"At {gait}: peaks from {low:.0f} N{seats[0]} to {high:.0f} N{seats[1]} in each stride ({low_times:.2f} to "
        f"{high_times:.2f} times the weight), by {len(here)} published figures."
    )


def _gait(gait: str, found: Iterable[Forced], book: Rulebook) -> str:
    """All figures of one gait in one sentence; empty where there is none."""
    here = [one for one in found if one.figure.gait == gait]
    told = "; ".join(_one(one, book) for one in here)
    return f"At {gait}: {told}." if told else ""


def _one(one: Forced, book: Rulebook) -> str:
    figure = one.figure
    seat = f"{figure.seat}, " if figure.seat else ""
    spread = f", from rider to rider {error_of(one.newtons):.0f} N either way" if figure.spread else ""
    measured = " as measured with another rider" if figure.per == "n" else ""
    sure = "" if figure.sure == "high" else f", {figure.sure} confidence"
    times = "" if figure.per == "n" else f" ({nominal(one.times_weight):.2f} times the weight)"
    return (
        f"{seat}{figure.what} {nominal(one.newtons):.0f} N{measured}{times}{spread} [{_who(figure.basis, book)}{sure}]"
    )


def _rising(found: Iterable[Forced], book: Rulebook) -> Iterator[str]:
    """How much rising lowers what sitting gives, for each figure that is told of both."""
    every = list(found)
    for sitting in every:
        figure = sitting.figure
        for rising in every:
            other = rising.figure
            if (figure.seat, other.seat) == ("sitting", "rising") and (figure.what, figure.basis) == (
                other.what,
                other.basis,
            ):
                change = change_percent(figure.value, other.value)
                yield f"Rising instead of sitting: {figure.what} {abs(change):.1f} % lower [{_who(figure.basis, book)}]."


def _who(basis: str, book: Rulebook) -> str:
    source = book.sources[basis]
    return short_source(source.authors, source.year, source.title)


def _number(one: Forced) -> dict[str, Any]:
    return {
        "gait": one.figure.gait, "seat": one.figure.seat or None, "what": one.figure.what, "source": one.figure.basis,
        "sure": one.figure.sure, "for_this_rider": one.figure.per != "n",
        "newtons": {"value": round(nominal(one.newtons), 2), "standard_error": round(error_of(one.newtons), 2)},
        "times_weight": None if one.times_weight is None else round(nominal(one.times_weight), 4),
    }  # fmt: skip


def _cautions_bases(weights: Weights) -> Iterator[str]:
    for one in weights.table.force_cautions:
        yield from (one.basis,) if isinstance(one.basis, str) else one.basis
