"""`reasoner agree ONE TWO`: two hands on one horse, or one hand twice: the same number? And what does the difference move?

In: visit files, folders, sealed visits or the records. Out: agreement, differences and what they move, as words, JSON, a page, a
picture; on request a seal, or an examiner's own error of reading.
Not here: working anything out (teaching), wording (rendering), collecting the visits (agree_visits).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import Over, answering, print_json, ready, shared, warn, write_all_whole
from reasoner.problems import BadInput, Problem

if TYPE_CHECKING:
    from reasoner.rendering.text_page import Line
    from reasoner.rulebook.measures.agreement import AgreementTable
    from reasoner.rulebook.rulebook import Rulebook
    from reasoner.teaching.compared import Compared

EPILOG = """\b
Example:
  reasoner agree wren.yaml tam.yaml
  reasoner agree morning.yaml evening.yaml --into my-practice/scales/reading_error.yaml
  reasoner agree visits/ --picture differences.svg

\b
Blind, beside the teacher (neither sees the other's file before both seals are handed over):
  reasoner agree --seal tam.yaml               each by itself: writes tam.seal.json and tam.opening.json
  (hand over the .seal.json; once you hold the other's, hand over the .opening.json)
  reasoner agree tam.opening.json wren.opening.json --sealed tam.seal.json --sealed wren.seal.json
"""


@click.command("agree", epilog=EPILOG)
@click.argument("places", nargs=-1, type=click.Path(path_type=Path), metavar="[ONE] [TWO]")
@click.option(
    "--store", "store_at", metavar="FILE|URL", help="Take every two visits of one horse and day kept in these records."
)
@click.option("--horse", default="", metavar="NAME", help="Of the records only this horse.")
@click.option("--seal", "to_seal", type=click.Path(path_type=Path), metavar="VISIT",
              help="Lock this visit: write its seal, to hand over first, and its opening, to keep.")  # fmt: skip
@click.option("--sealed", "seals", multiple=True, type=click.Path(path_type=Path), metavar="SEAL",
              help="A seal that was handed over; each opening must fit one of them. May be given again.")  # fmt: skip
@click.option("--moved", is_flag=True, help="Of many pairs too: follow each to the readings behind its conclusions.")
@click.option("--into", type=click.Path(path_type=Path), metavar="FILE",
              help="One hand twice: write its own error of reading here, as a layer of rules for `reasoner firm`.")  # fmt: skip
@click.option(
    "--picture", type=click.Path(path_type=Path), metavar="FILE.svg", help="Write the picture of differences here."
)
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE.html",
              help="Write the page here, with the picture; with --seal the folder for both files.")  # fmt: skip
@click.option(
    "--seed", type=click.IntRange(0), default=1, show_default=True, help="The same seed draws the same visits again."
)
@shared
@answering
def command(
    places: tuple[Path, ...],
    store_at: str | None,
    horse: str,
    to_seal: Path | None,
    seals: tuple[Path, ...],
    moved: bool,
    into: Path | None,
    picture: Path | None,
    output: Path | None,
    seed: int,
    folders: Sequence[Path],
    as_json: bool,
) -> None:
    """How well two hands agree on the same horse and day (weighted kappa, ICC, limits of agreement), where they differ, and which
    single reading moved which conclusion. One hand twice over gives its own error of reading."""
    from reasoner.cli.agree_visits import checked_question, collected, seal
    from reasoner.cli.measure.printing import table_of
    from reasoner.rulebook.measures.agreement import AgreementTable

    checked_question(places, store_at, to_seal, seals, into)
    if to_seal is not None:
        seal(to_seal, output, folders, as_json)
        return
    _, table = table_of("agreement", AgreementTable, folders)
    rules = ready(folders)
    book = rules.book
    found = collected(places, store_at, horse, seals, book)
    from reasoner.rendering.agreement_text import agreement_lines
    from reasoner.rendering.limits_picture import limits_picture
    from reasoner.rendering.reading_error_layer import own_error_lines
    from reasoner.teaching.compared import compared

    told, pages, pictures = [], [], []
    for pairs in found.pairs.values():
        one = compared(pairs, rules, table, seed=seed, follow=moved or None, earlier=found.earlier)
        told.append(one)
        pictures.append(limits_picture(one.agreement))
        own = () if one.wavering is None else own_error_lines(one.wavering, book.scales.reading_error, table)
        pages.append(list(agreement_lines(one, book, table, own)))
    _write(into, picture, output, told, pages, pictures, book, table)
    if as_json:
        from reasoner.rendering.agreement_json import agreement_json

        print_json(agreement_json(told, found.alone, found.sealed, book, table))
        return
    from reasoner.rendering.terminal import print_page
    from reasoner.rendering.text_page import Line

    warn(
        [
            problem
            for one in told
            for pair in one.agreement.pairs
            for v in (pair.one, pair.two)
            for problem in v.warnings
        ]
    )
    for name in found.sealed:
        print_page([Line(f"{name} fits its seal: nothing in it was changed since.", "faint")])
    if len(found.sealed) == 1:
        print_page([Line("The other file was not sealed: whether it was changed since, nobody can tell.", "open")])
    for lines in pages:
        print_page(lines)
    if found.alone:
        print_page(
            [
                Line(
                    f"Without another visit of the same horse and day: {', '.join(v.file for v in found.alone)}.",
                    "open",
                )
            ]
        )
    for path in (into, picture, output):
        if path is not None:
            click.echo(f"written: {path}")


def _write(
    into: Path | None,
    picture: Path | None,
    output: Path | None,
    told: Sequence[Compared],
    pages: Sequence[Sequence[Line]],
    pictures: Sequence[str],
    book: Rulebook,
    table: AgreementTable,
) -> None:
    """Every file that was asked for, all or none."""
    from reasoner.rendering.report import MARK
    from reasoner.rendering.taught_page import taught_html

    files: list[tuple[Path, str | bytes, Over]] = []
    if into is not None:
        files.append((into, _layer(into, told, book, table), _is_layer))
    if picture is not None:
        files.append((picture, _only(pictures, picture), None))
    if output is not None:
        lines = [line for page in pages for line in page]
        files.append((output, taught_html(lines, pictures, "For those who grade, to compare and to print."), MARK))
    write_all_whole(files)


def _only(pictures: Sequence[str], path: Path) -> str:
    """The one picture. Raises BadInput where there is none or more than one."""
    if len(pictures) == 1 and pictures[0]:
        return pictures[0]
    said = (
        "there are too few places for a picture."
        if len(pictures) == 1
        else f"{len(pictures)} comparisons have a picture each."
    )
    raise BadInput([Problem(str(path), 0, "TE13", said, "-o FILE.html writes the page with every picture there is.")])


def _layer(path: Path, told: Sequence[Compared], book: Rulebook, table: AgreementTable) -> str:
    """The layer's text. Raises BadInput where the pairs are not one hand twice, or there is too little."""
    from reasoner.rendering.reading_error_layer import error_of, layer_text

    same = [one.wavering for one in told if one.wavering is not None]
    if not same:
        said = "these are two hands; an error of reading is of one hand, grading twice over."
        raise BadInput([Problem(str(path), 0, "TE13", said, "Both files say the same name at `examined by`.")])
    text = path.read_bytes() if path.is_file() else None
    for wavering in same:
        made = layer_text(wavering, error_of(wavering, book.scales.reading_error, table, str(path)), text, str(path))
        text = made.encode("utf-8")
    return (text or b"").decode("utf-8")


def _is_layer(data: bytes) -> bool:
    from reasoner.rendering.reading_error_layer import MARK

    return data.startswith(MARK.encode())
