"""Two stirrups, bar to tread: which is shorter, by how much, and how many holes that is.

In: two lengths in mm, the distance between holes where it is known, and the table of stirrups. Out: `Pair`.
Not here: what a shorter stirrup does to anybody, wording.
"""

from __future__ import annotations

from typing import Literal

from reasoner.frozen import frozen
from reasoner.measures.roll import Amount, above_nothing
from reasoner.measures.seat import place_of, with_error
from reasoner.measures.uncertain import error_of, nominal
from reasoner.rulebook.measures.stirrups import Stirrups

Shorter = Literal["left", "right", "even"]


@frozen(kw_only=True)
class Pair:
    """Two stirrups. `difference_mm` is left less right with its error, so that it is positive where the right is shorter."""

    left_mm: float
    right_mm: float
    difference_mm: Amount
    spacing_mm: float
    spacing_given: bool
    shorter: Shorter
    give_or_take_mm: float

    @property
    def holes(self) -> float:
        """The difference in holes, without its sign."""
        return abs(nominal(self.difference_mm)) / self.spacing_mm


def pair_of(left_mm: float, right_mm: float, table: Stirrups, spacing_mm: float | None = None) -> Pair:
    """Compare two lengths, both more than 0 mm, each read with the table's error. Arithmetic. Raises BadInput (MS01).

    `spacing_mm`: from hole to hole; None for the table's own setting.
    """
    error, times = table.reading_error.length_mm, table.clear_from.times
    left = with_error(above_nothing(left_mm, "The left stirrup, in mm"), error)
    right = with_error(above_nothing(right_mm, "The right stirrup, in mm"), error)
    spacing = table.holes.spacing_mm if spacing_mm is None else spacing_mm
    difference = left - right
    place = place_of(difference, times)
    return Pair(
        left_mm=left_mm, right_mm=right_mm, difference_mm=difference,
        spacing_mm=above_nothing(spacing, "The distance between two holes, in mm"), spacing_given=spacing_mm is not None,
        shorter="even" if place == "straight" else place, give_or_take_mm=times * error_of(difference),
    )  # fmt: skip
