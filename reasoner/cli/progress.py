"""`reasoner progress HORSE`: one horse over its visits.

In: the store and a horse. Out: the progress as words, JSON, a picture, a page.
Not here: comparing (records), wording and pictures (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import Over, answering, print_json, ready, shared, write_all_whole
from reasoner.cli.paper import as_asked, is_pdf, with_paper
from reasoner.cli.records.common import opened, store_option, yard_option

EPILOG = """\b
Example:
  reasoner progress Bramble --store practice.db
  reasoner progress Bramble --picture bramble.svg -o bramble.html --store practice.db
  reasoner progress Bramble -o bramble.pdf --store practice.db
"""


@click.command("progress", epilog=EPILOG)
@click.argument("horse")
@click.option("--picture", type=click.Path(path_type=Path), metavar="FILE.svg",
              help="Also write every place over time as one picture.")  # fmt: skip
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE",
              help="Also write it all as one self-contained page (.html) or PDF (.pdf).")  # fmt: skip
@click.option(
    "--full", is_flag=True, help="Show everything; of older plans and visits the short page counts what it leaves out."
)
@with_paper
@yard_option
@store_option
@shared
@answering
def command(
    horse: str, picture: Path | None, output: Path | None, full: bool, paper: str | None, yard: str, store_at: str | None,
    folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """What changed at each place beyond the hand's own error, which conclusions came, went and stayed, what came of what the
    plans expected, and what that says of the causes. Readings before work are laid beside readings before work."""
    from reasoner.records.before import held_of
    from reasoner.records.progress import progress_of
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called

    if output is not None:
        is_pdf(output, paper)
    place, book = place_of(store_at), ready(folders).book
    with opened(place).reading() as connection:
        known = horse_called(connection, horse, yard=yard, shown=place.shown)
        held = held_of(connection, known, shown=place.shown)
    found = progress_of(known, held, book)
    files: list[tuple[Path, str | bytes, Over]] = []
    if picture is not None:
        from reasoner.rendering.progress_picture import picture as drawn

        files.append((picture, drawn(found, book.vocabulary), None))
    if output is not None:
        from reasoner.rendering.progress_page import progress_html

        files.append(as_asked(progress_html(found, book), output, paper))
    write_all_whole(files)
    written = [path for path, _, _ in files]
    if as_json:
        from reasoner.rendering.records_progress_json import progress_json

        print_json(progress_json(place, found, book, written))
        return
    from reasoner.rendering.progress_text import progress_lines
    from reasoner.rendering.terminal import print_page

    print_page(progress_lines(found, book, full=full))
    for path in written:
        click.echo(f"written: {path}")
