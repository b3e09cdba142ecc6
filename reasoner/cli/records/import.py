"""`reasoner records import FOLDER`: an export read back.

In: the folder of an export, a place where no records are yet. Out: the same records there.
Not here: reading single visit files (save.py).
"""

from __future__ import annotations

from pathlib import Path

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, store_option

EPILOG = """\b
Example:
  reasoner records import everything --store again.db
"""


@click.command("import", epilog=EPILOG)
@click.argument("folder", type=click.Path(path_type=Path))
@store_option
@json_option
@answering
def command(folder: Path, store_at: str | None, as_json: bool) -> None:
    """Read an export into records that are still empty: all of it or nothing, once every checksum was looked at."""
    from reasoner.rendering.records_care_json import imported_json
    from reasoner.rendering.records_care_text import imported_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.store.importing import import_
    from reasoner.store.place import place_of

    place = place_of(store_at)
    done = import_(folder, place)
    if as_json:
        print_json(imported_json(place, folder, done))
    else:
        print_page(imported_lines(place, folder, done))
