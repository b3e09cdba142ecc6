"""`reasoner rules book -o FILE`: the rulebook as a handbook.

In: a rulebook and the file to write. Out: one self-contained HTML file.
Not here: the page (rendering.book).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, rules_folders, shared, write_whole

EPILOG = """\b
Example:
  reasoner rules book -o rules.html
  reasoner rules book --rules shipped --rules my-practice/ -o our-rules.html
"""


@click.command("book", epilog=EPILOG)
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), required=True, metavar="FILE", help="The file to write."
)
@shared
@answering
def command(output: Path, folders: Sequence[Path], as_json: bool) -> None:
    """Write the whole rulebook as one page (HTML) that needs no network: by place, by cause, by sign, reasons to call,
    actions, circumstances and sources, with a search. An earlier handbook of that name is replaced; any other file is
    not."""
    from reasoner.rendering.book import MARK, book_html
    from reasoner.rulebook.loading import load_rulebook

    book = load_rulebook(rules_folders(folders))
    write_whole(output, book_html(book), over=MARK)
    if as_json:
        print_json({"schema_version": "1", "written": [str(output)]})
        return
    click.echo(f"written: {output} ({len(book.conclusions)} conclusions, {sum(1 for _ in book.rules())} rules)")
