"""`reasoner records list [HORSE]`: what is kept.

In: the store. Out: a line for each horse, or for each visit to one.
Not here: wording of an answer.
"""

from __future__ import annotations

import click

from reasoner.cli import clock
from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, opened, store_option, yard_option

EPILOG = """\b
Example:
  reasoner records list --store practice.db
  reasoner records list Bramble --store practice.db
"""


@click.command("list", epilog=EPILOG)
@click.argument("horse", default="")
@yard_option
@store_option
@json_option
@answering
def command(horse: str, yard: str, store_at: str | None, as_json: bool) -> None:
    """Every horse with its visits counted, or every visit to one horse, the newest version of each; moved and withdrawn apart."""
    from reasoner.rendering.records_json import horses_json, visits_json
    from reasoner.rendering.records_text import horse_lines, visit_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.store.consents import standing
    from reasoner.store.names import same_name
    from reasoner.store.place import place_of
    from reasoner.store.placing import gone_from
    from reasoner.store.reading import horse_called, horses, visits

    place, today = place_of(store_at), clock.today()
    with opened(place).reading() as connection:
        if not horse:
            every = horses(connection)
            if yard:
                every = tuple(h for h in every if same_name(h.yard, yard))
            said = standing(connection, day=today)
            if as_json:
                print_json(horses_json(place, every, said, today))
            else:
                print_page(horse_lines(place, every, said, today))
            return
        known = horse_called(connection, horse, yard=yard, shown=place.shown)
        of_one = visits(connection, horse=known.uid)
        agreed = standing(connection, known.uid, day=today).get(known.uid, ())
        gone = gone_from(connection, known.uid)
    if as_json:
        print_json(visits_json(place, known, of_one, agreed, today, gone))
    else:
        print_page(visit_lines(place, known, of_one, agreed, today, gone))
