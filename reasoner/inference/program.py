"""The compiled rulebook: flat tables of numbers, ready for the pass.

In: nothing. Out: `Program`, and its way into and out of plain arrays and JSON-ready data.
Not here: how it is made (strata) or run (evaluate).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
UNIT = 1 << 40  # one unit of weight is 2^-40
DIGITS = 9  # every degree and certainty is rounded to this many decimals


@dataclass(frozen=True, kw_only=True)
class Step:
    """One depth of the network: nodes first read, then conclusions.

    Rows of the truth table are literals: support of column c stands in row 2c, opposition in row 2c + 1, so that turning
    a literal round is reading its neighbour. `low_*` gives rows that are a minimum of others, `high_*` a maximum: starts
    into the flat list of rows read, and the row written. `kth` nodes are grouped by size: (k, rows read, row written).
    """

    low_read: Ints
    low_start: Ints
    low_write: Ints
    high_read: Ints
    high_start: Ints
    high_write: Ints
    kth: tuple[tuple[int, Ints, Ints], ...]
    rules: slice
    premise: Ints
    gate: Ints
    strength: Floats
    against: NDArray[np.bool_]
    group_start: Ints
    group_sign: Ints
    conclusion_start: Ints
    conclusions: slice
    write: Ints
    limit_read: Ints
    limit_value: Floats
    limit_write: Ints


@dataclass(frozen=True, kw_only=True)
class Program:
    """All tables. Atoms stand in columns 1.. in the order ramps, limits, members; then discounted atoms; then the rest.

    Slots: `ramp_*`, `limit_*`, `member_*` read rows of the readings table (n_slots + 1 rows; the last row is always 0, for
    ramps of one slot). `meta` holds what explanation needs, as plain data: see strata.
    """

    slots: tuple[str, ...]
    n_columns: int
    ramp_a: Ints
    ramp_b: Ints
    ramp_from: Floats
    ramp_over: Floats
    limit_a: Ints
    limit_b: Ints
    limit_op: Ints
    limit_at: Floats
    member: Ints
    member_mask: Ints
    early: tuple[Step, ...]
    lessened: Ints
    lessened_write: Ints
    factor_read: Ints
    factor_by: Floats
    factor_start: Ints
    factor_row: Ints
    steps: tuple[Step, ...]
    rule_count: int
    conclusion_count: int
    fires_above: float
    concern_literal: Ints
    wanted_literal: Ints
    ready_literal: Ints
    forbid_literal: Ints
    level_literal: Ints
    meta: Mapping[str, Any] = field(default_factory=dict)

    @property
    def n_slots(self) -> int:
        """How many readings a row can hold."""
        return len(self.slots)


def to_plain(program: Program) -> tuple[dict[str, NDArray[Any]], dict[str, Any]]:
    """(arrays by name, JSON-ready rest); `from_plain` is the way back."""
    arrays: dict[str, NDArray[Any]] = {}
    rest: dict[str, Any] = {}
    _out(program, "", arrays, rest)
    return arrays, rest


def _out(thing: Any, prefix: str, arrays: dict[str, NDArray[Any]], rest: dict[str, Any]) -> None:
    for item in fields(thing):
        value, name = getattr(thing, item.name), prefix + item.name
        if isinstance(value, np.ndarray):
            arrays[name] = value
        elif isinstance(value, slice):
            rest[name] = [value.start, value.stop]
        elif item.name in ("early", "steps"):
            rest[name] = len(value)
            for number, step in enumerate(value):
                _out(step, f"{name}.{number}.", arrays, rest)
        elif item.name == "kth":
            rest[name] = [k for k, _, _ in value]
            for number, (_, read, write) in enumerate(value):
                arrays[f"{name}.{number}.read"], arrays[f"{name}.{number}.write"] = read, write
        else:
            rest[name] = value


def from_plain(arrays: Mapping[str, NDArray[Any]], rest: Mapping[str, Any]) -> Program:
    """The program that `to_plain` took apart. Raises KeyError where something is missing."""
    made: Program = _in(Program, "", arrays, rest)
    return made


def _in(shape: type[Any], prefix: str, arrays: Mapping[str, NDArray[Any]], rest: Mapping[str, Any]) -> Any:
    values: dict[str, Any] = {}
    for item in fields(shape):
        name = prefix + item.name
        if name in arrays:
            values[item.name] = arrays[name]
        elif item.name in ("early", "steps"):
            values[item.name] = tuple(_in(Step, f"{name}.{n}.", arrays, rest) for n in range(rest[name]))
        elif item.name in ("rules", "conclusions"):
            values[item.name] = slice(*rest[name])
        elif item.name == "kth":
            values[item.name] = tuple(
                (k, arrays[f"{name}.{n}.read"], arrays[f"{name}.{n}.write"]) for n, k in enumerate(rest[name])
            )
        elif item.name == "slots":
            values[item.name] = tuple(rest[name])
        else:
            values[item.name] = rest[name]
    return shape(**values)
