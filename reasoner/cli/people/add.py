"""`reasoner people add NAME`: let somebody in from nearby.

In: a name, a role, an owner's horse; a password typed unseen. Out: an entry in the list.
Not here: what a role may do (page.who).
"""

from __future__ import annotations

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, opened, store_option, yard_option

EPILOG = """\b
Example:
  reasoner people add "Tam Orrin" --role apprentice
  reasoner people add "Ines Tallow" --role owner --horse Bramble
"""


@click.command("add", epilog=EPILOG)
@click.argument("name")
@click.option(
    "--role", required=True, metavar="ROLE",
    help="apprentice: writes visits, and may not countersign; owner: reads the own horse; practitioner: everything.",
)  # fmt: skip
@click.option("--horse", metavar="NAME", help="The horse of an owner.")
@yard_option
@store_option
@json_option
@answering
def command(name: str, role: str, horse: str | None, yard: str, store_at: str | None, as_json: bool) -> None:
    """Let somebody in when the page is reached from nearby (`reasoner serve --lan`).

    The password is asked for and typed unseen; without one they come in by a code, which the practitioner's page makes for them
    at /telephones.
    """
    from reasoner.cli.people.common import head_json, opened_list, person_json, person_words, typed_unseen
    from reasoner.page.doors.people import may_be_added
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called

    place = place_of(store_at)
    role = role.strip().lower()
    may_be_added(name, role, horse)
    uid, names = None, dict[str, str]()
    if horse is not None:
        with opened(place).reading() as connection:
            known = horse_called(connection, horse, yard=yard, shown=place.shown)
        uid, names = known.uid, {known.uid: known.name}
    people, _ = opened_list(place)
    added = people.add(name, role, horse=uid, password=typed_unseen(may_be_empty=True))
    if as_json:
        print_json({**head_json(place), "added": person_json(added, names)})
    else:
        click.echo(f"{person_words(added, names)}.")
