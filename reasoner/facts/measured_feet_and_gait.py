"""Slopes of the fore feet and a gait system's numbers become entries: which fore foot is the steeper, on which the withers
sink less.

In: a visit and the table `feet_and_gait`. Out: `Noted` entries with the line they rest on.
Not here: the arithmetic (measures/hoof.py), what an entry means. Head and pelvis stay numbers: no entry means just that.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import cast

from reasoner.measures.given_numbers import repeat_mm
from reasoner.measures.hoof import slopes
from reasoner.quantities import plain
from reasoner.rulebook.measures.feet_and_gait import FeetAndGait
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Noted, Side, Visit

STEEPER, WITHERS = "steeper_fore_foot", "withers_at_the_trot"
SIDES: tuple[Side, Side] = ("left", "right")
ANGLE, ANGLE_ERROR, WITHERS_MIN = "hoof_angle", "hoof_angle_error", "withers_min_mm"


def worked_out(visit: Visit, book: Rulebook) -> Iterator[Noted]:
    """The steeper fore foot, or `even` where the slopes are no further apart than they may be off, or than counts as uneven;
    and the foreleg on which the withers sink less, or `even` within the spread of one measurement after another."""
    table = cast(FeetAndGait, book.measures["feet_and_gait"])
    known = book.vocabulary.observations
    if STEEPER in known:
        yield from _steeper(visit, table)
    if WITHERS in known:
        yield from _withers(visit, table)


def _steeper(visit: Visit, table: FeetAndGait) -> Iterator[Noted]:
    left, right = (_amount(visit, ANGLE, side) for side in SIDES)
    if left is None or right is None:
        return
    error = _amount(visit, ANGLE_ERROR, None)
    found = slopes(float(left[0]), float(right[0]), table, float(error[0]) if error else None)
    written = (
        f"{found.steeper} (hoof angles {plain(left[0])}° left and {plain(right[0])}° right, {abs(found.difference):g}° apart; "
        f"each may be off by {found.left.error:g}°)"
    )
    yield Noted(key=STEEPER, value=found.steeper, written=written, line=min(left[1], right[1]), kind="side")


def _withers(visit: Visit, table: FeetAndGait) -> Iterator[Noted]:
    found = {side: amount for side in SIDES if (amount := _amount(visit, WITHERS_MIN, side)) is not None}
    leaning = [side for side, (mm, _) in found.items() if mm]
    if not found or len(leaning) > 1:
        return  # a system names one side; two amounts say nothing
    side = (leaning or list(found))[0]
    mm, line = found[side]
    spread = repeat_mm(WITHERS_MIN, table)
    value = side if float(mm) > spread else "even"
    written = f"{value} (withers min {plain(mm)} mm {side}; {spread:g} mm is the spread of repeats)"
    yield Noted(key=WITHERS, value=value, written=written, line=line, kind="side")


def _amount(visit: Visit, key: str, side: Side | None) -> tuple[Decimal, int] | None:
    """A noted number and its line."""
    for noted in visit.noted:
        if (noted.key, noted.side) == (key, side) and isinstance(noted.value, Decimal):
            return noted.value, noted.line
    return None
