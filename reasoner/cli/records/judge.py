"""`reasoner records judge HORSE CONCLUSION`: the practitioner's own judgement beside the tool's.

In: a kept visit, a conclusion of its answer, whether somebody agrees and why. Out: a row beside the visit.
Not here: changing a rule or an answer; the tool's own words stay as they were.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, rules_folders, shared
from reasoner.cli.records.common import one_visit, opened, store_option, visit_options, yard_option

EPILOG = """\b
Example:
  reasoner records judge Bramble saddle_to_one_side --disagree --by "Wren Aldous" --because "straight under another rider"
"""


@click.command("judge", epilog=EPILOG)
@click.argument("horse")
@click.argument("conclusion")
@click.option("--side", type=click.Choice(["left", "right"]), help="Where the visit speaks of both sides.")
@click.option("--agree/--disagree", "agrees", required=True, default=None, help="Whether you see it so.")
@click.option("--because", "--why", "because", required=True, metavar="WORDS", help="Why.")
@click.option("--by", required=True, metavar="NAME", help="Who judges.")
@visit_options
@yard_option
@store_option
@shared
@answering
def command(
    horse: str, conclusion: str, side: str | None, agrees: bool, because: str, by: str, on: datetime | None,
    part: int | None, yard: str, store_at: str | None, folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """Your own judgement of a conclusion: kept beside the tool's, shown with it, and counted in the track record.

    It stands in reports, so that its reason is held to the words that nobody may use, as the rules list them.
    """
    from reasoner.records.changing import ours_to_say
    from reasoner.records.telling import conclusion_meant, told_in_full
    from reasoner.rendering.phrases import plain
    from reasoner.rendering.told_json import judged_json
    from reasoner.rulecare.check import wording_of
    from reasoner.store import tables
    from reasoner.store.afterwards import add_opinion
    from reasoner.store.naming import kept_spelling
    from reasoner.store.place import place_of
    from reasoner.store.reading import answer_of

    place = place_of(store_at)
    told_in_full(by, because, needed=True, shown=place.shown)
    ours_to_say(because, wording_of(rules_folders(folders)), "--because")
    store = opened(place)
    with store.reading() as connection:
        visit = one_visit(connection, place, horse, yard, on, part)
        answer = answer_of(connection, visit.version, shown=place.shown)
        name = kept_spelling(connection, tables.examiner, by)
    key, where = conclusion_meant(answer, conclusion, side or "", place.shown)
    new = add_opinion(store, visit.version, conclusion=key, side=where, agrees=agrees, because=because.strip(), by=name)
    if as_json:
        print_json(judged_json(place, visit, key, where, agrees, because.strip(), name, new=new))
        return
    of = ", ".join(filter(None, (plain(key), where)))
    word = "agrees" if agrees else "disagrees"
    kept = "Kept beside the tool's own words." if new else "Kept already, in the same words."
    click.echo(f"{visit.name}, {visit.day.isoformat()}: {name} {word} about {of}. {kept}")
