"""`reasoner people close NAME`: let somebody in no more.

In: a name. Out: the list without it; every session of that person ends at once.
Not here: what that person has written, which stays.
"""

from __future__ import annotations

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, store_option

EPILOG = """\b
Example:
  reasoner people close "Tam Orrin"
"""


@click.command("close", epilog=EPILOG)
@click.argument("name")
@store_option
@json_option
@answering
def command(name: str, store_at: str | None, as_json: bool) -> None:
    """Let somebody in no more; their telephones are out at once. What they wrote stays."""
    from reasoner.cli.people.common import head_json, opened_list, person_json
    from reasoner.store.place import place_of

    place = place_of(store_at)
    people, _ = opened_list(place)
    gone = people.close(name)
    if as_json:
        print_json({**head_json(place), "closed": person_json(gone, {})})
    else:
        click.echo(f"{gone.name} comes in no more; what {gone.name} wrote stays.")
