"""`reasoner again HORSE`: the file of a new visit, the same as last time except.

In: the store and a horse. Out: a visit file with what stays, and last time beside every empty place.
Not here: the text (rendering.again).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import click

from reasoner.cli import clock
from reasoner.cli.common import answering, print_json, ready, shared, write_whole
from reasoner.cli.days import DAY
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
@click.option("--on", type=DAY, metavar="DAY",
              help="The day of the new visit, by which a veterinarian's word holds or has run out. Default: today.")  # fmt: skip
@yard_option
@store_option
@shared
@answering
def command(
    horse: str, output: Path | None, on: datetime | None, yard: str, store_at: str | None, folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """Begin another visit: what stays is written, last time's reading stands beside every empty place, and it opens with what was
    expected and what to ask. A veterinarian's word that still holds is written, to be seen and struck; one that has run out is
    named. An existing file is never written over."""
    from reasoner.records.before import as_it_stands, held_of
    from reasoner.records.carried import carried, next_day
    from reasoner.records.since_then import since_kept
    from reasoner.rendering.again import again_text
    from reasoner.rendering.records_progress_json import again_json
    from reasoner.rendering.since_then_text import since_then_margin
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called

    place, rules = place_of(store_at), ready(folders)
    book = rules.book
    with opened(place).reading() as connection:
        known = horse_called(connection, horse, yard=yard, shown=place.shown)
        *before, last = held_of(connection, known, shown=place.shown)
        every = (*before, as_it_stands(last, known))
        day = next_day(every, None if on is None else on.date(), clock.today(), place.shown)
        words = carried(connection, place, every, day, book.vocabulary)
        since = since_kept(connection, place, last.known, lambda: rules)
    text = again_text(every, book, words, since_then_margin(since))
    if output is not None:
        write_whole(output, text, over=None)
    if as_json:
        print_json(again_json(place, every[-1], book, text, output, words, since))
    elif output is None:
        click.echo(text, nl=False)
    else:
        click.echo(f"written: {output} (last time: {every[-1].known.day.isoformat()})")
