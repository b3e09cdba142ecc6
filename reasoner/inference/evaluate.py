"""The pass: from rows of readings to certainties, concerns and actions.

In: a `Program` and a table of readings, one column a row of the batch. Out: a `Result`; from a full program, with its record.
Not here: compiling, words, files. One visit, a thousand what-ifs and the bounds are the same call.

The certainty-factor model of Shortliffe and Buchanan (1975) in van Melle's mixed-sign form (Buchanan and Shortliffe 1984),
as weights w = sum of sign(c) * -ln(1 - |c|), certainty = sign(w) * (1 - exp(-|w|)).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from reasoner.frozen import frozen
from reasoner.inference.program import DIGITS, UNIT, Flags, Floats, Ints, Packed, Program, Step, Words, units

if TYPE_CHECKING:
    from numpy.typing import NDArray

BLOCK = 256
FEW = 8
CLOSE = 1 << 15
"""Numbers (8 bytes each) that are worked on at once: a quarter of what the smaller caches in use hold."""
_COMPARE = (np.greater_equal, np.greater, np.less_equal, np.less)
_SLIM = ("certainty", "weight", "concern", "wanted", "held", "level")


@frozen
class Result:
    """What a pass gives, rows of the batch along the last axis.

    `certainty` (conclusions x rows) in [-1, 1]; `weight` the same in units of 2^-40; `concern`, `wanted`, `held`, `level` are
    true or false; an action is held where something forbids it or a need is not supported, unknown needs included. From a
    full program also the record: `leaves` (the crisp rows and the graded ones, found by `Program.truth_from`), `degree` and
    `unit` (rules x rows; `unit` is each rule's signed weight before groups).
    """

    certainty: Floats
    weight: Ints
    concern: Flags
    wanted: Flags
    held: Flags
    level: Flags
    leaves: tuple[NDArray[np.uint8], Floats] | None = None
    degree: Floats | None = None
    unit: Ints | None = None


def evaluate(program: Program, readings: Floats, block: int = BLOCK) -> Result:
    """Run rows of readings (slots x rows, NaN where not recorded) block by block, without the record.

    A lean program is the faster one here; the answers are the same.
    """
    rows = readings.shape[1]
    # A block of its own lies close together; a slice of a wide table is a page apart from row to row.
    blocks = (np.ascontiguousarray(readings[:, at : at + block]) for at in range(0, max(rows, 1), block))
    parts = [run(program, table) for table in blocks]
    joined: dict[str, Any] = {name: np.concatenate([getattr(part, name) for part in parts], axis=1) for name in _SLIM}
    return Result(**joined)


def run(program: Program, readings: Floats, *, bounds: bool = False) -> Result:
    """One block, with its record if the program is full.

    With `bounds` the result has two rows of the batch for each of `readings`: first all with every unknown at its worst (no
    support, no opposition), then all with every unknown at its best (both whole). Certainties are then the lower and the
    upper bound.
    """
    rows = readings.shape[1] * (2 if bounds else 1)
    swap = np.roll(np.arange(rows), rows // 2) if bounds else None
    crisp = _crisp_atoms(program, readings, bounds)
    graded = np.zeros((program.n_graded, rows))  # a conclusion without rules stays at 0
    _ramps(program, readings, graded, bounds)
    kept = rows if program.full else 0
    degree = np.empty((program.rule_count, kept))
    unit = np.empty((program.rule_count, kept), dtype=np.int64)
    weight = np.empty((program.conclusion_count, rows), dtype=np.int64)
    certainty = np.empty((program.conclusion_count, rows))
    for step in program.steps:
        _crisp_nodes(step, crisp, rows)
        if step.lift_read.size:
            np.copyto(graded[step.lift_write], _unpacked(crisp.take(step.lift_read, axis=0), rows))
        if step.raw_read.size:
            _lessen(step, graded, swap)
        _graded_nodes(step, graded)
        if step.group_sign.size:
            if program.full:
                w = _conclude(program, step, graded, degree, unit, weight, swap)
            else:
                w = _summed(program, step, graded, crisp, weight, swap)
            _tell(step, graded, w, certainty, swap)
        if step.limit_read.size:
            # INVARIANT: a band of certainty begins above 0, so what is not told never reaches it.
            told = graded.take(step.limit_read, axis=0)
            np.greater_equal(told, step.limit_value, out=graded[step.limit_write])
    above = program.fires_above
    concern = _unpacked(crisp.take(program.concern_row, axis=0), rows).view(np.bool_)
    level = _unpacked(crisp.take(program.level_row, axis=0), rows).view(np.bool_)
    wanted = graded.take(program.wanted_row, axis=0) > above
    held = graded.take(program.ready_row, axis=0) <= above
    held |= graded.take(program.forbid_row, axis=0) > above
    if not program.full:
        return Result(certainty, weight, concern, wanted, held, level)
    return Result(certainty, weight, concern, wanted, held, level, (_unpacked(crisp[:-1], rows), graded), degree, unit)


def _pieces(first: int, last: int, rows: int) -> Iterator[slice]:
    """Rows of atoms from `first` to before `last`, so many at once as stay close to the processor while they are worked on."""
    many = max(CLOSE // max(rows, 1), 1)
    return (slice(at, min(at + many, last)) for at in range(first, last, many))


def _packed(flags: NDArray[np.bool_]) -> Packed:
    """Eight rows of the batch to a byte, eight bytes to a word where they fill one: a node is then one step for 64 rows.

    A few rows are not worth the packing: each is a byte of its own, and the nodes work on them just the same.
    """
    if flags.shape[1] < FEW:
        return flags.view(np.uint8)
    packed = np.packbits(flags, axis=1)
    return packed.view(np.uint64) if packed.shape[1] % 8 == 0 else packed


def _unpacked(packed: Packed, rows: int) -> NDArray[np.uint8]:
    if rows < FEW:
        return packed.view(np.uint8)
    return np.unpackbits(packed.view(np.uint8), axis=1, count=rows)


def _crisp_atoms(program: Program, readings: Floats, bounds: bool) -> Packed:
    """Limits and words. A comparison with what is not recorded is false; the best case makes it true."""
    rows, limits = readings.shape[1], program.limit_slot.size
    wide = rows * (2 if bounds else 1)
    none = limits + sum(words.word_slot.size for words in (program.narrow, program.wide))
    # A few rows stand unpacked, and then the atoms are written where they stay. Row -1: nothing makes it true.
    flags = np.zeros((program.n_crisp + 1 if wide < FEW else none, wide), dtype=np.bool_)
    at = 0
    for meets, count in zip(_COMPARE, program.limit_ops, strict=True):
        for here in _pieces(at, at + count, rows):
            x = readings.take(program.limit_slot[here], axis=0)
            meets(x, program.limit_at[here], out=flags[here, :rows])
        at += count
    for words in (program.narrow, program.wide):
        _word_atoms(words, readings, flags[at : at + words.word_slot.size], bounds)
        at += words.word_slot.size
    if bounds:
        flags[:limits, rows:] = flags[:limits, :rows] | np.isnan(readings).take(program.limit_slot, axis=0)
    if wide < FEW:
        return flags.view(np.uint8)
    packed = _packed(flags)
    crisp = np.zeros((program.n_crisp + 1, packed.shape[1]), dtype=packed.dtype)
    crisp[:none] = packed
    return crisp


def _word_atoms(words: Words, readings: Floats, flags: Flags, bounds: bool) -> None:
    rows, many = readings.shape[1], words.word_slot.size
    if not many:
        return
    bits = readings.take(words.bit_slot, axis=0)
    known = np.where(bits == bits, bits, words.unknown_bit).astype(words.word_mask.dtype)
    for differs, first, last in ((np.not_equal, 0, words.n_any), (np.equal, words.n_any, many)):
        for here in _pieces(first, last, rows):
            asked = known.take(words.word_slot[here], axis=0)
            np.bitwise_and(asked, words.word_mask[here], out=asked)
            differs(asked, 0, out=flags[here, :rows])
    if bounds:
        flags[:, rows:] = flags[:, :rows] | np.isnan(bits).take(words.word_slot, axis=0)


def _ramps(program: Program, readings: Floats, graded: Floats, bounds: bool) -> None:
    """The two constant rows, and the ramps: of one reading, or of the difference of two; then as opposition."""
    rows, count, turned = readings.shape[1], program.ramp_a.size, program.ramp_turned.size
    graded[0] = 1.0
    x = readings.take(program.ramp_a, axis=0)
    x[count - program.ramp_b.size :] -= readings.take(program.ramp_b, axis=0)
    x -= program.ramp_from
    x /= program.ramp_over
    np.maximum(x, 0.0, out=x)
    np.minimum(x, 1.0, out=x)
    x.round(DIGITS, out=x)
    for at, degree in ((2, x), (2 + count, (1.0 - x.take(program.ramp_turned, axis=0)).round(DIGITS))):
        here = slice(at, at + (count if degree is x else turned))
        np.fmax(degree, 0.0, out=graded[here, :rows])
        if bounds:
            graded[here, rows:] = np.where(degree == degree, degree, 1.0)


def _crisp_nodes(step: Step, crisp: Packed, rows: int) -> None:
    # INVARIANT: strata counts on this order of phases, here and in `run`.
    if step.both_one.size:
        both = crisp[step.both_write]
        np.bitwise_and(crisp.take(step.both_one, axis=0), crisp.take(step.both_two, axis=0), out=both)
    if step.and_read.size:
        every = crisp.take(step.and_read, axis=0)
        np.bitwise_and.reduceat(every, step.and_start, axis=0, out=crisp[step.and_write])
    if step.either_one.size:
        either = crisp[step.either_write]
        np.bitwise_or(crisp.take(step.either_one, axis=0), crisp.take(step.either_two, axis=0), out=either)
    if step.or_read.size:
        some = crisp.take(step.or_read, axis=0)
        np.bitwise_or.reduceat(some, step.or_start, axis=0, out=crisp[step.or_write])
    for k, read, write in step.count:
        flags = _unpacked(crisp[read].reshape(-1, crisp.shape[1]), rows).reshape(*read.shape, rows)
        crisp[write] = _packed(flags.sum(axis=1) >= k)


def _lessen(step: Step, graded: Floats, swap: Ints | None) -> None:
    """Discounts: each circumstance leaves 1 - by x support. The worst case of a row reads the best of its circumstance."""
    circumstance = graded.take(step.factor_read, axis=0)
    if swap is not None:
        circumstance = circumstance[:, swap]
    circumstance *= step.factor_by
    circumstance += 1.0
    left = np.multiply.reduceat(circumstance, step.factor_start, axis=0)
    raw = graded.take(step.raw_read, axis=0)
    rows = raw.shape[1]
    if rows < FEW:
        raw *= left.take(step.raw_factor, axis=0)
        raw.round(DIGITS, out=graded[step.raw_write])
        return
    graded[step.raw_write] = raw
    some = np.flatnonzero(raw != 0.0)  # nothing is taken from what did not speak
    reading, row = np.divmod(some, rows)
    spoken = raw.take(some)
    spoken *= left[step.raw_factor.take(reading), row]
    graded[step.raw_write].reshape(-1).put(some, spoken.round(DIGITS, out=spoken))


def _graded_nodes(step: Step, graded: Floats) -> None:
    if step.low_read.size:
        low = graded.take(step.low_read, axis=0)
        np.minimum.reduceat(low, step.low_start, axis=0, out=graded[step.low_write])
    if step.high_read.size:
        high = graded.take(step.high_read, axis=0)
        np.maximum.reduceat(high, step.high_start, axis=0, out=graded[step.high_write])
    for most, read, rows in step.sized:
        parts = graded.take(read, axis=0)
        (np.maximum if most else np.minimum).reduce(parts, axis=1, out=graded[rows])
    for k, read, write in step.kth:
        graded[write] = np.sort(graded[read], axis=1)[:, read.shape[1] - k]


def _conclude(
    program: Program, step: Step, graded: Floats, degree: Floats, unit: Ints, weight: Ints, swap: Ints | None
) -> Ints:
    """The weights of this step's conclusions, with the degree and the weight of every rule for the record."""
    support = graded.take(step.premise, axis=0)
    held = np.multiply(support, support > program.fires_above, out=degree[step.rules])
    if step.gated:
        np.minimum(held, graded.take(step.gate, axis=0), out=held)
    u = units(np.multiply(held, step.strength, out=support))
    np.multiply(u, step.sign, out=unit[step.rules])
    if swap is not None:  # the lower bound takes what speaks against at its strongest, the upper at its weakest
        counter = step.sign[:, 0] < 0
        u[counter] = u[counter][:, swap]
    voices = np.maximum.reduceat(u, step.group_start, axis=0)
    voices *= step.group_sign
    w: Ints = np.add.reduceat(voices, step.conclusion_start, axis=0, out=weight[step.conclusions])
    return w


def _summed(program: Program, step: Step, graded: Floats, crisp: Packed, weight: Ints, swap: Ints | None) -> Ints:
    """The same weights from the rules that fire alone: of hundreds, a few dozen in a row.

    The same arithmetic on the same numbers; sums of integers do not depend on their order.
    """
    rows = graded.shape[1]
    voices = np.zeros(step.group_sign.size * rows, dtype=np.int64)
    if step.premise.size:
        support = graded.take(step.premise, axis=0)
        fires = np.flatnonzero(support > program.fires_above)
        rule, row = np.divmod(fires, rows)
        c = support.take(fires)
        if step.gated:
            np.minimum(c, graded[step.gate.take(rule), row], out=c)
        c *= step.strength[:, 0].take(rule)
        np.maximum.at(voices, step.voice.take(rule) * rows + row, units(c))
    if step.flag_read.size:
        fires = np.flatnonzero(_unpacked(crisp.take(step.flag_read, axis=0), rows).view(np.bool_))
        rule, row = np.divmod(fires, rows)
        np.maximum.at(voices, step.flag_voice.take(rule) * rows + row, step.flag_unit.take(rule))
    spoken = np.flatnonzero(voices != 0)  # of truth values, which is quicker than of numbers
    group, row = np.divmod(spoken, rows)
    sign = step.group_sign[:, 0].take(group)
    if swap is not None:  # as in `_conclude`; the rules of a group speak one way
        row = np.where(sign < 0, swap.take(row), row)
    w: Ints = weight[step.conclusions]
    w[:] = 0
    np.add.at(w.reshape(-1), step.owner.take(group) * rows + row, voices.take(spoken) * sign)
    return w


def _tell(step: Step, graded: Floats, w: Ints, certainty: Floats, swap: Ints | None) -> None:
    """From the weights of this step's conclusions to their certainties, and to what later steps read of them."""
    c = np.abs(w) * (-1.0 / UNIT)
    c = 1.0 - np.exp(c, out=c)
    c = np.multiply(c.round(DIGITS, out=c), np.sign(w), out=certainty[step.conclusions])
    told = c.take(step.told_read, axis=0)
    if swap is not None:
        told = np.where(step.told_sign < 0.0, told[:, swap], told)
    told *= step.told_sign
    np.maximum(told, 0.0, out=graded[step.told_write])
