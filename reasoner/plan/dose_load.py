"""The load in numbers for the step that reckons it: today's share, and the kilograms to each load that was tried with trouble.

In: the visit and the rulebook. Out: sentences with numbers; none where rider or horse was not weighed.
Not here: the arithmetic (measures/), any advice about a person. Load is load, whoever or whatever it is.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reasoner.facts.measured_load import Weights, weights_of
from reasoner.measures.load_share import kilograms_above
from reasoner.measures.uncertain import nominal
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

_COUNTS = {
    "rider": "the rider alone counted",
    "rider_and_tack": "rider and tack counted",
    "not_noted": "count not noted",
}


def reckoned(visit: Visit, side: str, book: Rulebook) -> tuple[str, ...]:
    """Today's share both ways with its error, and what lies between it and each edge."""
    weights = weights_of(visit, book)
    if weights.horse is None or weights.rider_share is None:
        return ()
    return (_today(weights), *_edges(weights))


def _today(weights: Weights) -> str:
    assert weights.horse is not None
    horse = f"a horse of {nominal(weights.horse.kg):.0f} kg ({weights.horse.called})"
    alone = f"the rider alone {_share(weights.rider_share, weights)}"
    if weights.share is None:
        return f"Today, on {horse}: {alone}; the tack was not weighed."
    whole = f"rider, tack and extra, {nominal(weights.carried):.1f} kg, are {_share(weights.share, weights)}"
    return f"Today, on {horse}: {whole}; {alone}."


def _share(share: Any, weights: Weights) -> str:
    return f"{nominal(share):.1f} %, give or take {weights.give_or_take(share):.1f}"


def _edges(weights: Weights) -> Iterator[str]:
    """A sentence for each load tried with trouble whose lower edge today's share has reached, the highest last; then the rest."""
    assert weights.horse is not None
    passed, under = [], []
    for study in weights.table.studies:
        rider = study.counts == "rider"
        carried, share = (weights.rider, weights.rider_share) if rider else (weights.carried, weights.share)
        for tried in study.bars:
            if not tried.trouble or share is None:
                continue
            edge = f"{tried.from_percent:g} % ({study.called}, {_COUNTS[study.counts]})"
            if nominal(share) < tried.from_percent:
                under.append((tried.from_percent, edge))
                continue
            above = kilograms_above(tried.from_percent, carried, weights.horse.kg)
            limit = nominal(weights.horse.kg) * tried.from_percent / 100
            passed.append((
                tried.from_percent,
                f"Under {edge}: {nominal(above):.1f} kg less, give or take {weights.give_or_take(above):.1f}, since "
                f"{tried.from_percent:g} % of this horse is {limit:.1f} kg.",
            ))  # fmt: skip
    yield from (sentence for _, sentence in sorted(passed))
    if under:
        yield f"Today lies under: {'; '.join(edge for _, edge in sorted(under))}."
