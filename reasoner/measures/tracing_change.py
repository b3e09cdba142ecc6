"""What changed between two tracings of the same station, set against the error of both.

In: two readings with their errors. Out: the difference, and whether it lies beyond the error.
Not here: reading a line (tracing.py), what a change may go with (the table), wording.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from reasoner.frozen import frozen

if TYPE_CHECKING:
    from uncertainties import UFloat

Way = Literal["larger", "smaller", "within the error"]


@frozen(kw_only=True)
class Change:
    """Now less then, in the unit of both, with the error of both tracings together; `way` says it in a word."""

    then: UFloat
    now: UFloat
    change: UFloat
    way: Way


def change_of(then: UFloat, now: UFloat, errors_shown: float) -> Change:
    """The change between two readings taken on two days, each with its own error.

    Two tracings share no error: their variances add (propagated by the library). A change counts as one beyond `errors_shown`
    standard errors of the difference.
    """
    change = now - then
    way: Way = "within the error"
    if abs(change.n) > errors_shown * change.s:
        way = "larger" if change.n > 0 else "smaller"
    return Change(then=then, now=now, change=change, way=way)
