"""`reasoner again HORSE`: the file of a new visit, the same as last time except.

In: the store and a horse. Out: a visit file with what stays, and last time beside every empty place.
Not here: the text (rendering.again).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, ready, shared, write_whole
from reasoner.cli.records.common import opened, store_option, yard_option

EPILOG = """\b
Example:
  reasoner again Bramble --store practice.db
  reasoner again Bramble -o bramble-may.yaml --store practice.db
"""


@click.command("again", epilog=EPILOG)
@click.argument("horse")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="The file to write. Default: print it."
)
@yard_option
@store_option
@shared
@answering
def command(
    horse: str, output: Path | None, yard: str, store_at: str | None, folders: Sequence[Path], as_json: bool
) -> None:
    """Begin another visit: what stays is written, last time's reading stands beside every empty place, and it opens with what was
    expected and what to ask. An existing file is never written over."""
    from reasoner.records.before import held_of
    from reasoner.rendering.again import again_text
    from reasoner.rendering.records_progress_json import again_json
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called

    place, book = place_of(store_at), ready(folders).book
    with opened(place).reading() as connection:
        known = horse_called(connection, horse, yard=yard, shown=place.shown)
        every = held_of(connection, known, shown=place.shown)
    text = again_text(every, book)
    if output is not None:
        write_whole(output, text, over=None)
    if as_json:
        print_json(again_json(place, every[-1], book, text, output))
    elif output is None:
        click.echo(text, nl=False)
    else:
        click.echo(f"written: {output} (last time: {every[-1].known.day.isoformat()})")
