"""`reasoner measure tracing NOW`: widths and slopes of the back from a tracing, and what changed since an earlier one.

In: a visit file, or a table of points. Out: words or JSON, a picture, the same tracing as a table.
Not here: the geometry (measures/), wording and the picture (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import answering, may_be_written, ready, shared, write_whole
from reasoner.problems import BadInput, Problem, near_hint, register

if TYPE_CHECKING:
    from reasoner.facts.traced import AtStation
    from reasoner.rulebook.rulebook import Rulebook
    from reasoner.visit.model import Visit

register(
    {
        "MS22": "a depth that no width can be read at",
        "MS23": "a tracing does not reach the depth asked",
        "MS24": "nothing was traced across the back",
        "MS25": "two tracings without a station in common",
        "MS26": "an instrument that is not known",
    }
)

EPILOG = """\b
A table has the columns of, plane, station, side, out_mm, down_mm; one row a point, each side from the midline outwards:
  back,across,T13,left,0,0
  back,across,T13,left,30,4
\b
Example:
  reasoner measure tracing tracing.csv
  reasoner measure tracing now.yaml --before march.yaml --picture tracing.svg
  reasoner measure tracing tracing.csv --depth "5 cm" --traced-with "profile gauge"
"""


@click.command("tracing", epilog=EPILOG)
@click.argument("now", type=click.Path(path_type=Path))
@click.option("--before", type=click.Path(path_type=Path), metavar="FILE",
              help="An earlier visit or table: what changed, against the error of both.")  # fmt: skip
@click.option("--depth", "depths", multiple=True, metavar="LENGTH",
              help='A depth below the midline instead of the published ones, such as "5 cm"; may be given again.')  # fmt: skip
@click.option("--traced-with", "instrument", default="", metavar="WORD",
              help="flexible curve or profile gauge, instead of what the visit says: their errors differ.")  # fmt: skip
@click.option("--picture", type=click.Path(path_type=Path), metavar="FILE.svg",
              help="Draw it: seen from behind, the horse's left at the left.")  # fmt: skip
@click.option("--csv", "table", type=click.Path(path_type=Path), metavar="FILE.csv",
              help="Write the tracing as a table, to be kept for the next time.")  # fmt: skip
@shared
@answering
def command(
    now: Path,
    before: Path | None,
    depths: Sequence[str],
    instrument: str,
    picture: Path | None,
    table: Path | None,
    folders: Sequence[Path],
    as_json: bool,
) -> None:
    """Widths of the back at depths below its midline, each half by itself, left against right with the error of the curve, the
    ratio and the slopes; with --before what changed."""
    from reasoner.cli.measure.printing import print_told
    from reasoner.cli.measure.traced_file import traced_in
    from reasoner.facts.traced import table_of
    from reasoner.rendering.measured_tracing import told_of

    book = ready(folders).book
    wanted = [_depth(text) for text in depths]
    used = _instrument(instrument, book)
    visit = traced_in(now, book, as_json)
    at = _stations(visit, book, wanted, used)
    earlier = None if before is None else traced_in(before, book, as_json)
    then = None if earlier is None else _stations(earlier, book, wanted, used)
    if earlier is not None and then is not None:
        _in_common(earlier, then, at)
    told = told_of(visit, at, table_of(book), then, _days(visit, earlier))
    if (picture or table) and all(one.taped for one in at):
        what = "widths were taped here and nothing was traced; there is no line to draw or to write."
        raise BadInput([Problem(visit.file, 0, "MS24", what)])
    if picture is not None and table is not None and picture.absolute() == table.absolute():
        what = f"{picture}: the picture and the table would be written into one file."
        raise BadInput([Problem("--picture, --csv", 0, "CL03", what, "Give each a name of its own.")])
    outputs = [
        (path, text) for path, text in ((picture, told.picture), (table, _as_table(visit))) if path is not None and text
    ]
    for path, _ in outputs:  # both before either, so that nothing is half written
        may_be_written(path, over=None)
    for path, text in outputs:
        write_whole(path, text, over=None)
    print_told([told], book, as_json)


def _stations(visit: Visit, book: Rulebook, depths: Sequence[float], instrument: str) -> tuple[AtStation, ...]:
    """Every station of a visit. Raises BadInput where there is none, or where it does not reach a depth asked for by name."""
    from reasoner.facts.traced import stations, table_of

    at = stations(visit, table_of(book), depths_mm=depths, instrument=instrument)
    if not at:
        hint = "Write a station under back tracings: T13: {left: 0/0 30/4, right: 0/0 30/5}."
        raise BadInput([Problem(visit.file, 0, "MS24", "nothing was traced across the back.", hint)])
    if depths:
        short = [
            Problem(visit.file, one.line, "MS23", f"{one.name}: {sentence}.", "Ask for less, or trace further down.")
            for one in at
            for sentence in one.missing
            if sentence.endswith("was asked")
        ]
        if short:
            raise BadInput(short)
    return at


def _depth(text: str) -> float:
    from reasoner.quantities import NotAQuantity, read_quantity

    try:
        depth = float(read_quantity(text, "length"))
    except NotAQuantity as no:
        raise BadInput([Problem("--depth", 0, "MS22", no.sentence, no.hint)]) from None
    if depth <= 0:
        what = f'"{text}" is not below the midline; a depth greater than 0 was expected.'
        raise BadInput([Problem("--depth", 0, "MS22", what, 'Such as "3 cm".')])
    return depth


def _instrument(word: str, book: Rulebook) -> str:
    """The key of an instrument by any of its spellings; an empty string where none was given."""
    from reasoner.facts.traced import INSTRUMENT
    from reasoner.rulebook.vocabulary import canonical

    if not word:
        return ""
    known = book.vocabulary.observations[INSTRUMENT].reading_of
    if canonical(word) in known:
        return known[canonical(word)]
    names = [key.replace("_", " ") for key in dict.fromkeys(known.values())]
    what = f'"{word[:40]}" is not known; expected {" or ".join(names)}.'
    raise BadInput(
        [Problem("--traced-with", 0, "MS26", what, near_hint(word, [key.replace("_", " ") for key in known]))]
    )


def _in_common(earlier: Visit, then: Sequence[AtStation], now: Sequence[AtStation]) -> None:
    stood, stand = ({(one.station, one.taped): one.name for one in some} for some in (then, now))
    if not stood.keys() & stand.keys():
        what = f"{', '.join(stood.values())} then and {', '.join(stand.values())} now have no station in common."
        raise BadInput(
            [Problem(earlier.file, 0, "MS25", what, "Like is compared with like: trace the same station again.")]
        )


def _days(visit: Visit, earlier: Visit | None) -> int | None:
    """Days between two visits; None where either is a table, which has no day."""
    from reasoner.cli.measure.traced_file import NO_DAY

    if earlier is None or NO_DAY in (visit.day, earlier.day):
        return None
    return (visit.day - earlier.day).days


def _as_table(visit: Visit) -> str:
    from reasoner.visit.outline_csv import outlines_csv

    return outlines_csv(visit.outlines)
