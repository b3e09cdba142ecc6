"""`reasoner records contact OWNER`: how an owner is reached, and taking that out again.

In: an owner whom a kept visit names. Out: the contact data as kept, changed or erased.
Not here: anything about horses.
"""

from __future__ import annotations

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, opened, store_option
from reasoner.problems import BadInput, Problem, register

register({"ST45": "contact data to be kept and erased at once"})

EPILOG = """\b
Example:
  reasoner records contact "the Larkhope riding group" --telephone "01632 960 114" --store practice.db
  reasoner records contact "the Larkhope riding group" --erase --store practice.db
"""


@click.command("contact", epilog=EPILOG)
@click.argument("owner")
@click.option("--telephone", metavar="NUMBER", help="Keep this number.")
@click.option("--mail", metavar="ADDRESS", help="Keep this address for letters sent by computer.")
@click.option("--address", metavar="WORDS", help="Keep this postal address.")
@click.option("--erase", is_flag=True, help="Take everything about reaching this owner out, for good.")
@store_option
@json_option
@answering
def command(
    owner: str, telephone: str | None, mail: str | None, address: str | None, erase: bool, store_at: str | None,
    as_json: bool,
) -> None:  # fmt: skip
    """Show, keep or erase how an owner is reached. It is kept apart from the visits and stands in no report.

    --erase takes it out of the file's free pages too. Backups, exports and copies made before still hold it.
    """
    from reasoner.rendering.records_care_json import contact_json
    from reasoner.rendering.records_care_text import contact_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.store.people import contact_of, copies_beside, erase_contact, keep_contact
    from reasoner.store.place import place_of

    place = place_of(store_at)
    given = {"telephone": telephone, "mail": mail, "address": address}
    values = {key: value.strip() for key, value in given.items() if value is not None}
    if erase and values:
        raise BadInput([Problem("--erase", 0, "ST45", "erasing and keeping were asked for at once; nothing was done.",
                                "Erase first, then keep what is to stand.")])  # fmt: skip
    store = opened(place)
    copies: tuple[str, ...] = ()
    if erase:
        kept, copies = erase_contact(store, owner), copies_beside(store)
    elif values:
        kept = keep_contact(store, owner, values)
    else:
        kept = contact_of(store, owner)
    if as_json:
        print_json(contact_json(place, kept, erased=erase, copies=copies))
    else:
        print_page(contact_lines(place, kept, erased=erase, copies=copies))
