"""`reasoner records countersign HORSE`: who answers for an apprentice's visit puts a name to it.

In: a kept visit and a name. Out: a row beside that version; from then on its reports may leave.
Not here: refusing reports (cli.signing).
"""

from __future__ import annotations

from datetime import datetime

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, one_visit, opened, store_option, visit_options, yard_option

EPILOG = """\b
Example:
  reasoner records countersign Bramble --on 2026-04-18 --by "Wren Aldous"
"""


@click.command("countersign", epilog=EPILOG)
@click.argument("horse")
@click.option("--by", required=True, metavar="NAME", help="Who answers for the visit, as it says at `checked by`.")
@visit_options
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
    from reasoner.store.afterwards import add_signature, signatures_of
    from reasoner.store.place import place_of

    place = place_of(store_at)
    store = opened(place)
    with store.reading() as connection:
        visit = one_visit(connection, place, horse, yard, on, part)
        signed = [one.who for one in signatures_of(connection, visit.version)]
    new = may_countersign(visit, by, signed, place.shown)
    if new:
        add_signature(store, visit.version, by=visit.checked_by)
    if as_json:
        print_json(countersigned_json(place, visit, visit.checked_by, new))
        return
    state = "countersigned" if new else "countersigned already"
    click.echo(f"{visit.name}, {visit.day.isoformat()}, version {visit.number}: {state} by {visit.checked_by}.")
