"""`reasoner progress HORSE`: one horse over its visits.

In: the store and a horse. Out: the progress as words, JSON, a picture, a page.
Not here: comparing (records), wording and pictures (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, may_be_written, print_json, ready, shared, write_whole
from reasoner.cli.records.common import opened, store_option, yard_option

EPILOG = """\b
Example:
  reasoner progress Bramble --store practice.db
  reasoner progress Bramble --picture bramble.svg -o bramble.html --store practice.db
"""


@click.command("progress", epilog=EPILOG)
@click.argument("horse")
@click.option("--picture", type=click.Path(path_type=Path), metavar="FILE.svg",
              help="Also write every place over time as one picture.")  # fmt: skip
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE",
              help="Also write it all as one self-contained page (HTML).")  # fmt: skip
@click.option(
    "--full", is_flag=True, help="Show everything; of older plans and visits the short page counts what it leaves out."
)
@yard_option
@store_option
@shared
@answering
def command(
    horse: str, picture: Path | None, output: Path | None, full: bool, yard: str, store_at: str | None, folders: Sequence[Path],
    as_json: bool,
) -> None:  # fmt: skip
    """What changed at each place beyond the hand's own error, which conclusions came, went and stayed, what came of what the
    plans expected, and what that says of the causes. Readings before work are laid beside readings before work."""
    from reasoner.records.before import held_of
    from reasoner.records.progress import progress_of
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called

    place, book = place_of(store_at), ready(folders).book
    with opened(place).reading() as connection:
        known = horse_called(connection, horse, yard=yard, shown=place.shown)
        held = held_of(connection, known, shown=place.shown)
    found = progress_of(known, held, book)
    texts: list[tuple[Path, str, str | None]] = []
    if picture is not None:
        from reasoner.rendering.progress_picture import picture as drawn

        texts.append((picture, drawn(found, book.vocabulary), None))
    if output is not None:
        from reasoner.rendering.progress_page import progress_html
        from reasoner.rendering.report import MARK

        texts.append((output, progress_html(found, book), MARK))
    for path, _, over in texts:
        may_be_written(path, over=over)
    for path, text, over in texts:
        write_whole(path, text, over=over)
    written = [path for path, _, _ in texts]
    if as_json:
        from reasoner.rendering.records_progress_json import progress_json

        print_json(progress_json(place, found, book, written))
        return
    from reasoner.rendering.progress_text import progress_lines
    from reasoner.rendering.terminal import print_page

    print_page(progress_lines(found, book, full=full))
    for path in written:
        click.echo(f"written: {path}")
