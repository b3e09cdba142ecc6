"""`reasoner people list`: who may come in from nearby, and which telephones are in.

In: the list. Out: lines, or JSON.
Not here: changing it.
"""

from __future__ import annotations

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, opened, store_option

EPILOG = """\b
Example:
  reasoner people list --store practice.db
"""


@click.command("list", epilog=EPILOG)
@store_option
@json_option
@answering
def command(store_at: str | None, as_json: bool) -> None:
    """Who may come in when the page is reached from nearby, and which telephones are in."""
    from reasoner.cli.people.common import head_json, opened_list, person_json, person_words, session_json
    from reasoner.store.place import place_of
    from reasoner.store.reading import horses

    place = place_of(store_at)
    people, sessions = opened_list(place)
    every, names = people.every(), dict[str, str]()
    if any(one.horse for one in every):
        with opened(place).reading() as connection:
            names = {one.uid: one.name for one in horses(connection)}
    if as_json:
        print_json({**head_json(place), "people": [person_json(one, names) for one in every],
                    "telephones": [session_json(one) for one in sessions.every()]})  # fmt: skip
        return
    for one in every:
        click.echo(person_words(one, names))
    if not every:
        click.echo('Nobody but you. `reasoner people add "Tam Orrin" --role apprentice` adds somebody.')
    for session in sessions.every():
        click.echo(
            f"in: {session.name}, {session.label}, since {session.since[:10]}, at the latest until {session.ends[:10]}"
        )
