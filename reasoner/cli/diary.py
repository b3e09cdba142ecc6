"""`reasoner diary`: which horses are due to be seen again.

In: the records. Out: a list, or an iCalendar file.
Not here: what is due (records.diary), wording.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path

import click

from reasoner.cli import clock
from reasoner.cli.common import answering, may_be_written, print_json, ready, shared, write_whole
from reasoner.cli.days import DAY
from reasoner.cli.records.common import opened, store_option
from reasoner.problems import BadInput, Problem, register

register({"RE30": "a last day before today"})

EPILOG = """\b
Example:
  reasoner diary --store practice.db
  reasoner diary --until 2026-05-31 --ics due.ics --store practice.db
"""
USUAL_DAYS = 28


@click.command("diary", epilog=EPILOG)
@click.option("--today", type=DAY, metavar="DAY", help="What counts as today. Default: today.")
@click.option("--until", type=DAY, metavar="DAY",
              help=f"The last day to list. Default: {USUAL_DAYS} days from today.")  # fmt: skip
@click.option("--ics", "calendar", type=click.Path(path_type=Path), metavar="FILE",
              help="Write an iCalendar file (.ics) that any calendar reads.")  # fmt: skip
@click.option("--full", is_flag=True, help="Tell every horse whole, however long overdue.")
@store_option
@shared
@answering
def command(
    today: datetime | None, until: datetime | None, calendar: Path | None, full: bool, store_at: str | None,
    folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """Which horses are due to be seen again, overdue first, with what was agreed and expected. Drawn from the last visit to
    each horse."""
    from reasoner.records.diary import diary_of
    from reasoner.rendering.diary_ics import MARK, diary_ics
    from reasoner.rendering.diary_json import diary_json
    from reasoner.rendering.diary_text import diary_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.store.place import place_of

    day = today.date() if today else clock.today()
    last = until.date() if until else day + timedelta(days=USUAL_DAYS)
    if last < day:
        raise BadInput([Problem("--until", 0, "RE30", f"{last.isoformat()} is before today, {day.isoformat()}.",
                                "Dates are year-month-day; what is overdue is listed whatever --until says.")])  # fmt: skip
    place, book = place_of(store_at), ready(folders).book
    if calendar is not None:
        may_be_written(calendar, over=MARK)
    with opened(place).reading() as connection:
        dues = diary_of(connection, book, until=last)
    if calendar is not None:
        write_whole(calendar, diary_ics(dues, book.vocabulary, day, book.scales.reminders), over=MARK)
    if as_json:
        print_json(diary_json(dues, day, place.shown))
        return
    print_page(diary_lines(dues, day, book.vocabulary, place.shown, full=full))
    if calendar is not None:
        click.echo(f"written: {calendar}", err=True)
