"""`reasoner records export FOLDER`: all of the records as files.

In: the store. Out: a folder with every visit file byte for byte, and a table a kind.
Not here: how it lies (store/layout.py).
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, opened, store_option

EPILOG = """\b
Example:
  reasoner records export everything --store practice.db
  reasoner records export everything --format parquet --store postgresql://wren@yard.example/larkhope
"""


@click.command("export", epilog=EPILOG)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--format", "kind", type=click.Choice(["csv", "parquet"]), default="csv", help="How the tables are written."
)
@store_option
@json_option
@answering
def command(folder: Path, kind: Literal["csv", "parquet"], store_at: str | None, as_json: bool) -> None:
    """Everything kept, as files: visits byte for byte, answers, rules, enclosed files, a table a kind, and their checksums.

    Others may go on working: it tells one moment. `reasoner records import` reads it into records that are still empty.
    It holds the owners' contact data too.
    """
    from reasoner.rendering.records_care_json import exported_json
    from reasoner.rendering.records_care_text import exported_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.store.exporting import export
    from reasoner.store.place import place_of

    place = place_of(store_at)
    done = export(opened(place), folder, kind)
    if as_json:
        print_json(exported_json(place, done))
    else:
        print_page(exported_lines(place, done))
