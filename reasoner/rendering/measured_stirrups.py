"""The two stirrups of a visit, told: which is shorter, by how much, and what trade and published work say it does.

In: a visit and the rulebook; or a pair by itself. Out: `Told`.
Not here: the arithmetic (measures/stirrup.py), deciding between the two views. No picture: two numbers need none.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reasoner.explanation.from_record import filled
from reasoner.facts.measured_stirrups import pair_at, table_of
from reasoner.measures.stirrup import Pair
from reasoner.measures.uncertain import nominal
from reasoner.plan.dose_stirrups import sentences
from reasoner.rendering.amounts import behind
from reasoner.rendering.measured import Told
from reasoner.rulebook.pages import bases as flat
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

KEY, TITLE = "stirrups", "The two stirrups"
NOT_SEEN = "Whether the rider's hip gives way or the trunk leans: it can only be seen from behind."
NO_SPACING = "How far the holes of these leathers are apart."
NOT_DECIDED = "Trade and published work do not agree on where the load goes; both are shown and neither is chosen."
ON_PURPOSE = "A difference that is meant is left alone until whoever helps the rider has been asked."


def told(visit: Visit, book: Rulebook) -> Iterator[Told]:
    """One measure where both stirrups were measured."""
    pair = pair_at(visit, book)
    if pair is not None:
        yield told_pair(pair, book)


def told_pair(pair: Pair, book: Rulebook) -> Told:
    """Two lengths, told."""
    table = table_of(book)
    views = table.views if pair.shorter != "even" else ()
    spacing = () if pair.spacing_given else flat(table.holes.basis)
    own = (*flat(table.reading_error.basis), *flat(table.clear_from.basis), *spacing)
    wide = behind(table.clear_from.times, "how exactly each is read off the tape, own setting")
    return Told(
        key=KEY, title=TITLE,
        lines=(*sentences(pair), *((wide,) if views else ()), *(filled(view.says, pair.shorter) for view in views)),
        rests_on=tuple(dict.fromkeys((*own, *(basis for view in views for basis in flat(view.basis))))),
        cautions=(NOT_DECIDED, ON_PURPOSE) if views else (),
        not_measured=((NOT_SEEN,) if views else ()) + (() if pair.spacing_given or not views else (NO_SPACING,)),
        numbers=_numbers(pair),
    )  # fmt: skip


def _numbers(pair: Pair) -> dict[str, Any]:
    return {
        "left_mm": pair.left_mm,
        "right_mm": pair.right_mm,
        "difference_mm": round(abs(nominal(pair.difference_mm)), 3),
        "give_or_take_mm": round(pair.give_or_take_mm, 3),
        "shorter": pair.shorter,
        "holes": round(pair.holes, 3),
        "hole_spacing_mm": pair.spacing_mm,
        "hole_spacing_given": pair.spacing_given,
    }
