"""`reasoner records enclose HORSE FILE...`: photographs and tables kept with a visit.

In: files. Out: copies with the records, and rows that tell of them.
Not here: what is in a file.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import answering, print_json, rules_folders, shared
from reasoner.cli.records.common import one_visit, opened, store_option, visit_options, yard_option

if TYPE_CHECKING:
    from reasoner.store.enclosing import Enclosed

EPILOG = """\b
Example:
  reasoner records enclose Bramble bramble-left.jpg back-tracing.csv --store practice.db
  reasoner records enclose Bramble saddle.jpg --shows "saddle from behind" --on 2026-04-18 --store practice.db
  reasoner records enclose Bramble saddle.jpg --shows "left out of reports" --on 2026-04-18 --store practice.db
"""


@click.command("enclose", epilog=EPILOG)
@click.argument("horse")
@click.argument("files", type=click.Path(path_type=Path), nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--kind", type=click.Choice(["photo", "table"]), help="What they are. Default: by the ending of the name."
)
@click.option(
    "--shows",
    type=click.Choice(("saddle from behind", "back from above", "other", "left out of reports"), case_sensitive=False),
    help="What the photographs show, or that they stand in no report.  [default: other, or as it was said before]",
)
@click.option("--caption", metavar="WORDS", help="What stands under them in reports, beside the day.")
@visit_options
@yard_option
@store_option
@shared
@answering
def command(
    horse: str, files: Sequence[Path], kind: str | None, shows: str | None, caption: str | None,
    on: datetime | None, part: int | None, yard: str, store_at: str | None, folders: Sequence[Path],
    as_json: bool,
) -> None:  # fmt: skip
    """Keep copies of photographs and tables of tracings with a visit, the last one unless --on says another.

    All of the files or none. Photographs are written anew, so that no place, time or other remark of the camera stays in them;
    they stand in the reports of the visit. `show` lists them, `check` looks at each, and backups and exports carry them.

    The same photograph enclosed again with another --caption or --shows is kept once: what is said last stands in reports, also
    that it is left out of them.
    """
    from reasoner.records.changing import ours_to_say
    from reasoner.rendering.records_care_json import enclosed_json
    from reasoner.rulecare.check import wording_of
    from reasoner.store.enclosing import enclose
    from reasoner.store.place import place_of

    if caption:
        ours_to_say(caption, wording_of(rules_folders(folders)), "--caption")
    place = place_of(store_at)
    store = opened(place)
    with store.reading() as connection:
        visit = one_visit(connection, place, horse, yard, on, part)
    kept = enclose(store, visit, files, kind=kind or "", shows=shows or "", caption=caption)
    if as_json:
        print_json(enclosed_json(place, visit, kept))
        return
    for one in kept:
        state = "kept" if one.new else "kept already"
        where = one.at or "in the database"
        click.echo(
            f"{one.name}: {state} as a {one.kind} with {visit.name}, {visit.day.isoformat()} ({where}){_said(one)}"
        )


def _said(one: Enclosed) -> str:
    """What stands of a photograph now, where somebody said something of it."""
    shows = one.shows if one.shows not in ("", "other") else ""
    said = ", ".join(filter(None, (shows, one.caption and f'caption "{one.caption}"')))
    return f"; it stands there as: {said}" if said else ""
