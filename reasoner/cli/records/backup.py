"""`reasoner records backup FILE`: one file that holds everything, checked.

In: the store. Out: the backup.
Not here: how it is made (store/backup.py).
"""

from __future__ import annotations

from pathlib import Path

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, opened, store_option

EPILOG = """\b
Example:
  reasoner records backup practice-2026-04-18.backup --store practice.db
"""


@click.command("backup", epilog=EPILOG)
@click.argument("file", type=click.Path(path_type=Path))
@store_option
@json_option
@answering
def command(file: Path, store_at: str | None, as_json: bool) -> None:
    """Copy the records and the enclosed files into one file, read back and checked once written.

    Others may go on working. Of records on a server the export is the backup. Keep it somewhere else than the records:
    on the same disk it is lost with them.
    """
    from reasoner.rendering.records_care_json import backup_json
    from reasoner.rendering.records_care_text import backup_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.store.backup import backup
    from reasoner.store.place import place_of

    place = place_of(store_at)
    made = backup(opened(place), file)
    if as_json:
        print_json(backup_json(place, made))
    else:
        print_page(backup_lines(place, made))
