"""What was set aside, and why: one row for each thing wrong.

In: `Aside` records. Out: an Arrow table with the columns visit, date, file, row, code, what, near.
Not here: finding what is wrong. `row` is the row of a table (the first below the heading is 1) or the line of a visit file.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pyarrow as pa

from reasoner.bulk.columns import EPOCH
from reasoner.frozen import frozen
from reasoner.problems import Problem

ROW = "row"


@frozen
class Aside:
    """A visit set aside: its number among those read together, what it is called, its day as an ordinal if known, what is
    wrong."""

    at: int
    called: Any
    day: int | None
    problems: tuple[Problem, ...]


def aside_schema(visit: Any) -> Any:
    """The columns of the second table; `near` is the nearest valid word or the repair, or nothing."""
    return pa.schema([
        ("visit", visit), ("date", pa.date32()), ("file", pa.string()), (ROW, pa.int64()), ("code", pa.string()),
        ("what", pa.string()), ("near", pa.string()),
    ])  # fmt: skip


def aside_table(aside: Sequence[Aside], visit: Any) -> Any:
    """One row for each thing wrong, in order; `visit` is the type of what visits are called."""
    told = [(one, problem) for one in aside for problem in one.problems]
    days = [None if one.day is None else one.day - EPOCH for one, _ in told]
    columns = [
        pa.array([one.called for one, _ in told], visit),
        pa.array(days, pa.int32()).cast(pa.date32()),
        pa.array([p.file for _, p in told], pa.string()),
        pa.array([p.line or None for _, p in told], pa.int64()),
        pa.array([p.code for _, p in told], pa.string()),
        pa.array([p.sentence for _, p in told], pa.string()),
        pa.array([p.hint or None for _, p in told], pa.string()),
    ]
    return pa.Table.from_arrays(columns, schema=aside_schema(visit))
