"""`reasoner records show HORSE`: one visit as it was kept.

In: the store, a horse, a day, a version. Out: the visit file byte for byte, what was said of it then, its files.
Not here: judging again, which is done only for what was told since (records.since_then).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from functools import partial
from pathlib import Path

import click

from reasoner.cli import clock
from reasoner.cli.common import answering, print_json, ready, rules_folders, shared
from reasoner.cli.records.common import one_visit, opened, store_option, visit_options, yard_option
from reasoner.problems import BadInput, Problem

EPILOG = """\b
Example:
  reasoner records show Bramble --store practice.db
  reasoner records show Bramble --on 2026-04-18 --version 1 --file > bramble.yaml
  reasoner records show Bramble --files-to photographs --store postgresql://wren@yard.example/larkhope
"""


@click.command("show", epilog=EPILOG)
@click.argument("horse")
@visit_options
@click.option(
    "--version", "number", type=click.IntRange(1), metavar="N", help="An earlier version. Default: the newest."
)
@click.option("--withdrawn", is_flag=True, help="Of the visits that were withdrawn.")
@click.option(
    "--files-to", type=click.Path(path_type=Path), metavar="FOLDER", help="Write the enclosed files into a folder."
)
@click.option("--file", "as_file", is_flag=True, help="Print the visit file, byte for byte, and nothing else.")
@yard_option
@store_option
@shared
@answering
def command(
    horse: str, on: datetime | None, part: int | None, number: int | None, withdrawn: bool, files_to: Path | None,
    as_file: bool, yard: str, store_at: str | None, folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """One visit as it was kept: who, when and why each version; what was said of it then, and by which rules. What owners told
    since stands beside it, with what the answer would be now."""
    from reasoner.records.signing import waiting
    from reasoner.records.since_then import since_kept
    from reasoner.rendering.beside_lines import afterwards_lines, waiting_lines
    from reasoner.rendering.earlier_words import earlier_json, earlier_lines
    from reasoner.rendering.edited_lines import edit_lines, edits_json
    from reasoner.rendering.records_care_text import Beside
    from reasoner.rendering.records_json import shown_json
    from reasoner.rendering.records_text import shown_lines
    from reasoner.rendering.rested_lines import rested_json, rested_lines
    from reasoner.rendering.since_then_text import since_then_json, since_then_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.rendering.text_page import Line, heading
    from reasoner.rendering.told_json import afterwards_json
    from reasoner.rulecare.check import wording_of
    from reasoner.store.afterwards import done_of, opinions_of, signatures_of
    from reasoner.store.consents import standing
    from reasoner.store.earlier_words import earlier_words
    from reasoner.store.edits import every_edit_of
    from reasoner.store.enclosing import enclosed_with
    from reasoner.store.place import place_of
    from reasoner.store.placing import first_of, placings
    from reasoner.store.reading import answer_of, text_of, versions_of
    from reasoner.store.rested_on import rested_on
    from reasoner.store.written_out import written_out

    place = place_of(store_at)
    with opened(place).reading() as connection:
        visit = one_visit(connection, place, horse, yard, on, part, withdrawn=withdrawn)
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
        unsigned = waiting(connection, [visit]) if row is versions[-1] else ()
        beside = Beside(
            agreed=standing(connection, visit.horse, day=clock.today()).get(visit.horse, ()),
            enclosed=enclosed_with(connection, place, visit.uid), today=clock.today(),
            placed=placings(connection, visit.uid), first=first_of(connection, visit.uid),
            wording=wording_of(rules_folders(folders)),
        )  # fmt: skip
        written = written_out(connection, place, beside.enclosed, files_to) if files_to is not None else ()
        afterwards = (
            done_of(connection, visit.uid),
            opinions_of(connection, visit.uid),
            signatures_of(connection, row.uid),
        )
        since = since_kept(connection, place, visit, partial(ready, folders), version=row.uid, rulebook=row.rulebook)
        edits = every_edit_of(connection, visit.uid)
        others = [one for one in rested_on(connection, visit.horse) if (one.day, one.part) == (visit.day, visit.part)]
        earlier = earlier_words(connection, visit.uid, visit.horse, beside.today)
    if as_json:
        print_json({**shown_json(place, visit, versions, row, answer, beside), **afterwards_json(*afterwards),
                    "said_earlier": earlier_json(earlier, beside.today), "since_then": since_then_json(since),
                    "rested_on_others": [rested_json(one) for one in others],
                    "edited": edits_json(edits)})  # fmt: skip
        return
    words = {(one["key"], one["side"] or ""): one["words"] for one in answer["conclusions"]}
    steps = {(one["key"], one["side"] or ""): one["words"] for one in answer["plan"]["steps"]}
    *page, foot = shown_lines(place, visit, versions, row, answer, beside)
    print_page([
        *waiting_lines(unsigned), *page, *afterwards_lines(*afterwards, words, steps, beside.wording),
        *earlier_lines(earlier, words, steps, beside.today), *since_then_lines(since),
        *(heading("earlier visits that count otherwise since") if others else ()),
        *map(Line, rested_lines(others, visit.name)), *edit_lines(edits), foot,
    ])  # fmt: skip
    for path in written:
        click.echo(f"written: {path}")
