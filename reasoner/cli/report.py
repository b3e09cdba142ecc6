"""`reasoner report VISIT -o FILE`: one page for one reader.

In: a visit file, for whom, and whether it is approved. Out: a self-contained HTML file.
Not here: the page (rendering.report).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, progress_kept, shared, visit_argument, with_records, write_whole
from reasoner.cli.signing import answer_that_may_leave

READERS = ("owner", "vet", "saddle-fitter", "farrier")
EPILOG = """\b
Example:
  reasoner report examples/bramble.yaml -o bramble.html
  reasoner report examples/rook.yaml --for vet -o rook-vet.html --approved-by "Wren Aldous"
  reasoner report bramble-may.yaml -o bramble-may.html --store practice.db
"""


@click.command("report", epilog=EPILOG)
@visit_argument
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), required=True, metavar="FILE", help="The file to write."
)
@click.option(
    "--for",
    "reader",
    type=click.Choice(READERS, case_sensitive=False),
    default="owner",
    show_default=True,
    help="Who will read it.",
)
@click.option(
    "--approved-by", metavar="NAME", help="Your name, once you have read it. Until then it is marked a draft."
)
@with_records
@shared
@answering
def command(
    visit: Path, output: Path, reader: str, approved_by: str | None, store_at: str | None, folders: Sequence[Path],
    as_json: bool,
) -> None:  # fmt: skip
    """Write one self-contained page (HTML) that prints on A4 or Letter and reads on a phone. An earlier report of that
    name is replaced; any other file is not.

    What practitioners judged of this visit themselves stands in the page for the veterinarian and the saddle fitter, as far
    as the records hold it. An apprentice's visit (`checked by` another name) gives no page before it is countersigned there.
    """
    answer, found = answer_that_may_leave(visit, folders, as_json, store_at)
    from reasoner.rendering.report import MARK, report_html

    approved = (approved_by or "").strip() or None
    page = report_html(
        answer, reader, approved, opinions=found.opinions,
        countersigned_by=found.signing.checked_by if found.signing is not None else "",
        progress=progress_kept(answer, store_at),
    )  # fmt: skip
    write_whole(output, page, over=MARK)
    if as_json:
        print_json({"schema_version": "1", "written": [str(output)], "for": reader, "approved_by": approved})
        return
    click.echo(f"written: {output} (for the {reader.replace('-', ' ')}, {'approved' if approved else 'draft'})")
