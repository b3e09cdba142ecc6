"""The printable sheet for a visit: tick boxes in the order of one walk round the horse, left beside right.

In: the vocabulary. Out: one self-contained HTML page for A4 or Letter.
Not here: what is asked and in which order (the walk knows), the blank visit file, any answer.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import groupby
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from reasoner.frozen import frozen
from reasoner.quantities import UNITS_READ, dimension_of
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.reader import plain
from reasoner.visit.touches import PALPATION, SPACES
from reasoner.visit.walk import TOP, Heading, Line, walk_round

#: What the eye takes in before any pressing comes first on paper, whatever else could be asked meanwhile.
FIRST = "at_first_sight"


def printable_sheet(vocabulary: Vocabulary) -> str:
    """The sheet as HTML; every observation and place of the vocabulary is on it once."""
    environment = Environment(
        loader=FileSystemLoader(Path(__file__).parent / "templates"),
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    environment.filters["first_sentence"] = lambda text: text.partition(". ")[0].rstrip(".") + "."
    environment.filters["by_region"] = _by_region
    environment.filters["units"] = lambda unit: UNITS_READ[dimension_of(unit)]
    # What the records fill in is no line to write on.
    walk = tuple(
        replace(heading, lines=tuple(line for line in heading.lines if not line.from_records))
        for heading in walk_round(vocabulary)
    )
    top, rest = walk[0], walk[1:]
    if top.key != TOP:
        top, rest = Heading(key=TOP, name="the visit", walk=0), walk
    rest = tuple(sorted(rest, key=lambda heading: heading.key != FIRST))
    words = {
        quality: [(plain(word.key), word.says) for word in entries] for quality, entries in vocabulary.qualities.items()
    }
    return environment.get_template("sheet.html").render(
        top=top, headings=rest, words=words, PALPATION=PALPATION, SPACES=SPACES, TOP=TOP
    )


@frozen
class _Region:
    name: str
    lines: tuple[Line, ...]


def _by_region(lines: Iterable[Line]) -> list[_Region]:
    """Runs of lines of one region in walking order; a region met twice on the walk stands twice."""
    return [_Region(name, tuple(some)) for name, some in groupby(lines, key=lambda line: line.region)]
