"""Tracings told: widths, which side is narrower, the ratio, the slopes, what changed since another visit.

In: a visit, the rulebook, and for a comparison an earlier visit. Out: `Told`.
Not here: the geometry (measures/), the picture (tracing_picture.py), the shape of the numbers (measured_tracing_schema.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from reasoner.facts.traced import INSTRUMENT, WHEN, AtStation, stations, table_of
from reasoner.rendering.measured import Told
from reasoner.rendering.tracing_changes import Compared, compared, told_changes
from reasoner.rendering.tracing_numbers import numbers_of
from reasoner.rendering.tracing_picture import picture, picture_says
from reasoner.rulebook.measures.tracing import Tracing
from reasoner.rulebook.pages import bases
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

if TYPE_CHECKING:
    from uncertainties import UFloat

KEY, TITLE = "tracing", "Back tracings"


def told(visit: Visit, book: Rulebook) -> Iterator[Told]:
    """Everything that was traced across the back, or taped, on this visit; nothing where nothing was."""
    at = stations(visit, table_of(book))
    if at:
        yield told_of(visit, at, table_of(book))


def told_of(visit: Visit, at: Sequence[AtStation], table: Tracing, then: Sequence[AtStation] | None = None,
            days: int | None = None) -> Told:  # fmt: skip
    """These stations in words; with `then` what changed since, `days` ago where that is known."""
    changes = compared(then, at, table) if then is not None else ()
    lines = [line for one in at for line in _station(one, table)]
    lines += told_changes(changes, table, days)
    lines.append(_errors(at, table))
    return Told(
        key=KEY, title=TITLE, lines=tuple(lines), rests_on=_rests_on(at, table, changes),
        cautions=tuple(_cautions(at, table)), not_measured=tuple(_not_measured(visit, at)),
        picture=picture(at, table, then or ()), picture_says=picture_says(at, table),
        numbers=numbers_of(at, table, changes),
    )  # fmt: skip


def with_error(value: UFloat, factor: float, unit: str = " mm", digits: int = 0) -> str:
    """`170 ± 16 mm`."""
    return f"{value.n:.{digits}f} ± {factor * value.s:.{digits}f}{unit}"


def _station(at: AtStation, table: Tracing) -> Iterator[str]:
    factor = table.errors_shown.value
    for width in at.widths:
        sides = f"left {with_error(width.left, factor)}, right {with_error(width.right, factor)}"
        apart = f"{abs(width.difference.n):.0f} ± {factor * width.difference.s:.0f} mm"
        judged = f"the {width.narrower} side is narrower by {apart}"
        if width.narrower == "even":
            judged = f"the sides lie {apart} apart, which is within the error: even"
        yield (
            f"{at.name}, {width.depth_mm:.0f} mm below the midline: {sides}, {with_error(width.full, factor)} across; {judged}."
        )
        if width.crossings > 1:
            yield f"{at.name}: the line passes {width.depth_mm:.0f} mm more than once; the outermost place was read."
    for depth, full in at.full.items() if at.taped else ():
        yield f"{at.name}, {depth:.0f} mm below the midline: {with_error(full, factor)} across; a tape tells no side."
    for (side, depth), alone in at.alone.items():
        yield f"{at.name}, {depth:.0f} mm below the midline: {side} {with_error(alone, factor)}, by itself."
    if at.ratio is not None:
        order = f"{table.ratio.upper_mm / 10:g} cm : {table.ratio.lower_mm / 10:g} cm"
        yield f"{at.name}, ratio of the widths {order}: {with_error(at.ratio, factor, '', 2)}."
    if at.slopes:
        falls = ", ".join(f"{side} {with_error(at.slopes[side], factor, '°')}" for side in at.slopes)
        between = f"between {table.slope.upper_mm:.0f} and {table.slope.lower_mm:.0f} mm down"
        off = at.slope_difference
        differ = "" if off is None else f"; {abs(off.n):.0f} ± {factor * off.s:.0f}° apart"
        yield f"{at.name}, slope from the horizontal {between}: {falls}{differ}."
    for one in table.in_print:
        if one.station == at.station and one.depth_mm in at.full:
            yield (
                f"In print for {at.name} {one.depth_mm:.0f} mm down: {one.mean_mm:.0f} ± {one.spread_mm:.0f} mm (the spread of "
                f"{one.horses} horses) after {one.after}; to see whether a reading is of that order, and no limit."
            )


def _errors(at: Sequence[AtStation], table: Tracing) -> str:
    used = {one.instrument.key: one.instrument for one in at}
    each = "; ".join(
        f"{one.called}: line {one.line_mm:g} mm, midline {one.midline_mm:g} mm, depth {one.depth_mm:g} mm"
        for one in used.values()
    )
    return f"What stands behind ± is {table.errors_shown.value:g} standard errors ({each}; own settings, none are in print)."


def _not_measured(visit: Visit, at: Sequence[AtStation]) -> Iterator[str]:
    for one in at:
        for sentence in one.missing:
            yield f"{one.name}: {sentence}."
    if any(not one.taped for one in at) and visit.noted_value(INSTRUMENT) is None:
        yield "What it was traced with is not written; the error of a flexible curve was taken."
    if visit.noted_value(WHEN) is None:
        yield "Whether it was traced before or after work is not written."


def _cautions(at: Sequence[AtStation], table: Tracing) -> Iterator[str]:
    here = {one.station for one in at}
    for caution in table.cautions:
        if not caution.station or caution.station in here:
            yield caution.says.rstrip(".") + "."


def _rests_on(at: Sequence[AtStation], table: Tracing, changes: Sequence[Compared]) -> tuple[str, ...]:
    here = {one.station for one in at}
    some = [table.site(station).basis for station in here] + [table.errors_shown.basis]
    some += [one.instrument.basis for one in at]
    if any(one.ratio is not None for one in at):
        some.append(table.ratio.basis)
    if any(one.slopes for one in at):
        some.append(table.slope.basis)
    some += [one.basis for one in table.in_print if one.station in here]
    some += [one.basis for one in table.cautions if not one.station or one.station in here]
    if changes:
        some += [one.basis for one in table.changed_after_months if one.station in here]
        some += [one.basis for one in table.ratio_moves if one.station in here]
    flat = [basis for one in some for basis in bases(one)]
    return tuple(sorted(dict.fromkeys(flat), key=lambda basis: (basis in ("common practice", "own setting"), basis)))
