"""`reasoner new VISIT`: a blank visit file, and a sheet to print.

In: the name of a file that does not exist yet. Out: that file.
Not here: what a visit file holds (visit.blank), the sheet's layout (rendering.sheet).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, may_be_written, print_json, ready, shared, write_whole
from reasoner.problems import BadInput, Problem

EPILOG = """\b
Example:
  reasoner new bramble-april.yaml
  reasoner new bramble-april.yaml --sheet sheet.html     (and a sheet to print)
"""


@click.command("new", epilog=EPILOG)
@click.argument("visit", type=click.Path(path_type=Path))
@click.option("--sheet", type=click.Path(path_type=Path), metavar="FILE",
              help="Also write a sheet to print (HTML) in the order of one walk round the horse.")  # fmt: skip
@shared
@answering
def command(visit: Path, sheet: Path | None, folders: Sequence[Path], as_json: bool) -> None:
    """Write a blank visit file in the order of one walk round the horse. An existing file is never written over."""
    from reasoner.visit.blank import blank_visit

    vocabulary = ready(folders).book.vocabulary
    texts = [(visit, blank_visit(vocabulary))]
    if sheet is not None:
        from reasoner.rendering.sheet import printable_sheet

        texts.append((sheet, printable_sheet(vocabulary)))
    _write_all(texts)
    written = [str(path) for path, _ in texts]
    if as_json:
        print_json({"schema_version": "1", "written": written})
        return
    for name in written:
        click.echo(f"written: {name}")


def _write_all(texts: Sequence[tuple[Path, str]]) -> None:
    """Write every file or none. Raises BadInput with what is wrong about each of them."""
    problems: list[Problem] = []
    for path, _ in texts:
        try:
            may_be_written(path, over=None)
        except BadInput as bad:
            problems += bad.problems
    if len({path.absolute() for path, _ in texts}) < len(texts):
        problems.append(Problem(str(texts[-1][0]), 0, "CL03", "the visit and the sheet have the same name.",
                                "Choose another for the sheet."))  # fmt: skip
    if problems:
        raise BadInput(problems)
    written: list[Path] = []
    try:
        for path, text in texts:
            write_whole(path, text, over=None)
            written.append(path)
    except BadInput:
        for path in written:
            path.unlink(missing_ok=True)
        raise
