"""`reasoner records upgrade`: bring records of an older version up to date.

In: the store. Out: the same records at this program's version, and a copy of them as they were (for a file).
Not here: the steps (store/migrations).
"""

from __future__ import annotations

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, store_option

EPILOG = """\b
Example:
  reasoner records upgrade --store practice.db
"""


@click.command("upgrade", epilog=EPILOG)
@store_option
@json_option
@answering
def command(store_at: str | None, as_json: bool) -> None:
    """Bring records of an older version up to date, all steps or none. Of a file a copy is kept beside it first,
    unless it is up to date.

    Every row kept so far gets a seal then, which says from that moment on that it has not changed; of the time before it can say
    nothing. Of records on a server it also brings the enclosed files that lie on this machine into the database.
    """
    from reasoner.rendering.records_json import upgraded_json
    from reasoner.store.backup import copy_beside
    from reasoner.store.enclosed_bytes import take_in
    from reasoner.store.opening import is_newest, open_to_upgrade, upgrade
    from reasoner.store.place import place_of

    place = place_of(store_at)
    store = open_to_upgrade(place)
    try:
        copy = None if is_newest(store) else copy_beside(store)
        upgrade(store)
        with store.writing() as connection:
            taken = take_in(connection, place)
    finally:
        store.close()
    if as_json:
        print_json(upgraded_json(place, copy, taken))
        return
    click.echo(f"{place.shown}: up to date." + (f" As it was: {copy}" if copy else ""))
    if taken.files:
        click.echo(f"Enclosed files brought from this machine into the database: {taken.files}.")
    if taken.elsewhere:
        click.echo("Enclosed files that lie on another machine, where `reasoner records upgrade` brings them in: "
                   f"{', '.join(taken.elsewhere)}.")  # fmt: skip
