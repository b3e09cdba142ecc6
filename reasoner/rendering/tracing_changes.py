"""Two visits' tracings set against each other, in words.

In: the stations of both visits. Out: what changed at each station and depth, and sentences about it.
Not here: one visit by itself (measured_tracing.py), the arithmetic of a change (measures/tracing_change.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.facts.traced import AtStation
from reasoner.frozen import frozen
from reasoner.measures.tracing_change import Change, change_of
from reasoner.rulebook.measures.tracing import Tracing

WIDTH, RATIO = "width", "ratio"
#: Days in the shortest month: two tracings on the same date of the month are that many months apart.
_SHORTEST_MONTH = 28


@frozen(kw_only=True)
class Compared:
    """One quantity at one station, then and now. `of` is "width", "left", "right" or "ratio"; `depth_mm` None for the ratio."""

    station: str
    name: str
    of: str
    depth_mm: float | None
    change: Change


def compared(then: Sequence[AtStation], now: Sequence[AtStation], table: Tracing) -> tuple[Compared, ...]:
    """Every width, half-width and ratio that stands in both, in the order of the later visit."""
    before = {(one.station, one.taped): one for one in then}
    return tuple(
        change for one in now if (other := before.get((one.station, one.taped))) for change in _of(other, one, table)
    )


def _of(then: AtStation, now: AtStation, table: Tracing) -> Iterator[Compared]:
    factor = table.errors_shown.value
    for depth, full in now.full.items():
        if depth in then.full:
            change = change_of(then.full[depth], full, factor)
            yield Compared(station=now.station, name=now.name, of=WIDTH, depth_mm=depth, change=change)
    first = {width.depth_mm: width for width in then.widths}
    for width in now.widths:
        if width.depth_mm in first:
            for side, was, is_now in (
                ("left", first[width.depth_mm].left, width.left),
                ("right", first[width.depth_mm].right, width.right),
            ):
                change = change_of(was, is_now, factor)
                yield Compared(station=now.station, name=now.name, of=side, depth_mm=width.depth_mm, change=change)
    if then.ratio is not None and now.ratio is not None:
        change = change_of(then.ratio, now.ratio, factor)
        yield Compared(station=now.station, name=now.name, of=RATIO, depth_mm=None, change=change)


def told_changes(changes: Sequence[Compared], table: Tracing, days: int | None) -> Iterator[str]:
    """What changed, each against the error of both tracings, and what published work saw go with it: a line for each depth, its
    two halves in brackets, and one for the ratio."""
    factor = table.errors_shown.value
    halves = {(one.name, one.depth_mm, one.of): one for one in changes if one.of in ("left", "right")}
    for one in changes:
        if one.of == WIDTH:
            both = [halves.get((one.name, one.depth_mm, side)) for side in ("left", "right")]
            inside = "; ".join(f"{half.of} {_against(half.change, factor)}" for half in both if half)
            more = f" ({inside})" if inside else ""
            yield f"{one.name}, width {one.depth_mm:.0f} mm down: {_against(one.change, factor)}{more}."
        elif one.of == RATIO:
            yield f"{one.name}, ratio: {_against(one.change, factor, '', 2)}."
            for moves in table.ratio_moves:
                fits = (moves.way, one.change.way) in (("falls", "smaller"), ("rises", "larger"))
                if moves.station == one.station and fits:
                    yield " ".join(moves.says.split()).rstrip(".") + "."
    for station in dict.fromkeys(one.station for one in changes):
        months = next((one.months for one in table.changed_after_months if one.station == station), 0)
        if months and days is not None and 0 <= days < months * _SHORTEST_MONTH:
            yield (
                f"{station.upper()}: {days} day{'s' if days != 1 else ''} lie between these tracings; published ones had changed "
                f"there after {months} months."
            )


def _against(change: Change, factor: float, unit: str = " mm", digits: int = 0) -> str:
    """`313 then, 290 now, smaller by 23 ± 13 mm`."""
    by = f"{abs(change.change.n):.{digits}f} ± {factor * change.change.s:.{digits}f}{unit}"
    way = f"{change.way} by {by}" if change.way != "within the error" else f"{by} apart, within the error of both"
    return f"{change.then.n:.{digits}f} then, {change.now.n:.{digits}f} now, {way}"
