"""`reasoner track`: how often what was promised came true, over all horses.

In: the records. Out: a tally of each cause, action and rule, as words or JSON, and the picture of certainty beside outcome.
Not here: counting (records.track), words.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, ready, shared, write_whole
from reasoner.cli.days import DAY
from reasoner.cli.records.common import opened, store_option

EPILOG = """\b
Example:
  reasoner track --store practice.db
  reasoner track --rule --examiner "Wren Aldous" --since 2025-01-01
  reasoner track --picture certainty.svg
"""


@click.command("track", epilog=EPILOG)
@click.option("--cause", "views", flag_value="cause", multiple=True, help="Only causes, and what else steps answer.")
@click.option("--action", "views", flag_value="action", multiple=True, help="Only steps of the plan.")
@click.option("--rule", "views", flag_value="rule", multiple=True, help="Only rules, and what is proposed for them.")
@click.option("--examiner", default="", metavar="NAME", help="Only visits examined by this person.")
@click.option("--since", type=DAY, metavar="DAY", help="Only visits from this day on.")
@click.option("--picture", type=click.Path(path_type=Path), metavar="FILE.svg", help="Write certainty beside outcome.")
@click.option("--full", is_flag=True, help="Show everything, with the cases behind each figure.")
@store_option
@shared
@answering
def command(
    views: Sequence[str], examiner: str, since: datetime | None, picture: Path | None, full: bool, store_at: str | None,
    folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """For each rule, cause and action: how often its promises came true, with intervals; nothing where there are too few.

    Only steps that the owner told as carried out are counted. No rule is ever changed by this; where the record speaks clearly,
    another strength is proposed.
    """
    from reasoner.records.cases import settings_of, steps_of
    from reasoner.records.reweigh import proposals_of
    from reasoner.records.track import VIEWS, track_of
    from reasoner.store.place import place_of

    place, book = place_of(store_at), ready(folders).book
    settings = settings_of(book.scales)
    with opened(place).reading() as connection:
        day = since.date() if since else None
        steps = steps_of(connection, book, examiner=examiner, since=day, shown=place.shown)
    track = track_of(steps, settings)
    proposals = proposals_of(track, book, settings)
    asked = [view for view in VIEWS if view in views] or list(VIEWS)
    if picture is not None:
        from reasoner.rendering.certainty_picture import certainty_picture

        write_whole(picture, certainty_picture(track.certainty, settings.interval), over=None)
    if as_json:
        from reasoner.rendering.track_json import track_json

        print_json(track_json(place, track, proposals, asked, settings, examiner=examiner,
                              since=day.isoformat() if day else "", stamp=book.stamp))  # fmt: skip
        return
    from reasoner.rendering import phrases
    from reasoner.rendering.terminal import print_page
    from reasoner.rendering.track_text import track_lines

    print_page(track_lines(place, track, proposals, asked, book, settings, examiner=examiner,
                           since=phrases.day(day) if day else "", full=full))  # fmt: skip
    if picture is not None:
        click.echo(f"written: {picture}")
