"""`reasoner records horse HORSE`: where a horse stands and whose it is, from which day on.

In: what was said. Out: it is kept; or, with nothing said, every yard and owner it had.
Not here: what holds on a day (store/standing.py).
"""

from __future__ import annotations

from datetime import datetime

import click

from reasoner.cli import clock
from reasoner.cli.common import answering, print_json
from reasoner.cli.days import DAY
from reasoner.cli.records.common import json_option, opened, store_option, yard_option
from reasoner.problems import BadInput, Problem, register

register({"RE48": "where a horse stands, said in part"})

EPILOG = """\b
Example:
  reasoner records horse Bramble --moved-to Netherfold --since 2026-05-01 --by "Wren Aldous"
  reasoner records horse Bramble --owner "Ines Tallow" --since 2026-05-01 --by "Wren Aldous" --why "sold"
  reasoner records horse Bramble
"""


@click.command("horse", epilog=EPILOG)
@click.argument("horse")
@click.option("--moved-to", "to", default="", metavar="YARD", help="The yard where it stands now.")
@click.option("--owner", default="", metavar="NAME", help="Whose it is now.")
@click.option("--since", type=DAY, metavar="DAY", help="From which day on.")
@click.option("--by", default="", metavar="NAME", help="Who says so.")
@click.option("--why", "--because", "why", default="", metavar="WORDS", help="Anything else about it.")
@yard_option
@store_option
@json_option
@answering
def command(
    horse: str, to: str, owner: str, since: datetime | None, by: str, why: str, yard: str, store_at: str | None,
    as_json: bool,
) -> None:  # fmt: skip
    """Say where a horse stands or whose it is, from a day on; or tell every yard and owner it had.

    From that day on its visits, the diary and the next visit's file show the new yard; earlier visits keep the one it stood at
    then, and answers stay as they were given. Of two words about one day the later one holds. A visit file that names the new
    yard says the same: `reasoner records save --same-horse`.
    """
    from reasoner.rendering.placed_json import horse_stays_json
    from reasoner.rendering.placed_text import stays_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.store.consents import standing
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called, visits
    from reasoner.store.standing import stays_of
    from reasoner.store.stays import stands

    place, today = place_of(store_at), clock.today()
    store = opened(place)
    with store.reading() as connection:
        known = horse_called(connection, horse, yard=yard, shown=place.shown)
    said = bool(to or owner)
    if said and since is None:
        raise BadInput([Problem("--since", 0, "RE48", "the day from which on it is so is missing; nothing was kept.",
                                "Such as --since 2026-05-01.")])  # fmt: skip
    if not said and (since or by or why):
        raise BadInput([Problem("--moved-to", 0, "RE48", "where it stands, or whose it is, is missing; nothing was kept.",
                                "Write --moved-to YARD, --owner NAME, or both.")])  # fmt: skip
    new = False
    if said and since is not None:
        new = stands(store, known, yard=to, owner=owner, since=since.date(), today=today, who=by, why=why)
    with store.reading() as connection:
        now = horse_called(connection, known.uid, shown=place.shown)
        every = stays_of(connection).by_horse.get(now.uid, ())
        later = len(visits(connection, horse=now.uid, since=since.date())) if since is not None else 0
        over = [one for one in standing(connection, now.uid).get(now.uid, ()) if one.another_since is not None]
    if as_json:
        print_json(horse_stays_json(place, now, every, new=new if said else None))
    else:
        print_page(stays_lines(place, now, every, new=new if said else None, later=later, over=over))
