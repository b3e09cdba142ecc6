"""`reasoner day-sheet DAY`: a day's horses, each with the checks it needs.

In: the records and the rules. Out: a page on the screen, or a file to print and take along.
Not here: what is due, what to check, wording.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path

import click

from reasoner.cli import clock
from reasoner.cli.common import answering, print_json, ready, shared, write_all_whole
from reasoner.cli.days import DAY
from reasoner.cli.paper import as_asked, is_pdf, with_paper
from reasoner.cli.records.common import opened, store_option
from reasoner.problems import BadInput, Problem, near_hint, register

EPILOG = """\b
Example:
  reasoner day-sheet --store practice.db
  reasoner day-sheet 2026-05-02 --horse Bramble --at 09:30 Bramble --store practice.db
  reasoner day-sheet 2026-05-02 -o saturday.pdf --store practice.db
"""
OVERDUE = 28
LAST_HOUR, LAST_MINUTE, LATEST = 23, 59, "99:99"
NO_SHEET = "No visit to it is kept there."
_CLOCK = re.compile(r"(\d{1,2})(?:[:.h](\d{2}))?")

register({"RE65": "the time at which a horse is seen", "RE72": "a yard at which no horse kept here ever stood"})


@click.command("day-sheet", epilog=EPILOG)
@click.argument("day", type=DAY, required=False, metavar="[DAY]")
@click.option("--horse", "names", multiple=True, metavar="NAME", help="These horses only, due or not. May be repeated.")
@click.option("--yard", default="", metavar="NAME", help="This yard only.")
@click.option("--overdue", type=click.IntRange(0), default=OVERDUE, show_default=True, metavar="DAYS",
              help="No sheet for a horse overdue for longer; these are listed at the end.")  # fmt: skip
@click.option("--most", type=click.IntRange(1, 50), default=5, show_default=True, help="Looks to name for each horse.")
@click.option(
    "--at",
    "times",
    nargs=2,
    multiple=True,
    metavar="TIME HORSE",
    help="When a horse is seen, due or not. May be repeated.",
)
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE",
              help="Write it to print: a page where the name ends in .html, a PDF where it ends in .pdf.")  # fmt: skip
@with_paper
@store_option
@shared
@answering
def command(
    day: datetime | None, names: Sequence[str], yard: str, overdue: int, most: int, times: Sequence[tuple[str, str]],
    output: Path | None, paper: str | None, store_at: str | None, folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """A day's horses (default: tomorrow's), a page each at most: what stands against it and what a veterinarian said, what to
    bring, what was expected and what the owner told since, and the checks it needs by name. How each check is made is told
    once, at the end. Horses with a time come first, in its order."""
    from reasoner.records.day_sheet import sheets_of
    from reasoner.records.diary import diary_of
    from reasoner.rendering.day_sheet_text import sheet_lines
    from reasoner.rendering.diary_json import sheet_json
    from reasoner.rendering.terminal import print_page
    from reasoner.store.names import same_name
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called, horses

    if output is not None:
        is_pdf(output, paper)
    elif paper:
        raise BadInput(
            [Problem("--paper", 0, "RE42", "a paper was chosen, and no file is written.", "Write -o FILE.pdf.")]
        )
    when = day.date() if day else clock.today() + timedelta(days=1)
    place, rules = place_of(store_at), ready(folders)
    with opened(place).reading() as connection:

        def uid_of(name: str) -> str:
            return horse_called(connection, name, yard=yard, shown=place.shown).uid

        clocks = [(_time(clock, name), name) for clock, name in times]
        at = {uid_of(name): clock for clock, name in clocks}
        asked = [(name, uid_of(name)) for name in (*names, *(name for _, name in times))]
        if yard and not asked:
            _yard_known(yard, [name for one in horses(connection) for name in one.yards if name], place.shown)
        meant, early = {uid for _, uid in asked}, when - timedelta(days=overdue)
        due_by_then = [
            due
            for due in diary_of(connection, rules.book, named=meant)
            if due.visit.horse in meant or (not names and due.day <= when)
        ]
        every = [due for due in due_by_then if not yard or same_name(due.visit.yard, yard)]
        long = [due for due in every if due.day < early and due.visit.horse not in meant and due.why != "call"]
        # Without a time the longest overdue comes first, as in the diary.
        dues = sorted((due for due in every if due not in long), key=lambda due: at.get(due.visit.horse, LATEST))
        sheets = list(sheets_of(connection, dues, rules, place, when, most=most, times=at))
    if not as_json:
        on_it = {due.visit.horse for due in dues}
        for name in dict.fromkeys(name for name, uid in asked if uid not in on_it):
            click.echo(f"note: no sheet for {name}. {NO_SHEET}", err=True)
    words = rules.book.vocabulary
    if output is not None:
        from reasoner.rendering.day_sheet_page import sheet_html

        write_all_whole([as_asked(sheet_html(sheets, when, words, long=long), output, paper)])
    if as_json:
        print_json(sheet_json(sheets, when, place.shown, words, long, output))
    elif output is not None:
        click.echo(f"written: {output} ({len(sheets)} horse{'s' if len(sheets) != 1 else ''})")
    else:
        print_page(sheet_lines(sheets, when, words, place.shown, long=long))


def _yard_known(yard: str, known: Sequence[str], shown: str) -> None:
    """Whether a horse ever stood at this yard, so that a slip in its name is not a day without horses. Raises BadInput (RE72)."""
    from reasoner.store.names import same_name

    if not any(same_name(one, yard) for one in known):
        hint = near_hint(yard, known) or f"Yards: {', '.join(sorted(set(known))) or 'none'}."
        raise BadInput([Problem(shown, 0, "RE72", f'no horse kept here ever stood at a yard called "{yard}".', hint)])


def _time(clock: str, horse: str) -> str:
    """A time of day as 09:30. Raises BadInput (RE65)."""
    found = _CLOCK.fullmatch(clock.strip())
    if found is None or int(found[1]) > LAST_HOUR or int(found[2] or 0) > LAST_MINUTE:
        turned = _CLOCK.fullmatch(horse.strip()) is not None
        hint = (
            f"Such as --at {horse if turned else '09:30'} {clock if turned else horse}: the time first, then the horse."
        )
        raise BadInput([Problem("--at", 0, "RE65", f'"{clock}" was read; a time of day was expected.', hint)])
    return f"{int(found[1]):02}:{int(found[2] or 0):02}"
