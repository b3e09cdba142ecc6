"""`reasoner records correct VISIT --by --why`: keep a new version of a visit.

In: the corrected file. Out: the new version beside the old ones.
Not here: the transaction.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, ready, rules_folders, shared
from reasoner.cli.records.common import opened, store_option, yard_option
from reasoner.problems import BadInput, Problem

EPILOG = """\b
Example:
  reasoner records correct bramble.yaml --by "Wren Aldous" --why "left and right of the loin changed places"
"""


@click.command("correct", epilog=EPILOG)
@click.argument("file", type=click.Path(path_type=Path), metavar="VISIT")
@click.option("--by", required=True, metavar="NAME", help="Who corrects it.")
@click.option("--why", "--because", "why", required=True, metavar="WORDS", help="What was wrong.")
@click.option(
    "--part",
    type=click.IntRange(1, 9),
    help="Which visit of that day, where several are kept. Default: the kept one of the same words, "
    "else the last of that day.",
)
@yard_option
@store_option
@shared
@answering
def command(
    file: Path,
    by: str,
    why: str,
    part: int | None,
    yard: str,
    store_at: str | None,
    folders: Sequence[Path],
    as_json: bool,
) -> None:
    """Keep a new version of a visit. The old one stays readable, with the rules that judged it."""
    from reasoner.records.before import said_of, with_history
    from reasoner.records.keeping import kept_from, kept_of
    from reasoner.records.of_day import taken_for, which_corrected
    from reasoner.rendering.kept_json import kept_json
    from reasoner.rendering.records_json import saved_json
    from reasoner.store.meant import horse_meant
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called, visits
    from reasoner.store.saving import correct

    place = place_of(store_at)
    rules, where = ready(folders), rules_folders(folders)
    answer, kept = kept_from(file, rules, where, kept_json)
    store = opened(place)
    with store.reading() as connection:
        # Where two share a name, the file says which is meant, as it does when it is saved.
        meant = [] if yard else horse_meant(connection, said_of(answer.visit))
        horse = (
            meant[0]
            if len(meant) == 1
            else horse_called(connection, answer.visit.horse_name, yard=yard, shown=place.shown)
        )
        day = answer.visit.day
        every = visits(connection, horse=horse.uid, since=day, until=day)
        days = ", ".join(dict.fromkeys(one.day.isoformat() for one in visits(connection, horse=horse.uid))) or "none"
        taken = taken_for(connection, answer.visit, kept.text, part, str(file), horse)
        same = [v for v in every if v.part == taken.part]
        history = with_history(connection, answer.visit, rules.book, taken.part, horse).history
    if not same:
        which = f"no visit {taken.part}" if every else "no visit"
        raise BadInput([Problem(str(file), 0, "ST12", f"{which} to {horse.name} on {day.isoformat()} is kept here.",
                                f"`reasoner records save` keeps it for the first time. Days kept: {days}. Where one of these is "
                                "the wrong day: save this file, then `reasoner records withdraw` the other.")])  # fmt: skip
    if history:
        answer, kept = kept_of(kept.text, str(file), rules, where, kept_json, partial(replace, history=history))
    saved = correct(store, same[0].uid, kept, by=by, why=why)
    if as_json:
        print_json(saved_json(place, [(file, answer.visit, saved, None, ())]))
        return
    if which := which_corrected(taken, part is not None):
        click.echo(f"note: {which}", err=True)
    if not saved.new:
        click.echo(
            f"{horse.name}, {day.isoformat()}: kept already, in the same words (version {saved.number}); nothing was added."
        )
        return
    click.echo(f"{horse.name}, {day.isoformat()}: version {saved.number} kept; the earlier ones stay readable.")
