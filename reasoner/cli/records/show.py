"""`reasoner records show HORSE`: one visit as it was kept.

In: the store, a horse, a day, a version. Out: the visit file byte for byte, or what was said of it then.
Not here: judging again.
"""

from __future__ import annotations

from datetime import date, datetime

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.records.common import json_option, one_visit, opened, store_option, visit_options, yard_option
from reasoner.problems import BadInput, Problem

EPILOG = """\b
Example:
  reasoner records show Bramble --store practice.db
  reasoner records show Bramble --on 2026-04-18 --version 1 --file > bramble.yaml
"""


@click.command("show", epilog=EPILOG)
@click.argument("horse")
@visit_options
@click.option(
    "--version", "number", type=click.IntRange(1), metavar="N", help="An earlier version. Default: the newest."
)
@click.option("--file", "as_file", is_flag=True, help="Print the visit file, byte for byte, and nothing else.")
@yard_option
@store_option
@json_option
@answering
def command(
    horse: str, on: datetime | None, part: int | None, number: int | None, as_file: bool, yard: str, store_at: str | None,
    as_json: bool,
) -> None:  # fmt: skip
    """One visit as it was kept: who, when and why each version; what was said of it then, and by which rules."""
    from reasoner.rendering.beside_lines import afterwards_lines
    from reasoner.rendering.records_care_text import Beside
    from reasoner.rendering.records_json import shown_json
    from reasoner.rendering.records_text import shown_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.rendering.told_json import afterwards_json
    from reasoner.store.afterwards import done_of, opinions_of, signatures_of
    from reasoner.store.consents import standing
    from reasoner.store.enclosing import enclosed_with
    from reasoner.store.place import place_of
    from reasoner.store.reading import answer_of, text_of, versions_of

    place = place_of(store_at)
    with opened(place).reading() as connection:
        visit = one_visit(connection, place, horse, yard, on, part)
        versions = versions_of(connection, visit.uid)
        wanted = [row for row in versions if number in (None, row.number)]
        if not wanted:
            raise BadInput([Problem(place.shown, 0, "ST22", f"there is no version {number} of this visit.",
                                    f"Versions: 1 to {len(versions)}.")])  # fmt: skip
        row = wanted[-1]
        if as_file:
            click.echo(text_of(connection, row.uid, shown=place.shown), nl=False)
            return
        answer = answer_of(connection, row.uid, shown=place.shown)
        beside = Beside(
            agreed=standing(connection, visit.horse).get(visit.horse, ()),
            enclosed=enclosed_with(connection, place, visit.uid), today=date.today(),
        )  # fmt: skip
        afterwards = (
            done_of(connection, visit.uid),
            opinions_of(connection, visit.uid),
            signatures_of(connection, row.uid),
        )
    if as_json:
        print_json({**shown_json(place, visit, versions, row, answer, beside), **afterwards_json(*afterwards)})
        return
    words = {(one["key"], one["side"] or ""): one["words"] for one in answer["conclusions"]}
    steps = {(one["key"], one["side"] or ""): one["words"] for one in answer["plan"]["steps"]}
    *page, foot = shown_lines(place, visit, versions, row, answer, beside)
    print_page([*page, *afterwards_lines(*afterwards, words, steps), foot])
