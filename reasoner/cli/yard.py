"""`reasoner yard [NAME]`: what no single visit shows.

In: the records. Out: what several horses under one rider, in one saddle, in one examiner's hands or at one yard show alike.
Not here: counting (records.yard), words.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, ready, shared
from reasoner.cli.days import DAY
from reasoner.cli.records.common import opened, store_option

EPILOG = """\b
Example:
  reasoner yard --store practice.db
  reasoner yard "Ida Fenn" --since 2025-01-01
"""


@click.command("yard", epilog=EPILOG)
@click.argument("name", default="")
@click.option("--since", type=DAY, metavar="DAY", help="Only visits from this day on.")
@click.option("--full", is_flag=True, help="Show every run; the short page tells the rarest.")
@store_option
@shared
@answering
def command(
    name: str, since: datetime | None, full: bool, store_at: str | None, folders: Sequence[Path], as_json: bool
) -> None:
    """What several horses show alike, under one rider, in one saddle, in one examiner's hands, or at one yard; with the visits
    and lines it rests on, and how likely it is by chance after all that was looked at.

    NAME narrows it to one rider, saddle, examiner or yard.
    """
    from reasoner.records.yard import settings_of, yard_view
    from reasoner.store.place import place_of

    place, book = place_of(store_at), ready(folders).book
    settings, day = settings_of(book.scales), since.date() if since else None
    with opened(place).reading() as connection:
        view = yard_view(connection, book, name=name, since=day, shown=place.shown)
    if as_json:
        from reasoner.rendering.yard_json import yard_json

        stamp = book.stamp
        print_json(yard_json(place, view, settings, name=name, since=day.isoformat() if day else "", stamp=stamp))
        return
    from reasoner.rendering import phrases
    from reasoner.rendering.terminal import print_page
    from reasoner.rendering.yard_text import yard_lines

    shown = phrases.day(day) if day else ""
    print_page(yard_lines(place, view, book, settings, name=name, since=shown, full=full))
