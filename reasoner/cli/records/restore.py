"""`reasoner records restore FILE`: records again, from a backup.

In: a backup, and a name where nothing is. Out: the records.
Not here: mending records that are there; nothing is written over.
"""

from __future__ import annotations

from pathlib import Path

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, store_option

EPILOG = """\b
Example:
  reasoner records restore practice-2026-04-18.backup --store restored.db
"""


@click.command("restore", epilog=EPILOG)
@click.argument("file", type=click.Path(path_type=Path))
@store_option
@json_option
@answering
def command(file: Path, store_at: str | None, as_json: bool) -> None:
    """Make records from a backup under a name where nothing is yet, once every checksum was looked at."""
    from reasoner.rendering.records_care_json import restored_json
    from reasoner.store.backup import restore
    from reasoner.store.place import place_of

    place = place_of(store_at)
    count = restore(file, place)
    if as_json:
        print_json(restored_json(place, file, count))
        return
    files = "1 file matched its checksum" if count == 1 else f"{count} files matched their checksums"
    click.echo(f"{place.shown}: restored from {file}; {files}.")
    click.echo("`reasoner records check` reads every visit in it again.")
