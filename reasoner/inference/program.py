"""The compiled rulebook: flat tables of numbers, ready for the pass.

In: nothing. Out: `Program`, and its way into and out of plain arrays and JSON-ready data.
Not here: how it is made (strata) or run (evaluate).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, fields
from typing import TYPE_CHECKING, Any

import numpy as np

from reasoner.frozen import frozen

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]
    Masks = NDArray[np.int64] | NDArray[np.uint16]
    Floats = NDArray[np.float64]
    Flags = NDArray[np.bool_]
    Packed = NDArray[np.uint8] | NDArray[np.uint64]
    Kth = tuple[tuple[int, Ints, Ints], ...]
    Sized = tuple[tuple[bool, Ints, slice], ...]
else:  # names for annotations only: building them takes as long as a pass
    Ints = Masks = Floats = Flags = Packed = Kth = Sized = Any

UNIT = 1 << 40  # one unit of weight is 2^-40
DIGITS = 9  # every degree and certainty is rounded to this many decimals


@frozen(kw_only=True)
class Step:
    """One step of the network. Crisp rows are true or false, graded rows are degrees in [0, 1].

    In phases, each of which may read what the earlier ones wrote: crisp all-ofs (`both_*`, `and_*`), any-ofs
    (`either_*`, `or_*`) and `count`; crisp rows lifted to graded ones; discounted rows; graded minima (`low_*`),
    maxima (`high_*`) and `kth`; conclusions; limits on their certainties. `*_read` is a flat list of rows, `*_start`
    where each group of it begins, `*_write` the rows the groups go to, which stand together; `both_*` and `either_*`
    are the many crisp nodes of just two parts; `count` and `kth` hold (k, rows read, rows written), grouped by k and
    size.

    A lean program works on blocks, where numpy's grouped reductions are the slow part: `sized` holds its graded nodes by
    size instead, as (greatest or least, rows read (nodes, size), rows written). Of its rules only those that fire are added
    up: `voice` is the group of each, `owner` the conclusion of each group. Rules that are true or false throughout stand
    apart from the graded ones: `flag_read` their crisp rows, `flag_voice` their groups, `flag_unit` what each weighs.

    A discount leaves `factor_by` x circumstance: `factor_*` are the distinct products of circumstances, `raw_factor`
    says which of them each discounted row takes. `told_write` are the conclusions' supports and oppositions: the
    certainty at `told_read` times `told_sign`. `strength` is negative, as -ln(1 - c) wants it. Numbers that meet a
    whole table stand upright, shape (n, 1).
    """

    both_one: Ints
    both_two: Ints
    both_write: slice
    and_read: Ints
    and_start: Ints
    and_write: slice
    either_one: Ints
    either_two: Ints
    either_write: slice
    or_read: Ints
    or_start: Ints
    or_write: slice
    count: Kth
    lift_read: Ints
    lift_write: slice
    raw_read: Ints
    raw_write: slice
    raw_factor: Ints
    factor_read: Ints
    factor_by: Floats
    factor_start: Ints
    low_read: Ints
    low_start: Ints
    low_write: slice
    high_read: Ints
    high_start: Ints
    high_write: slice
    kth: Kth
    sized: Sized
    rules: slice
    premise: Ints
    gate: Ints
    strength: Floats
    gated: bool
    sign: Ints
    group_start: Ints
    group_sign: Ints
    voice: Ints
    owner: Ints
    flag_read: Ints
    flag_voice: Ints
    flag_unit: Ints
    conclusion_start: Ints
    conclusions: slice
    told_read: Ints
    told_sign: Floats
    told_write: slice
    limit_read: Ints
    limit_value: Floats
    limit_write: slice


@frozen(kw_only=True)
class Words:
    """Rows that ask for words of slots whose words fill masks of one width.

    First `n_any` rows that ask for any of the bits of `word_mask`, then rows that ask for none of them; what is not recorded
    reads as `unknown_bit`, which only the latter masks hold. `word_slot` counts in `bit_slot`, the slots read.
    """

    bit_slot: Ints
    word_slot: Ints
    word_mask: Masks
    n_any: int
    unknown_bit: int


@frozen(kw_only=True)
class Program:
    """All tables of one network.

    Readings have `slots` rows. Crisp rows: `limit_*` first, sorted by operator (`limit_ops` counts them: at least,
    above, at most, below), then words, `narrow` masks before `wide` ones: the pass moves fewer bytes. Graded rows:
    always true, never true, then the ramps, those of one slot before those of a difference (`ramp_b`, the last ones),
    then the same ramps read as opposition where somebody does (`ramp_turned`: which). A `full` program works out both
    sides of every leaf and conclusion, for the record; `truth_from` then finds literal 2c (support of column c) and
    2c + 1 (opposition) in the crisp rows followed by the graded ones, -1 for the nodes between, which follow from
    their leaves. `meta` holds what explanation needs, as plain data: see strata.
    """

    slots: tuple[str, ...]
    full: bool
    n_crisp: int
    n_graded: int
    limit_slot: Ints
    limit_at: Floats
    limit_ops: tuple[int, ...]
    narrow: Words
    wide: Words
    ramp_a: Ints
    ramp_b: Ints
    ramp_from: Floats
    ramp_over: Floats
    ramp_turned: Ints
    steps: tuple[Step, ...]
    rule_count: int
    conclusion_count: int
    fires_above: float
    truth_from: Ints
    concern_row: Ints
    level_row: Ints
    wanted_row: Ints
    ready_row: Ints
    forbid_row: Ints
    meta: Mapping[str, Any] = field(default_factory=dict)


def units(c: Floats) -> Ints:
    """Weights in units of 2^-40 from contributions, written as minus their absolute value: -ln(1 - |c|). Uses up `c`."""
    np.log1p(c, out=c)
    c *= -UNIT
    return np.rint(c, out=c).astype(np.int64)


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
        elif isinstance(value, Words):
            _out(value, f"{name}.", arrays, rest)
        elif item.name == "steps":
            rest[name] = len(value)
            for number, step in enumerate(value):
                _out(step, f"{name}.{number}.", arrays, rest)
        elif item.name == "sized":
            rest[name] = [[most, write.start, write.stop] for most, _, write in value]
            for number, (_, read, _) in enumerate(value):
                arrays[f"{name}.{number}.read"] = read
        elif item.name in ("kth", "count"):
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
        elif item.name in ("narrow", "wide"):
            values[item.name] = _in(Words, f"{name}.", arrays, rest)
        elif item.name == "steps":
            values[item.name] = tuple(_in(Step, f"{name}.{n}.", arrays, rest) for n in range(rest[name]))
        elif item.name in ("rules", "conclusions") or item.name.endswith("_write"):
            values[item.name] = slice(*rest[name])
        elif item.name == "sized":
            values[item.name] = tuple(
                (most, arrays[f"{name}.{n}.read"], slice(start, stop))
                for n, (most, start, stop) in enumerate(rest[name])
            )
        elif item.name in ("kth", "count"):
            values[item.name] = tuple(
                (k, arrays[f"{name}.{n}.read"], arrays[f"{name}.{n}.write"]) for n, k in enumerate(rest[name])
            )
        elif item.name in ("slots", "limit_ops"):
            values[item.name] = tuple(rest[name])
        else:
            values[item.name] = rest[name]
    return shape(**values)
