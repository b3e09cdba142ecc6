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
from reasoner.cli.signing import none_waits

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
    from reasoner.records.signing import waiting
    from reasoner.records.since_then import since_kept
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called
    from reasoner.store.rested_on import rested_on

    if output is not None:
        is_pdf(output, paper)
    place, rules = place_of(store_at), ready(folders)
    book = rules.book
    with opened(place).reading() as connection:
        known = horse_called(connection, horse, yard=yard, shown=place.shown)
        held = held_of(connection, known, shown=place.shown)
        rested = rested_on(connection, known.uid)
        unsigned = waiting(connection, [one.known for one in held])
        told = (since_kept(connection, place, one.known, lambda: rules) for one in held[-2:])
        since = [one for one in told if one is not None]
    found = progress_of(known, held, book, rested)
    if picture is not None or output is not None:
        none_waits(unsigned, "this page", place.shown)
    days = [one.day.isoformat() for one in unsigned]
    files: list[tuple[Path, str | bytes, Over]] = []
    if picture is not None:
        from reasoner.rendering.progress_picture import picture as drawn

        files.append((picture, drawn(found, book.vocabulary), None))
    if output is not None:
        from reasoner.rendering.progress_page import progress_html

        files.append(as_asked(progress_html(found, book, since), output, paper))
    write_all_whole(files)
    written = [path for path, _, _ in files]
    if as_json:
        from reasoner.rendering.records_progress_json import progress_json

        print_json({**progress_json(place, found, book, written, since), "not_countersigned": days})
        return
    from reasoner.rendering.beside_lines import waiting_lines
    from reasoner.rendering.progress_text import progress_lines
    from reasoner.rendering.terminal import print_page

    print_page([*waiting_lines(unsigned), *progress_lines(found, book, full=full, since=since)])
    for path in written:
        click.echo(f"written: {path}")
