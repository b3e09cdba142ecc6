"""Readings by slot, with the line each came from.

In: slots and values. Out: `Facts`, and its column for a program's readings table.
Not here: how a visit becomes values (from_visit), what a value means.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import repeat
from typing import TYPE_CHECKING

import numpy as np

from reasoner.frozen import frozen

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from reasoner.visit.model import Noted


@frozen
class Origin:
    """Where a value stands in the visit: the file, its line, and how it was written."""

    file: str
    line: int
    written: str


@frozen
class Facts:
    """What one visit recorded: `values` by slot (soreness 0-10, base units, or bits of words) and `origins` beside them.

    A slot that is not in `values` was not examined. `worked_out` are the entries that follow from measurements and that
    nobody wrote by hand; their slots stand among the others.
    """

    values: Mapping[str, float]
    origins: Mapping[str, Origin]
    worked_out: tuple[Noted, ...] = ()


def column(slots: Sequence[str], facts: Facts) -> NDArray[np.float64]:
    """The readings of one visit as a table of one column, NaN where nothing is recorded; shape (len(slots), 1)."""
    found = map(facts.values.get, slots, repeat(float("nan")))
    return np.fromiter(found, np.float64, len(slots)).reshape(-1, 1)
