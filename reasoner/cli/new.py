"""`reasoner new VISIT`: a blank visit file, and a sheet to print.

In: the name of a file that does not exist yet. Out: that file.
Not here: what a visit file holds (visit.blank), the sheet's layout (rendering.sheet).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, ready, shared, write_whole

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
    write_whole(visit, blank_visit(vocabulary), over=None)
    written = [str(visit)]
    if sheet is not None:
        from reasoner.rendering.sheet import printable_sheet

        write_whole(sheet, printable_sheet(vocabulary), over=None)
        written.append(str(sheet))
    if as_json:
        print_json({"schema_version": "1", "written": written})
        return
    for name in written:
        click.echo(f"written: {name}")
