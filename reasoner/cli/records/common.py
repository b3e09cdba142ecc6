"""What the commands of the records share: where the records are.

In: click's values. Out: an opened store.
Not here: any one command.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

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
