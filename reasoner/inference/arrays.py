"""From lists of rows to the arrays a step is made of.

In: rows read and written. Out: flat index arrays, starts of groups, slices.
Not here: which rows there are, and their order (strata).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from reasoner.inference.program import Floats, Ints, Masks

Group = tuple[int, list[int]]
"""The row written, and the rows read for it."""
NARROW = 16  # bits of a narrow mask; of a wide one 63
MANY = 400  # from so many nodes of two parts on, one stroke over all of them is quicker than going group by group


def ints(values: Iterable[int]) -> Ints:
    """Whole numbers."""
    return np.array(list(values), dtype=np.int64)


def upright(values: Iterable[float]) -> Floats:
    """A column of numbers, one for each row of a table, the same for every row of the batch."""
    return np.array(list(values), dtype=np.float64).reshape(-1, 1)


def bits(values: Iterable[int], highest: int) -> Masks:
    """Masks in the narrower type, where that holds `highest`."""
    masks = list(values)
    if highest < 1 << NARROW:
        return np.array(masks, dtype=np.uint16).reshape(-1, 1)
    return np.array(masks, dtype=np.int64).reshape(-1, 1)


def gather(name: str, groups: list[Group]) -> dict[str, Any]:
    """Groups as a flat list of rows read, where each begins, and the slice written."""
    starts, at = [], 0
    for _, read in groups:
        starts.append(at)
        at += len(read)
    return {
        f"{name}_read": ints(row for _, read in groups for row in read),
        f"{name}_start": ints(starts),
        f"{name}_write": together([write for write, _ in groups]),
    }


def pairs(two: str, more: str, groups: list[Group]) -> dict[str, Any]:
    """The groups of two parts apart from the others, where there are many of them."""
    pairs = [group for group in groups if len(group[1]) == 2]
    pairs = pairs if len(pairs) >= MANY else []
    return {
        f"{two}_one": ints(read[0] for _, read in pairs),
        f"{two}_two": ints(read[1] for _, read in pairs),
        f"{two}_write": together([write for write, _ in pairs]),
        **gather(more, [group for group in groups if not pairs or len(group[1]) != 2]),
    }


def together(rows: Sequence[int]) -> slice:
    """The slice of rows that stand one after the other."""
    assert list(rows) == list(range(rows[0], rows[0] + len(rows))) if rows else True, (
        "rows of one stroke stand together"
    )
    return slice(rows[0], rows[-1] + 1) if rows else slice(0, 0)
