"""`reasoner records check`: is everything kept still what was kept?

In: the store. Out: what was looked at and what is wrong; exit code 0 where nothing is, else 2.
Not here: mending.
"""

from __future__ import annotations

import sys

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, opened, store_option

EPILOG = """\b
Example:
  reasoner records check --store practice.db
"""


@click.command("check", epilog=EPILOG)
@store_option
@json_option
@answering
def command(store_at: str | None, as_json: bool) -> None:
    """Look at every visit, answer, rulebook, row and enclosed file, and name each that is not as it was kept.

    Exit code 0 where everything is, 2 where something is not. Nothing is written.
    """
    from reasoner.rendering.records_care_json import checked_json
    from reasoner.rendering.records_care_text import checked_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.store.checking import check
    from reasoner.store.place import place_of

    place = place_of(store_at)
    found = check(opened(place))
    if as_json:
        print_json(checked_json(place, found))
    else:
        print_page(checked_lines(place, found))
    if found.wrong:
        sys.exit(2)
