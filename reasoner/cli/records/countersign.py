"""`reasoner records countersign HORSE`: who answers for an apprentice's visit puts a name to it.

In: a kept visit and a name. Out: a row beside that version; from then on its reports may leave.
Not here: refusing reports (cli.signing).
"""

from __future__ import annotations

from datetime import datetime

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, store_option, yard_option

EPILOG = """\b
Example:
  reasoner records countersign Bramble --on 2026-04-18 --by "Wren Aldous"
"""


@click.command("countersign", epilog=EPILOG)
@click.argument("horse")
@click.option("--by", required=True, metavar="NAME", help="Who answers for the visit, as it says at `checked by`.")
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), metavar="DAY", help="The day of the visit. Default: the last.")
@click.option("--part", type=click.IntRange(1, 9), help="2 for the second visit of that day. Default: the last.")
@yard_option
@store_option
@json_option
@answering
def command(
    horse: str, by: str, on: datetime | None, part: int | None, yard: str, store_at: str | None, as_json: bool
) -> None:
    """Countersign the newest version of an apprentice's visit: these very words, and no later ones.

    No report of such a visit leaves before.
    """
    from reasoner.records.telling import may_countersign
    from reasoner.rendering.told_json import countersigned_json
    from reasoner.store.afterwards import add_signature, signatures_of, visit_meant
    from reasoner.store.opening import open_store
    from reasoner.store.place import place_of

    place = place_of(store_at)
    store = open_store(place)
    with store.reading() as connection:
        visit = visit_meant(connection, horse, yard=yard, on=on.date() if on else None, part=part, shown=place.shown)
        signed = [one.who for one in signatures_of(connection, visit.version)]
    new = may_countersign(visit, by, signed, place.shown)
    if new:
        add_signature(store, visit.version, by=visit.checked_by)
    if as_json:
        print_json(countersigned_json(place, visit, visit.checked_by, new))
        return
    state = "countersigned" if new else "countersigned already"
    click.echo(f"{visit.name}, {visit.day.isoformat()}, version {visit.number}: {state} by {visit.checked_by}.")
