"""`reasoner day-sheet DAY`: a day's horses, each with the checks it needs.

In: the records and the rules. Out: a page to print and take along.
Not here: what is due, what to check, wording.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, ready, shared
from reasoner.cli.records.common import opened, store_option

EPILOG = """\b
Example:
  reasoner day-sheet --store practice.db
  reasoner day-sheet 2026-05-02 --horse Bramble --store practice.db
"""
OVERDUE = 28


@click.command("day-sheet", epilog=EPILOG)
@click.argument("day", type=click.DateTime(["%Y-%m-%d"]), required=False, metavar="[DAY]")
@click.option("--horse", "names", multiple=True, metavar="NAME", help="These horses only, due or not. May be repeated.")
@click.option("--yard", default="", metavar="NAME", help="This yard only.")
@click.option("--overdue", type=click.IntRange(0), default=OVERDUE, show_default=True, metavar="DAYS",
              help="No sheet for a horse overdue for longer; these are listed at the end.")  # fmt: skip
@click.option("--most", type=click.IntRange(1, 50), default=5, show_default=True, help="Looks to name for each horse.")
@store_option
@shared
@answering
def command(
    day: datetime | None, names: Sequence[str], yard: str, overdue: int, most: int, store_at: str | None,
    folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """A day's horses (default: tomorrow's), each with what was agreed, what to grade again, and what was not looked at last
    time and would tell something."""
    from reasoner.records.day_sheet import sheets_of
    from reasoner.records.diary import diary_of
    from reasoner.rendering.diary_json import sheet_json
    from reasoner.rendering.diary_text import sheet_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.store.names import same_name
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called

    when = day.date() if day else date.today() + timedelta(days=1)
    place, rules = place_of(store_at), ready(folders)
    with opened(place).reading() as connection:
        if names:
            wanted = {horse_called(connection, name, yard=yard, shown=place.shown).uid for name in names}
            dues = [due for due in diary_of(connection) if due.visit.horse in wanted]
        else:
            dues = [due for due in diary_of(connection, until=when)
                    if not yard or same_name(due.visit.yard, yard)]  # fmt: skip
        early = when - timedelta(days=overdue)
        long = [] if names else [due for due in dues if due.day < early]
        dues = [due for due in dues if due not in long] if long else dues
        sheets = list(sheets_of(connection, dues, rules, place, most=most))
    if as_json:
        print_json(sheet_json(sheets, when, place.shown, long))
    else:
        print_page(sheet_lines(sheets, when, rules.book.vocabulary, place.shown, long=long))
