"""Today's widths, beside the step that measures the back again.

In: a visit's tracings. Out: one sentence a station, and when to compare; none where nothing was measured.
Not here: the geometry (measures/), whether the step stands.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.facts.traced import AtStation, stations, table_of
from reasoner.rulebook.measures.tracing import Tracing
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit


def reckoned(visit: Visit, side: str, book: Rulebook) -> tuple[str, ...]:
    """What was measured today, station by station, to be set beside the next tracing; the side of the step does not matter."""
    table = table_of(book)
    read = [at for at in stations(visit, table) if at.full]
    told = [f"Today, {at.name}: {'; '.join(_widths(at, table))}." for at in read]
    changed = [(at, months) for at in read if (months := months_until(table, at.station))]
    if changed:
        when = {at.station.upper(): months for at, months in changed}
        words = ", ".join(f"{station} after {months} months" for station, months in when.items())
        told.append(
            f"In published tracings the shape had changed at {words}; sooner, look for the curve's own error first."
        )
    return tuple(told)


def months_until(table: Tracing, station: str) -> int:
    """After how many months published tracings differed at a station; 0 where none were published."""
    return next((one.months for one in table.changed_after_months if one.station == station), 0)


def _widths(at: AtStation, table: Tracing) -> Iterator[str]:
    factor = table.errors_shown.value
    for depth, full in at.full.items():
        yield f"{full.n:.0f} ± {factor * full.s:.0f} mm wide {depth:.0f} mm down"
    if at.ratio is not None:
        yield f"ratio {at.ratio.n:.2f} ± {factor * at.ratio.s:.2f}"
