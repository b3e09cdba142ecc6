"""What a pass over many rows says of each: the call, the concerns, the leading causes, the actions that stand.

In: a `Result` and the rulebook. Out: arrays, rows of the batch along the last axis.
Not here: making the rows, ranking them. A plan is the actions wanted and not held; what a veterinarian's word opens or a day
leaves room for is settled in plan/, on one visit.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from reasoner.frozen import frozen
from reasoner.inference.evaluate import Result
from reasoner.inference.program import Flags, Floats, Ints, Program

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from reasoner.rulebook.rulebook import Rulebook

CAUSE = "cause"


@frozen
class Outcomes:
    """`level`: how pressing the call is, 0 for none, then in the order of the scale (rows,). `concern` (concerns x rows);
    `leading` (causes x rows), true for the causes of the greatest weight among the supported; `stands` (actions x rows);
    `certainty` and `band` (conclusions x rows), -1 against, 0 none, then up the scale."""

    level: Ints
    concern: Flags
    leading: Flags
    stands: Flags
    band: NDArray[np.int8]
    certainty: Floats


def outcomes_of(program: Program, result: Result, book: Rulebook) -> Outcomes:
    """What each row of a result comes to."""
    ranks = np.arange(1, len(program.level_row) + 1)[:, None]
    level = (result.level * ranks).max(axis=0, initial=0)
    bands = bands_of(result.certainty, book)
    causes = causes_of(program, book)
    weight = np.where(bands[causes] > 0, result.weight[causes], 0)
    most = weight.max(axis=0, initial=0)
    return Outcomes(
        level=level, concern=result.concern, leading=(weight == most) & (most > 0), stands=result.wanted & ~result.held,
        band=bands, certainty=result.certainty,
    )  # fmt: skip


def causes_of(program: Program, book: Rulebook) -> Ints:
    """The numbers of the conclusions that can be the cause."""
    keys = program.meta["conclusions"]
    return np.array([n for n, (key, _) in enumerate(keys) if book.conclusions[key].kind == CAUSE], dtype=np.int64)


def bands_of(certainty: Floats, book: Rulebook) -> NDArray[np.int8]:
    """The band of each certainty as a number: -1 against, 0 none, 1 the lowest of the scale's bands, and so on."""
    lowest, *others = sorted(book.scales.bands.values())
    # INVARIANT: as `Scales.band` has it: the lowest band is entered above its value, the others at it.
    told = (certainty > lowest).astype(np.int8)
    for begins in others:
        told += certainty >= begins
    told -= certainty < -lowest
    return told


def ranges_of(result: Result) -> tuple[Floats, Floats]:
    """(lower, upper) certainties of a result that was run with bounds, each conclusions x rows."""
    rows = result.certainty.shape[1] // 2
    return result.certainty[:, :rows], result.certainty[:, rows:]
