"""The two stirrups of a visit, bar to tread, and which is the shorter.

In: a `Visit` and the rulebook. Out: a `Pair`; `shorter stirrup` as `Noted`.
Not here: the arithmetic (measures/stirrup.py), what a shorter stirrup does.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import cast

from reasoner.measures.stirrup import Pair, pair_of
from reasoner.rulebook.measures.stirrups import Stirrups
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Noted, Side, Visit

LENGTH, SPACING, SHORTER = "stirrups", "hole_spacing", "shorter_stirrup"


def table_of(book: Rulebook) -> Stirrups:
    """The table of stirrups of a rulebook that has one."""
    return cast(Stirrups, book.measures["stirrups"])


def pair_at(visit: Visit, book: Rulebook) -> Pair | None:
    """Both stirrups compared; None where not both were measured."""
    left, right = _length(visit, LENGTH, "left"), _length(visit, LENGTH, "right")
    if left is None or right is None:
        return None
    return pair_of(left, right, table_of(book), _length(visit, SPACING, None))


def worked_out(visit: Visit, book: Rulebook) -> Iterator[Noted]:
    """`shorter stirrup`, even where the two differ by no more than can be read."""
    pair = pair_at(visit, book)
    if pair is None or SHORTER not in book.vocabulary.observations:
        return
    line = next(noted.line for noted in visit.noted if noted.key == LENGTH)
    written = f"{pair.shorter} (left {pair.left_mm:g} mm, right {pair.right_mm:g} mm, measured)"
    yield Noted(key=SHORTER, value=pair.shorter, written=written, line=line, kind="side")


def _length(visit: Visit, key: str, side: Side | None) -> float | None:
    value = visit.noted_value(key, side)
    return float(value) if isinstance(value, Decimal) and value > 0 else None
