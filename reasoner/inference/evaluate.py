"""The pass: from rows of readings to certainties, concerns and actions.

In: a `Program` and a table of readings, one column a row of the batch. Out: a `Result`; for one visit, the whole record.
Not here: compiling, words, files. One visit, a thousand what-ifs and the bounds are the same call.

The certainty-factor model of Shortliffe and Buchanan (1975) in van Melle's mixed-sign form (Buchanan and Shortliffe 1984),
as weights w = sum of sign(c) * -ln(1 - |c|), certainty = sign(w) * (1 - exp(-|w|)).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from reasoner.inference.program import DIGITS, UNIT, Floats, Ints, Program, Step

BLOCK = 512


@dataclass(frozen=True)
class Result:
    """What a pass gives, rows of the batch along the last axis.

    `certainty` (conclusions x rows) in [-1, 1]; `weight` the same in units of 2^-40; `concern`, `wanted`, `held`, `level`
    are true or false; an action is held where something forbids it or a need is not supported, unknown needs included. `truth` (2 x columns x rows, by literal), `degree` and `unit` (rules x rows) are the record: kept
    where asked, else None. `unit` is each rule's signed weight before groups.
    """

    certainty: Floats
    weight: Ints
    concern: NDArray[np.bool_]
    wanted: NDArray[np.bool_]
    held: NDArray[np.bool_]
    level: NDArray[np.bool_]
    truth: Floats | None = None
    degree: Floats | None = None
    unit: Ints | None = None


def evaluate(program: Program, readings: Floats) -> Result:
    """Run rows of readings (n_slots x rows, NaN where not recorded) in blocks; the record is not kept."""
    rows = readings.shape[1]
    if rows <= BLOCK:
        return _slim(run(program, readings))
    parts = [_slim(run(program, readings[:, at : at + BLOCK])) for at in range(0, rows, BLOCK)]
    return Result(*(np.concatenate([getattr(p, name) for p in parts], axis=1) for name in _SLIM))


_SLIM = ("certainty", "weight", "concern", "wanted", "held", "level")


def _slim(result: Result) -> Result:
    return Result(*(getattr(result, name) for name in _SLIM))


def run(program: Program, readings: Floats, *, bounds: bool = False) -> Result:
    """One block with its record.

    With `bounds`, `readings` has one row of the batch for each visit; the result has two for each: first all the rows
    with every unknown at its worst for support and opposition (0, 0), then all with every unknown at (1, 1); certainties
    are then the lower and the upper bound.
    """
    rows = readings.shape[1] * (2 if bounds else 1)
    truth = np.zeros((2 * program.n_columns, rows))
    truth[0] = 1.0
    swap = np.roll(np.arange(rows), rows // 2) if bounds else None
    _atoms(program, readings, truth, bounds)
    degree = np.zeros((program.rule_count, rows))
    unit = np.zeros((program.rule_count, rows), dtype=np.int64)
    weight = np.zeros((program.conclusion_count, rows), dtype=np.int64)
    certainty = np.zeros((program.conclusion_count, rows))
    for step in program.early:
        _nodes(step, truth)
    _lessen(program, truth, swap)
    for step in program.steps:
        _nodes(step, truth)
        if step.premise.size:
            _conclude(program, step, truth, degree, unit, weight, certainty, swap)
    above = program.fires_above
    return Result(
        certainty=certainty,
        weight=weight,
        concern=truth[program.concern_literal] > above,
        wanted=truth[program.wanted_literal] > above,
        held=(truth[program.ready_literal] <= above) | (truth[program.forbid_literal] > above),
        level=truth[program.level_literal] > above,
        truth=truth,
        degree=degree,
        unit=unit,
    )


def _atoms(program: Program, readings: Floats, truth: Floats, bounds: bool) -> None:
    rows = readings.shape[1]
    table = np.vstack([readings, np.zeros((1, rows))])
    n_ramps, n_limits, n_members = program.ramp_a.size, program.limit_a.size, program.member.size
    n_atoms = n_ramps + n_limits + n_members
    support = np.empty((n_atoms, rows))
    oppose = np.empty((n_atoms, rows))
    known = np.empty((n_atoms, rows), dtype=np.bool_)
    if n_ramps:
        x = table[program.ramp_a]
        x -= table[program.ramp_b]
        known[:n_ramps] = x == x
        x -= program.ramp_from[:, None]
        x /= program.ramp_over[:, None]
        np.clip(x, 0.0, 1.0, out=x)
        np.round(x, DIGITS, out=x)
        support[:n_ramps] = x
        oppose[:n_ramps] = np.round(1.0 - x, DIGITS)
    if n_limits:
        here = slice(n_ramps, n_ramps + n_limits)
        a, b = table[program.limit_a], table[program.limit_b]
        op, at = program.limit_op[:, None], program.limit_at[:, None]
        known[here] = (a == a) & (b == b)
        support[here] = _meets(a, op, at)
        oppose[here] = ~_meets(b, op, at)
    if n_members:
        here = slice(n_ramps + n_limits, n_atoms)
        x = table[program.member]
        known[here] = x == x
        meets = (np.nan_to_num(x, nan=0.0).astype(np.int64) & program.member_mask[:, None]) != 0
        support[here] = meets
        oppose[here] = ~meets
    unknown = ~known
    support[unknown] = 0.0
    oppose[unknown] = 0.0
    # INVARIANT: strata puts the atoms in columns 1..n_atoms in the order ramps, limits, members.
    place = truth[2 : 2 + 2 * n_atoms]
    if not bounds:
        place[0::2] = support
        place[1::2] = oppose
        return
    place[0::2, :rows] = support
    place[1::2, :rows] = oppose
    support[unknown] = 1.0
    oppose[unknown] = 1.0
    place[0::2, rows:] = support
    place[1::2, rows:] = oppose


def _meets(x: Floats, op: Ints, at: Floats) -> NDArray[np.bool_]:
    above, equal = x > at, x == at
    return np.where(op == 0, above | equal, np.where(op == 1, above, np.where(op == 2, ~above, ~(above | equal))))


def _lessen(program: Program, truth: Floats, swap: Ints | None) -> None:
    if not program.lessened.size:
        return
    write, read = program.lessened_write, program.lessened
    truth[2 * write] = truth[2 * read]
    truth[2 * write + 1] = truth[2 * read + 1]
    circumstance = truth[program.factor_read]
    if swap is not None:  # the more a circumstance holds, the less is left: the worst case reads its best case
        circumstance = circumstance[:, swap]
    factors = 1.0 - program.factor_by[:, None] * circumstance
    factors = np.multiply.reduceat(factors, program.factor_start, axis=0)
    truth[program.factor_row] = np.round(truth[program.factor_row] * factors, DIGITS)


def _nodes(step: Step, truth: Floats) -> None:
    low = np.minimum.reduceat(truth[step.low_read], step.low_start, axis=0) if step.low_read.size else None
    high = np.maximum.reduceat(truth[step.high_read], step.high_start, axis=0) if step.high_read.size else None
    if low is not None:
        truth[step.low_write] = low
    if high is not None:
        truth[step.high_write] = high
    for k, read, write in step.kth:
        ordered = np.sort(truth[read], axis=1)
        truth[write] = ordered[:, read.shape[1] - k]


def _conclude(
    program: Program, step: Step, truth: Floats, degree: Floats, unit: Ints, weight: Ints, certainty: Floats,
    swap: Ints | None,
) -> None:  # fmt: skip
    support = truth[step.premise]
    support[support <= program.fires_above] = 0.0
    here = np.minimum(support, truth[step.gate])
    c = np.round(step.strength[:, None] * here, DIGITS)
    u = np.rint(np.log1p(-c) * -UNIT).astype(np.int64)
    degree[step.rules] = here
    unit[step.rules] = np.where(step.against[:, None], -u, u)
    if swap is not None:  # the lower bound takes what speaks against at its strongest, the upper at its weakest
        u[step.against] = u[step.against][:, swap]
    voices = np.maximum.reduceat(u, step.group_start, axis=0)
    w = np.add.reduceat(voices * step.group_sign[:, None], step.conclusion_start, axis=0)
    c = np.sign(w) * np.round(1.0 - np.exp(np.abs(w) * (-1.0 / UNIT)), DIGITS)
    weight[step.conclusions] = w
    certainty[step.conclusions] = c
    mirror = c if swap is None else c[:, swap]
    truth[2 * step.write] = np.maximum(c, 0.0)
    truth[2 * step.write + 1] = np.maximum(-mirror, 0.0)
    if step.limit_read.size:
        at = step.limit_value[:, None]
        truth[2 * step.limit_write] = (truth[2 * step.limit_read] >= at) & (truth[2 * step.limit_read] > 0)
        truth[2 * step.limit_write + 1] = (truth[2 * step.limit_read + 1] >= at) & (truth[2 * step.limit_read + 1] > 0)


