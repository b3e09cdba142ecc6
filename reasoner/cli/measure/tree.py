"""`reasoner measure tree FILE`: a tree laid on the tracing of a back; where it touches, clears and presses.

In: a visit file, or a table of points of back and saddle. Out: words or JSON, a picture.
Not here: the solving (measures/), wording and the picture (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import answering, ready, shared
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.quantities import Dimension

if TYPE_CHECKING:
    from reasoner.facts.measured_tree import Across, Along
    from reasoner.rendering.measured import Told
    from reasoner.rulebook.rulebook import Rulebook
    from reasoner.visit.model import Visit

register(
    {
        "MS34": "no such station was traced on both back and saddle",
        "MS38": "back and saddle were not both traced",
        "MS39": "a load or a length that does not read",
    }
)

EPILOG = """\b
A table has the columns of, plane, station, side, out_mm, down_mm; one row a point. Across, each side runs from the
midline outwards; along, from the front end backwards, back and saddle from the same place:
  back,across,withers,left,0,0
  saddle,across,withers,left,30,4
  saddle,along,,left,0,0
\b
Example:
  reasoner measure tree examples/larch.csv --picture larch.svg
  reasoner measure tree examples/larch.csv --load "75 kg" --station withers
  reasoner measure tree examples/larch.csv --ends-behind "30 mm"
"""


@click.command("tree", epilog=EPILOG)
@click.argument("traced", metavar="VISIT_OR_CSV", type=click.Path(path_type=Path))
@click.option("--load", metavar="MASS", help="Rider and saddle together, instead of what the visit or the rules say.")
@click.option("--station", default="", metavar="WORD", help="Only this station across, such as withers or T13.")
@click.option("--ends-behind", metavar="LENGTH", help="How far the bearing part ends behind the last rib.")
@click.option("--ends-before", metavar="LENGTH", help="How far the bearing part ends in front of the last rib.")
@click.option("--picture", type=click.Path(path_type=Path), metavar="FILE.svg",
              help="Draw it: from behind, the horse's left at the left, and from the side.")  # fmt: skip
@shared
@answering
def command(
    traced: Path, load: str | None, station: str, ends_behind: str | None, ends_before: str | None, picture: Path | None,
    folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """A tree or panel laid on the tracing of the back: lowered until it touches, free to roll and shift, then pressed in by the
    load; where it touches, clears and presses, how its sides stand against the back, whether it bridges or rocks."""
    from reasoner.cli.measure.drawing import write_picture
    from reasoner.cli.measure.printing import print_told
    from reasoner.cli.measure.traced_file import traced_in
    from reasoner.rendering.laid_drawing import stacked

    book = ready(folders).book
    if "tree" not in book.measures:
        raise BadInput([Problem("--rules", 0, "MS38", "these rules hold no table for a tree (measures/tree.yaml).")])
    visit = traced_in(traced, book, as_json)
    told = _told(visit, book, load, station, ends_behind, ends_before)
    drawn = [one.picture for one in told if one.picture]
    write_picture(
        picture, stacked(drawn, "Tree against back") if drawn else "", "a line over the back and under the saddle"
    )
    print_told(told, book, as_json)


def _told(
    visit: Visit, book: Rulebook, load: str | None, station: str, behind: str | None, before: str | None
) -> list[Told]:
    """Everything that can be told. Raises BadInput where what was asked for cannot be laid down."""
    from reasoner.facts.measured_tree import across_at, along_of, end_of_bearing, stations_of, table_of
    from reasoner.measures.contact_along import behind_the_rib
    from reasoner.rendering.measured_tree import load_of, told_across, told_along, told_end
    from reasoner.visit.outline_shape import station_key

    table = table_of(book)
    load_kg, given = load_of(visit, table)
    if load is not None:
        load_kg, given = _amount("--load", load, "mass"), True
    ends = end_of_bearing(visit)
    end = None if ends is None else ends[0]
    if behind is not None or before is not None:
        end = behind_the_rib(
            *(None if text is None else _amount(name, text, "length")
              for name, text in (("--ends-behind", behind), ("--ends-before", before)))
        )  # fmt: skip
    known = stations_of(visit.outlines)
    wanted = [station_key(book.vocabulary.place_of, station)] if station else list(known)
    for one in wanted:
        if one not in known:
            raise BadInput([_no_station(visit, station, known)])
    across = [across_at(visit.outlines, one, load_kg, table) for one in wanted]
    along = None if station else along_of(visit.outlines, load_kg, table)
    if not across and along is None and end is None:
        what = "there is no line over the back and under the saddle of the same station, and none along both."
        raise BadInput([Problem(visit.file, 0, "MS38", what, "Trace both, and name the station alike.")])
    _nothing_wrong(visit, across, along)
    told = [told_across(one, table, given) for one in across]
    told += [] if along is None else [told_along(along, table, given)]
    return told + ([] if end is None else [told_end(end, table)])


def _nothing_wrong(visit: Visit, across: Sequence[Across], along: Along | None) -> None:
    """What cannot be laid down is told with the line it was traced on."""
    every: list[Across | Along] = [*across, *([] if along is None else [along])]
    wrong = [
        Problem(visit.file, one.line, problem.code, problem.sentence, problem.hint)
        for one in every
        for problem in one.wrong
    ]
    if wrong:
        raise BadInput(wrong)


def _no_station(visit: Visit, station: str, known: Sequence[str]) -> Problem:
    traced = (
        f"traced on both: {', '.join(one.replace('_', ' ') for one in known)}." if known else "none was traced on both."
    )
    what = f'"{station[:40]}" was not traced on both back and saddle; {traced}'
    return Problem(visit.file, 0, "MS34", what, near_hint(station, known))


def _amount(option: str, text: str, dimension: Dimension) -> float:
    from reasoner.quantities import NotAQuantity, read_quantity

    try:
        amount = float(read_quantity(text, dimension))
    except NotAQuantity as no:
        raise BadInput([Problem(option, 0, "MS39", no.sentence, no.hint)]) from None
    if amount < 0:
        what = f'"{text[:40]}" is less than nothing; a {"mass" if dimension == "mass" else "length"} was expected.'
        raise BadInput([Problem(option, 0, "MS39", what)])
    return amount
