"""`reasoner records enclose HORSE FILE...`: photographs and tables kept with a visit.

In: files. Out: copies beside the records, and rows that tell of them.
Not here: what is in a file.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, one_visit, opened, store_option, visit_options, yard_option

EPILOG = """\b
Example:
  reasoner records enclose Bramble bramble-left.jpg back-tracing.csv --store practice.db
  reasoner records enclose Bramble saddle.jpg --on 2026-04-18 --store practice.db
"""


@click.command("enclose", epilog=EPILOG)
@click.argument("horse")
@click.argument("files", type=click.Path(path_type=Path), nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--kind", type=click.Choice(["photo", "table"]), help="What they are. Default: by the ending of the name."
)
@visit_options
@yard_option
@store_option
@json_option
@answering
def command(
    horse: str, files: Sequence[Path], kind: str | None, on: datetime | None, part: int | None, yard: str,
    store_at: str | None, as_json: bool,
) -> None:  # fmt: skip
    """Keep copies of photographs and tables of tracings with a visit, the last one unless --on says another.

    All of the files or none. `show` lists them, `check` looks at each, and backups and exports carry them.
    """
    from reasoner.rendering.records_care_json import enclosed_json
    from reasoner.store.enclosing import enclose
    from reasoner.store.place import place_of

    place = place_of(store_at)
    store = opened(place)
    with store.reading() as connection:
        visit = one_visit(connection, place, horse, yard, on, part)
    kept = enclose(store, visit, files, kind=kind or "")
    if as_json:
        print_json(enclosed_json(place, visit, kept))
        return
    for one in kept:
        state = "kept" if one.new else "kept already"
        click.echo(f"{one.name}: {state} as a {one.kind} with {visit.name}, {visit.day.isoformat()} ({one.at})")
