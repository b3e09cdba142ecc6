"""`reasoner people ...`: who may come in when the page is reached from nearby, besides the practitioner.

In: the words after `reasoner people`. Out: the command of that name. A new command is one file here and one line in `PEOPLE`.
Not here: any one command.
"""

from __future__ import annotations

import click

from reasoner.cli import Late

#: Each command, and its line in the help; it stands in the module of its name beside this file.
PEOPLE = {
    "add": "Let an apprentice, an owner or another practitioner in.",
    "list": "Who may come in, and which telephones are in.",
    "password": "Give somebody another password.",
    "close": "Let somebody in no more.",
}
EPILOG = """\b
Example:
  reasoner people add "Tam Orrin" --role apprentice
  reasoner people add "Ines Tallow" --role owner --horse Bramble
  reasoner people list
"""


class _People(Late):
    table = PEOPLE
    package = "reasoner.cli.people"


@click.group("people", cls=_People, epilog=EPILOG)
def command() -> None:
    """Who may come in when the page is reached from nearby (`reasoner serve --lan`). A practitioner alone needs none of this."""
