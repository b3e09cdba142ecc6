"""`reasoner records told HORSE --step STEP`: what the owner says was really done.

In: a kept visit, a step of its plan, the owner's answer. Out: a row beside the visit.
Not here: which steps there were (records.telling).
"""

from __future__ import annotations

from datetime import datetime

import click

from reasoner.cli import clock
from reasoner.cli.common import answering, print_json
from reasoner.cli.days import DAY
from reasoner.cli.records.common import json_option, one_visit, opened, store_option, visit_options, yard_option
from reasoner.rulebook.practice import ANSWERS

#: As `again` and a day sheet write it.
NOT_DONE = "not done"
EPILOG = """\b
Example:
  reasoner records told Bramble --on 2026-04-18 --step 7 --answer done --by "the Larkhope riding group"
  reasoner records told Bramble --step "shims under the side" --answer stopped --because "it pinned its ears" --by "Ines Tallow"
"""


@click.command("told", epilog=EPILOG)
@click.argument("horse")
@click.option("--step", required=True, metavar="STEP", help="A step of that visit's plan, in words or by its number.")
@click.option("--side", type=click.Choice(["left", "right"]), help="Where the step stands for both sides.")
@click.option("--answer", required=True, type=click.Choice((*ANSWERS, NOT_DONE)), help="What became of it.")
@click.option(
    "--because",
    "--why",
    "because",
    default="",
    metavar="WORDS",
    help="Why; needed where it was not done or was stopped.",
)
@click.option("--by", required=True, metavar="NAME", help="Who says so.")
@click.option("--told-on", type=DAY, metavar="DAY", help="When it was said. Default: today.")
@visit_options
@yard_option
@store_option
@json_option
@answering
def command(
    horse: str, step: str, side: str | None, answer: str, because: str, by: str, told_on: datetime | None,
    on: datetime | None, part: int | None, yard: str, store_at: str | None, as_json: bool,
) -> None:  # fmt: skip
    """What was really done of a step: done, partly, not, or stopped. What was not carried out is never counted as failed.

    Earlier answers stay readable; the last one counts.
    """
    from reasoner.records.telling import NEEDS_A_REASON, step_meant, told_in_full, told_in_time
    from reasoner.rendering import phrases
    from reasoner.rendering.phrases import plain
    from reasoner.rendering.told_json import told_json
    from reasoner.store.afterwards import add_done, done_of
    from reasoner.store.place import place_of

    answer = "not" if answer == NOT_DONE else answer
    place = place_of(store_at)
    told_in_full(by, because, needed=answer in NEEDS_A_REASON, shown=place.shown)
    store = opened(place)
    said = told_on.date() if told_on else clock.today()
    with store.reading() as connection:
        visit = one_visit(connection, place, horse, yard, on, part)
        told_in_time(said, visit, clock.today(), "--told-on")
        key, where = step_meant(connection, visit, step, side or "", place.shown, dated=on is not None)
        before = next((one for one in done_of(connection, visit.uid) if (one.step, one.side) == (key, where)), None)
    new = add_done(
        store, visit.version, step=key, side=where, answer=answer, because=because.strip(), by=by.strip(), on=said
    )
    if as_json:
        print_json(
            told_json(place, visit, key, where, answer, because.strip(), by.strip(), said, new=new, before=before)
        )
        return
    of = ", ".join(filter(None, (plain(key), where)))
    kept = "Kept." if new else "Kept already, in the same words."
    click.echo(f"{visit.name}, plan of {visit.day.isoformat()}: {of}: {_shown(answer)}, told by {by.strip()}. {kept}")
    if new and before is not None:
        said_before = f"{_shown(before.answer)}, told by {before.told_by} on {phrases.day(before.told_on)}"
        click.echo(f"  Before: {said_before}. That stays readable; the answer kept last counts.")


def _shown(answer: str) -> str:
    return NOT_DONE if answer == "not" else answer
