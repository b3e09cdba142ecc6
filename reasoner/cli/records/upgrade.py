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
    unless it is up to date."""
    from reasoner.rendering.records_json import upgraded_json
    from reasoner.store.backup import copy_beside
    from reasoner.store.opening import is_newest, open_to_upgrade, upgrade
    from reasoner.store.place import place_of

    place = place_of(store_at)
    store = open_to_upgrade(place)
    try:
        copy = None if is_newest(store) else copy_beside(store)
        upgrade(store)
    finally:
        store.close()
    if as_json:
        print_json(upgraded_json(place, copy))
        return
    click.echo(f"{place.shown}: up to date." + (f" As it was: {copy}" if copy else ""))
