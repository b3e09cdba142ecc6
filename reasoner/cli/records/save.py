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

from reasoner.cli import clock
from reasoner.cli.common import answering, print_json, ready, rules_folders, shared, warn
from reasoner.cli.records.common import opened, store_option
from reasoner.problems import BadInput, Problem, register

register({"RE45": "another horse and the same horse at once", "RE49": "a visit in which nothing was examined or noted"})

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
@click.option(
    "--same-horse", is_flag=True, help="It is the horse of that name that is kept; it stands where the file says now."
)
@click.option("--empty", is_flag=True, help="Keep it though nothing was examined or noted.")
@click.option("--ahead", is_flag=True, help="Keep it though its day has not come yet.")
@store_option
@shared
@answering
def command(
    files: Sequence[Path], by: str, part: int, new_horse: bool, same_horse: bool, empty: bool, ahead: bool,
    store_at: str | None, folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """Keep one visit or many, each with the answer and the plan that today's rules give it.

    Each visit is kept whole or not at all, and the next one after it, the oldest first, so that each is judged with those before
    it. Kept already, in the same words, is no mistake. A horse that has moved to another yard is the same horse with
    --same-horse, and stands there from the day of that visit on; earlier visits keep the yard they had.
    """
    from reasoner.records.before import said_of, with_history
    from reasoner.records.keeping import kept_from, kept_of
    from reasoner.records.looked_at import is_empty
    from reasoner.records.newcomers import much_like, noticed
    from reasoner.records.newcomers import same_horse as the_same
    from reasoner.records.of_day import days_are_free, part_may_be_kept
    from reasoner.records.still_to_come import visits_have_come
    from reasoner.rendering import phrases
    from reasoner.rendering.kept_json import kept_json
    from reasoner.rendering.records_json import saved_json
    from reasoner.store.meant import horse_meant
    from reasoner.store.place import place_of
    from reasoner.store.reading import horses, visits
    from reasoner.store.saving import save

    place, rules, where = place_of(store_at), ready(folders), rules_folders(folders)
    # Everything is read and judged before the first is kept: a mistake in the last file keeps none of them.
    read, wrong = [], list[Problem]()
    for path in files:
        try:
            read.append((path, *kept_from(path, rules, where, kept_json)))
        except BadInput as bad:
            wrong += bad.problems
    wrong += [
        Problem(answer.visit.file, 0, "RE49", "nothing was examined or noted beyond its head: no place, no entry, no "
                "veterinarian's word; nothing was kept.", "Was it filled in? Say --empty to keep it as it is.")
        for _, answer, _ in read if not empty and is_empty(answer.visit, rules.book)
    ]  # fmt: skip
    if wrong:
        raise BadInput(wrong)
    if not ahead:
        visits_have_come((answer.visit for _, answer, _ in read), clock.today(), "Where it is meant so: --ahead.")
    store = opened(place, make=True)
    told = []
    if new_horse and same_horse:
        raise BadInput([Problem("--same-horse", 0, "RE45", "another horse and the same one were said at once; nothing was kept.",
                                "Say one of them.")])  # fmt: skip
    with store.reading() as connection:
        known = horses(connection)
        found = {path: horse_meant(connection, said_of(answer.visit, kept.text)) for path, answer, kept in read}
        if not new_horse and not same_horse and (doubtful := [
            problem for path, answer, _ in read if (problem := much_like(known, answer.visit, found[path])) is not None
        ]):  # fmt: skip
            raise BadInput(doubtful)
        same = {path: the_same(known, answer.visit) for path, answer, _ in read if same_horse and not found[path]}
        whose = {}
        for path, answer, _ in read:
            whose[path] = same.get(path) or (found[path][0] if len(found[path]) == 1 else None)
            part_may_be_kept(connection, whose[path], answer.visit, part, str(path))
        days_are_free(connection, [(answer.visit, kept.text, whose[path]) for path, answer, kept in read], part)
    for path, answer, kept in sorted(read, key=lambda one: one[1].visit.day):
        with store.reading() as connection:
            # An earlier one of these files may have said where the horse stands.
            there = horse_meant(connection, said_of(answer.visit, kept.text))
            horse = same.get(path) if not there else None
            seen = with_history(connection, answer.visit, rules.book, part, horse)
            mine = there[0] if len(there) == 1 else horse
            last = max((one.day for one in visits(connection, horse=mine.uid)), default=None) if mine else None
            # An earlier visit may well name an earlier owner.
            now = mine if last is None or last <= answer.visit.day else None
            moved = horse is not None and bool(said_of(answer.visit).yard)
            notes = tuple(noticed(connection, answer.visit, now, moved=moved))
        if seen.history:
            history = seen.history
            answer, kept = kept_of(kept.text, str(path), rules, where, kept_json, partial(replace, history=history))
        if not as_json:
            warn(answer.visit.warnings)
        hands = answer.visit.noted_value("examined_by")
        who = by or (hands if isinstance(hands, str) else "")
        saved = save(store, kept, by=who, part=part, same_horse=horse.uid if horse else "")
        behind = last if last is not None and last > answer.visit.day and saved.new else None
        notes = notes if saved.new else ()
        told.append((path, answer.visit, saved, behind, notes))
        if not as_json:
            state = (
                "kept" if saved.new else f"kept already, in the same words{f', {saved.since}' if saved.since else ''}"
            )
            click.echo(f"{answer.visit.horse_name}, {answer.visit.day.isoformat()}: {state} (visit {saved.visit})")
            if behind is not None:  # most often last year's number, written out of habit
                click.echo(
                    f"  note: a visit of {phrases.day(behind)} is kept already, and was judged without this one. If the day is "
                    "a slip: keep it under the right one, and `reasoner records withdraw` this."
                )
            for note in notes:
                click.echo(f"  note: {note}")
            if horse is not None and saved.new and (yard := said_of(answer.visit).yard) and yard != horse.yard:
                click.echo(
                    f"  {horse.name} stands at {yard} from that day on; before it stood at {horse.yard or 'no yard written'}."
                )
    if as_json:
        print_json(saved_json(place, told, begun=store.begun))
    elif store.begun:
        click.echo(f"{place.shown}: new records were begun here; there were none before.")
