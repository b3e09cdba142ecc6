"""`reasoner serve`: the page in a browser.

In: where to listen, the store. Out: a running server, until it is stopped.
Not here: the page, listening (reasoner.page).
"""

from __future__ import annotations

import signal
from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, ready, rules_folders, shared
from reasoner.cli.records.common import opened, store_option

EPILOG = """\b
Example:
  reasoner serve --store practice.db
  reasoner serve --lan --store practice.db
"""


@click.command("serve", epilog=EPILOG)
@click.option(
    "--port", type=click.IntRange(1, 65534), default=8173, show_default=True,
    help="Where to listen; telephones find the page at the next one.",
)  # fmt: skip
@click.option(
    "--lan", is_flag=True, help="Let telephones on the same network in as well, each by a code or a password."
)
@click.option(
    "--address", default="", metavar="ADDRESS",
    help="With --lan: at which of this machine's addresses telephones find it.  [default: the one of its network]",
)  # fmt: skip
@store_option
@shared
@answering
def command(port: int, lan: bool, address: str, store_at: str | None, folders: Sequence[Path], as_json: bool) -> None:
    """The page: at the horse on a telephone, and at the desk.

    It listens on this machine alone, where it asks nobody anything. With --lan telephones on the same network reach it too,
    enciphered: your own by the code shown here (or by pointing its camera at the picture), those of others as
    `reasoner people` says. Nothing is ever sent to the internet.
    """
    from reasoner.page.doors.nearby import doors_at, own_address
    from reasoner.page.listening import LOOPBACK, serve, taken
    from reasoner.page.longer import Longer
    from reasoner.page.served import Served, clock
    from reasoner.store.place import place_of

    place = place_of(store_at)
    found = own_address(address) if lan else ""
    own = taken(LOOPBACK, port)
    near = taken(found, port + 1) if lan else None
    some = rules_folders(folders)
    store = opened(place, make=True)
    rules = ready(folders)
    longer = Longer(some, rules.book.stamp)
    click.get_current_context().call_on_close(longer.close)
    served = Served(
        store=store, ready=rules, folders=tuple(some) if some else None, now=clock, longer=longer,
        doors=doors_at(place, clock, found, port + 1) if lan else None,
    )  # fmt: skip
    signal.signal(signal.SIGTERM, signal.default_int_handler)  # stopped from outside, it ends as by Ctrl-C
    serve(served, own, near, click.echo)
