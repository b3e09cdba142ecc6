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
@click.option("--why", required=True, metavar="WORDS", help="What was wrong.")
@click.option("--part", type=click.IntRange(1, 9), default=1, help="2 for the second visit to the same horse that day.")
@yard_option
@store_option
@shared
@answering
def command(
    file: Path, by: str, why: str, part: int, yard: str, store_at: str | None, folders: Sequence[Path], as_json: bool
) -> None:
    """Keep a new version of a visit. The old one stays readable, with the rules that judged it."""
    from reasoner.records.before import with_history
    from reasoner.records.keeping import kept_from, kept_of
    from reasoner.rendering.kept_json import kept_json
    from reasoner.rendering.records_json import saved_json
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called, visits
    from reasoner.store.saving import correct

    place = place_of(store_at)
    rules, where = ready(folders), rules_folders(folders)
    answer, kept = kept_from(file, rules, where, kept_json)
    store = opened(place)
    with store.reading() as connection:
        horse = horse_called(connection, answer.visit.horse_name, yard=yard, shown=place.shown)
        day = answer.visit.day
        same = [v for v in visits(connection, horse=horse.uid, since=day, until=day) if v.part == part]
        history = with_history(connection, answer.visit, rules.book, part).history
    if not same:
        raise BadInput([Problem(str(file), 0, "ST12", f"no visit to {horse.name} on {day.isoformat()} is kept here.",
                                "`reasoner records save` keeps it for the first time.")])  # fmt: skip
    if history:
        answer, kept = kept_of(kept.text, str(file), rules, where, kept_json, partial(replace, history=history))
    saved = correct(store, same[0].uid, kept, by=by, why=why)
    if as_json:
        print_json(saved_json(place, [(file, answer.visit, saved)]))
        return
    click.echo(f"{horse.name}, {day.isoformat()}: version {saved.number} kept; the earlier ones stay readable.")
