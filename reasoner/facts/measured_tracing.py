"""Which side of the back is narrower, as an entry worked out from its tracing.

In: a visit and the rulebook. Out: one `Noted` for each entry of the table's sites that both sides of a tracing decide.
Not here: widths and errors (traced.py), what a narrower side means (rules).
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.facts.traced import AtStation, stations, table_of
from reasoner.measures.tracing import Widths
from reasoner.rulebook.measures.tracing import Tracing
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Noted, Visit


def worked_out(visit: Visit, book: Rulebook) -> Iterator[Noted]:
    """For each entry: a side where some depth of some of its stations tells that side and none the other; "even" where none tells
    a side. Where they tell both sides the horse is not simply narrower on one, and nothing is entered."""
    table = table_of(book)
    read = [at for at in stations(visit, table) if at.widths]
    for entry in dict.fromkeys(site.narrower for site in table.sites if site.narrower):
        here = [(at, width) for at in read if table.site(at.station).narrower == entry for width in at.widths]
        told = {width.narrower for _, width in here}
        sides = told - {"even"}
        if not told or len(sides) > 1 or entry not in book.vocabulary.observations:
            continue
        value = sides.pop() if sides else "even"
        at, width = max(here, key=lambda pair: abs(pair[1].difference.n) / (pair[1].difference.s or 1.0))
        yield Noted(key=entry, value=value, kind="side", line=at.line, written=_written(value, at, width, table))


def _written(value: str, at: AtStation, width: Widths, table: Tracing) -> str:
    """The reading in words, with its numbers."""
    off = table.errors_shown.value * width.difference.s
    by = f"{width.depth_mm:.0f} mm down at {at.name} left {width.left.n:.0f} mm and right {width.right.n:.0f} mm out"
    apart = f"{abs(width.difference.n):.0f} ± {off:.0f} mm apart"
    return f"{value} ({by}, {apart})" if value != "even" else f"even within the error ({by}, {apart})"
