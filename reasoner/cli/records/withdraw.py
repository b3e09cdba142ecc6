"""`reasoner records withdraw HORSE`: a visit counts nowhere any more, or counts again.

In: a kept visit, who says so and why. Out: a row beside the visit; what was kept stays readable.
Not here: taking anything out; nothing kept is.
"""

from __future__ import annotations

from datetime import datetime

import click

from reasoner.cli.common import answering, print_json
from reasoner.cli.days import DAY
from reasoner.cli.records.common import json_option, one_visit, opened, store_option, yard_option
from reasoner.problems import BadInput, Problem, register

register({"RE47": "a visit to withdraw that is not named by its day"})

EPILOG = """\b
Example:
  reasoner records withdraw Bramble --on 2026-04-18 --by "Wren Aldous" --why "it was a trial of the form"
  reasoner records withdraw Bramble --on 2026-04-18 --undo --by "Wren Aldous" --why "it was a visit after all"
"""


@click.command("withdraw", epilog=EPILOG)
@click.argument("horse")
@click.option("--by", default="", metavar="NAME", help="Who withdraws it.")
@click.option("--why", "--because", "why", default="", metavar="WORDS", help="Why.")
@click.option("--undo", is_flag=True, help="Have a withdrawn visit count again.")
@click.option("--on", type=DAY, metavar="DAY", help="The day of the visit; it has to be said, as --by and --why.")
@click.option(
    "--part", type=click.IntRange(1, 9), help="2 for the second visit of that day. Default: the last of that day."
)
@yard_option
@store_option
@json_option
@answering
def command(
    horse: str, by: str, why: str, undo: bool, on: datetime | None, part: int | None, yard: str, store_at: str | None,
    as_json: bool,
) -> None:  # fmt: skip
    """Have a visit count nowhere: in no course, diary, track record or yard's view, and in no later answer.

    --on names its day. It stays listed as withdrawn, with who and why, and readable: `reasoner records show --withdrawn`. Answers
    given before stay as they were given. --undo has it count again.
    """
    from reasoner.rendering.placed_json import moved_json
    from reasoner.rendering.placed_text import withdrawn_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.store.place import place_of
    from reasoner.store.placing import bring_back, said_in_full, withdraw

    place = place_of(store_at)
    wrong = said_in_full(by, why)
    if on is None:  # the last visit is not guessed at: it is the one that everything now rests on
        wrong.append(Problem("--on", 0, "RE47", "the day of the visit is missing; nothing was changed.",
                                f"Such as --on 2026-04-18; `reasoner records list {horse}` names the days."))  # fmt: skip
    if wrong:
        raise BadInput(wrong)
    store = opened(place)
    with store.reading() as connection:
        visit = one_visit(connection, place, horse, yard, on, part, withdrawn=undo)
    done = (bring_back if undo else withdraw)(store, visit, by=by, why=why)
    if as_json:
        print_json(moved_json(place, done, by=by, why=why))
    else:
        print_page(withdrawn_lines(place, done, by=by, why=why, undo=undo))
