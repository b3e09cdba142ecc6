"""`reasoner records save VISIT...`: keep visits with their answers.

In: visit files. Out: the rows, one transaction a visit, and a line for each.
Not here: judging, the transaction.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, ready, rules_folders, shared, warn
from reasoner.cli.records.common import opened, store_option
from reasoner.problems import BadInput, Problem

EPILOG = """\b
Example:
  reasoner records save examples/bramble.yaml --store practice.db
  reasoner records save examples/*.yaml --store practice.db
"""


@click.command("save", epilog=EPILOG)
@click.argument("files", type=click.Path(path_type=Path), nargs=-1, required=True, metavar="VISIT...")
@click.option("--by", default="", metavar="NAME", help="Who keeps it. Default: who examined the horse.")
@click.option("--part", type=click.IntRange(1, 9), default=1, help="2 for a second visit to the same horse that day.")
@click.option("--new-horse", is_flag=True, help="Though its name is much like one that is kept, it is another horse.")
@store_option
@shared
@answering
def command(
    files: Sequence[Path], by: str, part: int, new_horse: bool, store_at: str | None, folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """Keep one visit or many, each with the answer and the plan that today's rules give it.

    Each visit is kept whole or not at all, and the next one after it, the oldest first, so that each is judged with those before
    it. Kept already, in the same words, is no mistake.
    """
    from reasoner.records.before import with_history
    from reasoner.records.keeping import kept_from, kept_of
    from reasoner.records.newcomers import much_like
    from reasoner.rendering.kept_json import kept_json
    from reasoner.rendering.records_json import saved_json
    from reasoner.store.place import place_of
    from reasoner.store.reading import horses
    from reasoner.store.saving import save

    place, rules, where = place_of(store_at), ready(folders), rules_folders(folders)
    # Everything is read and judged before the first is kept: a mistake in the last file keeps none of them.
    read, wrong = [], list[Problem]()
    for path in files:
        try:
            read.append((path, *kept_from(path, rules, where, kept_json)))
        except BadInput as bad:
            wrong += bad.problems
    if wrong:
        raise BadInput(wrong)
    store = opened(place, make=True)
    if not new_horse:
        with store.reading() as connection:
            known = horses(connection)
        if doubtful := [problem for _, answer, _ in read if (problem := much_like(known, answer.visit)) is not None]:
            raise BadInput(doubtful)
    told = []
    for path, answer, kept in sorted(read, key=lambda one: one[1].visit.day):
        with store.reading() as connection:
            seen = with_history(connection, answer.visit, rules.book, part)
        if seen.history:
            history = seen.history
            answer, kept = kept_of(kept.text, str(path), rules, where, kept_json, partial(replace, history=history))
        if not as_json:
            warn(answer.visit.warnings)
        hands = answer.visit.noted_value("examined_by")
        saved = save(store, kept, by=by or (hands if isinstance(hands, str) else ""), part=part)
        told.append((path, answer.visit, saved))
        if not as_json:
            state = "kept" if saved.new else "kept already, in the same words"
            click.echo(f"{answer.visit.horse_name}, {answer.visit.day.isoformat()}: {state} (visit {saved.visit})")
    if as_json:
        print_json(saved_json(place, told))
