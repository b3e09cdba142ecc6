"""`reasoner report VISIT -o FILE`: one page for one reader, or with --all a page for each.

In: a visit file, for whom, and whether it is approved. Out: self-contained HTML files, or PDFs.
Not here: the page (rendering.report), its layout on paper (rendering.pdf).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import (
    answering,
    print_json,
    progress_kept,
    shared,
    visit_argument,
    with_records,
    write_all_whole,
)
from reasoner.cli.paper import as_asked, is_pdf, with_paper
from reasoner.cli.signing import answer_that_may_leave
from reasoner.problems import BadInput, Problem, register

register({"RE43": "where reports are to be written, and for whom"})

READERS = ("owner", "vet", "saddle-fitter", "farrier")
EPILOG = """\b
Example:
  reasoner report examples/bramble.yaml -o bramble.html
  reasoner report examples/bramble.yaml -o bramble.pdf --paper Letter
  reasoner report examples/rook.yaml --for vet -o rook-vet.html --approved-by "Wren Aldous"
  reasoner report examples/rook.yaml --all reports --pdf
  reasoner report bramble-may.yaml -o bramble-may.html --store practice.db
"""


@click.command("report", epilog=EPILOG)
@visit_argument
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="The file to write: a page for a screen where it ends in .html, a PDF where it ends in .pdf.",
)
@click.option(
    "--all",
    "folder",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Instead of -o: write the reports of every reader into this folder, all of them or none.",
)
@click.option("--pdf", is_flag=True, help="With --all: write PDFs.")
@click.option(
    "--for",
    "reader",
    type=click.Choice(READERS, case_sensitive=False),
    help="Who will read it.  [default: owner]",
)
@click.option(
    "--approved-by", metavar="NAME", help="Your name, once you have read it. Until then it is marked a draft."
)
@with_paper
@with_records
@shared
@answering
def command(
    visit: Path, output: Path | None, folder: Path | None, pdf: bool, reader: str | None, approved_by: str | None,
    paper: str | None, store_at: str | None, folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """Write one self-contained page that prints on A4 or Letter and reads on a phone (HTML), or a PDF. An earlier report of
    that name is replaced; any other file is not, nor a PDF that somebody has written remarks into.

    What practitioners judged of this visit themselves stands in the page for the veterinarian and the saddle fitter, as far
    as the records hold it. An apprentice's visit (`checked by` another name) gives no page before it is countersigned there.
    """
    targets = _targets(visit, output, folder, pdf, reader)
    for path in targets.values():
        is_pdf(path, paper)
    answer, found = answer_that_may_leave(visit, folders, as_json, store_at)
    from reasoner.rendering.report import report_html

    approved = (approved_by or "").strip() or None
    progress = progress_kept(answer, store_at)
    files = [
        as_asked(
            report_html(
                answer, name, approved, opinions=found.opinions,
                countersigned_by=found.signing.checked_by if found.signing is not None else "", progress=progress,
            ), path, paper,
        )
        for name, path in targets.items()
    ]  # fmt: skip
    write_all_whole(files)
    if as_json:
        print_json({
            "schema_version": "1", "written": [str(path) for path in targets.values()],
            "for": None if folder is not None else next(iter(targets)), "readers": list(targets), "approved_by": approved,
        })  # fmt: skip
        return
    for name, path in targets.items():
        click.echo(f"written: {path} (for the {name.replace('-', ' ')}, {'approved' if approved else 'draft'})")


def _targets(visit: Path, output: Path | None, folder: Path | None, pdf: bool, reader: str | None) -> dict[str, Path]:
    """Each reader and the file for that reader. Raises BadInput (RE43)."""
    if (output is None) == (folder is None):
        read = "neither was read" if output is None else "both were read"
        raise _unclear(f"one of -o FILE and --all FOLDER was expected; {read}.",
                       "-o writes the page of one reader, --all those of every reader.")  # fmt: skip
    if folder is None:
        assert output is not None
        if pdf and output.suffix.lower() != ".pdf":
            raise _unclear(
                "--pdf goes with --all; with -o the ending of the name decides.", "Let the name end in .pdf."
            )
        return {reader or "owner": output}
    if reader is not None:
        raise _unclear(f'"--for {reader}" was read beside --all, which writes for every reader.',
                       "Use -o FILE for one reader.")  # fmt: skip
    ending = "pdf" if pdf else "html"
    return {name: folder / f"{visit.stem}-{name}.{ending}" for name in READERS}


def _unclear(sentence: str, hint: str) -> BadInput:
    return BadInput([Problem("report", 0, "RE43", sentence, hint)])
