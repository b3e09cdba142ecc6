"""What was traced, from a visit file or from a table of points.

In: a path. Out: a `Visit`; a table makes one of an unknown day that holds its lines alone. A line too short for
any back is refused.
Not here: what is done with the lines.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from reasoner.cli.common import warn
from reasoner.facts.traced import shown, table_of
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit
from reasoner.visit.outline_csv import outlines_in
from reasoner.visit.reading import read_visit

register({"MS27": "a traced line in another unit than it says"})

#: The day of a table, which has none.
NO_DAY = date.min
TABLES = (".csv", ".tsv", ".txt")


def traced_in(path: Path, book: Rulebook, as_json: bool) -> Visit:
    """The visit in a file, or the lines of a table; warnings are told unless JSON is asked for. Raises BadInput."""
    if path.suffix.casefold() not in TABLES:
        visit = read_visit(path, book.vocabulary)
    else:
        noticed: list[Problem] = []
        found = tuple(outline for _, outline in outlines_in(path, book.vocabulary.place_of, noticed=noticed))
        visit = Visit(file=str(path), day=NO_DAY, outlines=found, warnings=tuple(noticed))
    if not as_json:
        warn(visit.warnings)
    if too_near := list(_too_near(visit, book)):
        raise BadInput(too_near)
    return visit


def _too_near(visit: Visit, book: Rulebook) -> Iterator[Problem]:
    """Lines over the back that end so near to the midline that centimetres were most likely written as millimetres."""
    if "tracing" not in book.measures:
        return
    least = table_of(book).least_reach_mm.value
    for outline in visit.outlines:
        reach = max((float(out) for out, _ in (*outline.left, *outline.right)), default=0.0)
        if outline.of == "back" and outline.plane == "across" and 0 < reach < least:
            what = (
                f"{shown(outline.station)}: the line ends {reach:g} mm from the midline, which is too near for a back."
            )
            yield Problem(visit.file, outline.line, "MS27", what, "Were centimetres written as millimetres?")
