"""`reasoner records move HORSE --to HORSE`: a visit kept under the wrong horse counts at the right one.

In: a kept visit, another horse, who says so and why. Out: a row beside the visit; what was kept stays as it is.
Not here: what goes with a visit (store/placing.py).
"""

from __future__ import annotations

from datetime import datetime

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, one_visit, opened, store_option, visit_options, yard_option
from reasoner.problems import BadInput, Problem, register

register({"RE46": "a horse to move a visit to, where it is not clear whether it is kept"})

EPILOG = """\b
Example:
  reasoner records move Bramble --on 2026-04-18 --to Hazel --by "Wren Aldous" --why "kept under the wrong horse"
  reasoner records move Bramble --to Otter --to-yard Skelbeck --new-horse --by "Wren Aldous" --why "it was Otter's"
  reasoner records move Hazel --on 2026-04-18 --to Bramble --by "Wren Aldous" --why "it was Bramble's after all"
"""


@click.command("move", epilog=EPILOG)
@click.argument("horse")
@click.option("--to", "to", required=True, metavar="HORSE", help="The horse it belongs to.")
@click.option("--to-yard", default="", metavar="NAME", help="The yard of that horse, where two share a name.")
@click.option("--new-horse", is_flag=True, help="That horse is kept for the first time.")
@click.option("--born", default="", metavar="YEAR", help="With --new-horse: the year it was born.")
@click.option("--by", required=True, metavar="NAME", help="Who moves it.")
@click.option("--why", "--because", "why", required=True, metavar="WORDS", help="Why.")
@click.option(
    "--consent-stays", is_flag=True, help="What was agreed on that day was said of the horse it is moved from."
)
@visit_options
@yard_option
@store_option
@json_option
@answering
def command(
    horse: str, to: str, to_yard: str, new_horse: bool, born: str, by: str, why: str, consent_stays: bool,
    on: datetime | None, part: int | None, yard: str, store_at: str | None, as_json: bool,
) -> None:  # fmt: skip
    """Have a visit, the last one unless --on says another, count at the horse it belongs to, and there only.

    Nothing kept is changed: its words, its answer of that day and its old place stay readable, with who moved it and why. Its
    files, answers told, judgements and countersignatures go with it; what was agreed on that day goes too, where no other visit
    of that day stays. Moving it back undoes it.
    """
    from reasoner.rendering.placed_json import moved_json
    from reasoner.rendering.placed_text import moved_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.store.place import place_of
    from reasoner.store.placing import move, new_horse_for
    from reasoner.store.reading import horse_called, horses

    place = place_of(store_at)
    if born and not new_horse:
        raise BadInput([Problem("--born", 0, "RE46", "a year is only said of a horse kept for the first time.",
                                f'Write --new-horse too, or --to "{to} {born}" for one that is kept.')])  # fmt: skip
    store = opened(place)
    with store.reading() as connection:
        visit = one_visit(connection, place, horse, yard, on, part)
        target = "" if new_horse else horse_called(connection, to, yard=to_yard, shown=place.shown).uid
        known = horses(connection) if new_horse else ()
    make = new_horse_for(known, to, to_yard, born, place.shown) if new_horse else None
    done = move(store, visit, target, by=by, why=why, consent=not consent_stays, make=make)
    if as_json:
        print_json(moved_json(place, done, by=by, why=why))
    else:
        print_page(moved_lines(place, done, by=by, why=why))
