"""`reasoner people password NAME`: another password.

In: a name; a password typed unseen. Out: the list with it; every session of that person ends.
Not here: letting somebody in for the first time.
"""

from __future__ import annotations

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, store_option

EPILOG = """\b
Example:
  reasoner people password "Tam Orrin"
"""


@click.command("password", epilog=EPILOG)
@click.argument("name")
@store_option
@json_option
@answering
def command(name: str, store_at: str | None, as_json: bool) -> None:
    """Give somebody another password, asked for and typed unseen. Their telephones have to come in anew."""
    from reasoner.cli.people.common import head_json, opened_list, person_json, typed_unseen
    from reasoner.store.place import place_of

    place = place_of(store_at)
    people, _ = opened_list(place)
    people.called(name)
    found = people.set_password(name, typed_unseen(may_be_empty=False))
    if as_json:
        print_json({**head_json(place), "changed": person_json(found, {})})
    else:
        click.echo(f"{found.name}: another password; telephones that were in have to come in anew.")
