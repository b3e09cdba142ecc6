"""What was traced, from a visit file or from a table of points.

In: a path. Out: a `Visit`; a table makes one of an unknown day that holds its lines alone.
Not here: what is done with the lines.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

from reasoner.cli.common import warn
from reasoner.problems import Problem
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit
from reasoner.visit.outline_csv import outlines_in
from reasoner.visit.reading import read_visit

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
    return visit
