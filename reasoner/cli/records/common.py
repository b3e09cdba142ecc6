"""What the commands of the records share: where the records are, and which visit is meant.

In: click's values. Out: options, and the visit they name.
Not here: any one command.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any, TypeVar

import click

from reasoner.cli.days import DAY

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from reasoner.store.opening import Store
    from reasoner.store.place import Place
    from reasoner.store.reading import KnownVisit

Command = TypeVar("Command", bound=Callable[..., Any])

store_option = click.option(
    "--store", "store_at", metavar="FILE|URL",
    help="Where the records are: a file, or postgresql://user@host/name. Default: $REASONER_STORE, else this platform's "
    "own place for a program's data.",
)  # fmt: skip
json_option = click.option(
    "--json", "as_json", is_flag=True, help="Print JSON (schema in the package) instead of words."
)
yard_option = click.option("--yard", default="", metavar="NAME", help="The yard, where two horses share a name.")


def visit_options(function: Command) -> Command:
    """Which visit of a horse is meant: --on and --part."""
    for option in (
        click.option(
            "--part", type=click.IntRange(1, 9), help="2 for the second visit of that day. Default: the last."
        ),
        click.option("--on", type=DAY, metavar="DAY", help="The day of the visit. Default: the last."),
    ):
        function = option(function)
    return function


def opened(place: Place, *, make: bool = False) -> Store:
    """The records, let go of when the command ends: SQLite then has everything in its one file again."""
    from reasoner.store.opening import open_store

    store = open_store(place, make=make)
    click.get_current_context().call_on_close(store.close)
    return store


def one_visit(
    connection: Connection, place: Place, horse: str, yard: str, on: datetime | None, part: int | None, *,
    withdrawn: bool = False,
) -> KnownVisit:  # fmt: skip
    """The visit that is meant, the last one unless a day is named; with `withdrawn` of those that count no more. Raises BadInput
    (ST20 to ST22)."""
    from reasoner.store.afterwards import visit_meant

    day = on.date() if on else None
    return visit_meant(connection, horse, yard=yard, on=day, part=part, shown=place.shown, withdrawn=withdrawn)
