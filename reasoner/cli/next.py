"""`reasoner next VISIT`: what to check next.

In: a visit file, or none for the questions before a visit. Out: looks in the order of one walk, as words or JSON.
Not here: wording (rendering), ranking (questions).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli import clock
from reasoner.cli.common import answering, consulted, print_json, ready, shared, with_records
from reasoner.consult import Answer, judge

EPILOG = """\b
Example:
  reasoner next examples/bramble.yaml
  reasoner next examples/bramble.yaml --minutes 20
  reasoner next --telephone
"""


@click.command("next", epilog=EPILOG)
@click.argument("visit", type=click.Path(path_type=Path), required=False)
@click.option(
    "--most", type=click.IntRange(1, 500), default=None,
    help="How many looks to propose (default: 8), or questions to ask (default: 10).",
)  # fmt: skip
@click.option("--minutes", type=click.FloatRange(1, 600), help="Plan an examination of so many minutes instead.")
@click.option("--seed", type=int, default=0, show_default=True, help="With --minutes: the seed of the findings drawn.")
@click.option(
    "--telephone",
    "by_telephone",
    is_flag=True,
    help="The few questions to ask before the visit; VISIT may be left out.",
)
@with_records
@shared
@answering
def command(
    visit: Path | None, most: int | None, minutes: float | None, seed: int, by_telephone: bool,
    store_at: str | None, part: int | None, folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """What to check next: the looks not yet made that would change the reasons to call, the plan, or what is still open;
    each with its reason, how to do it, what to take care of and how long it takes, in the order of one walk round the horse."""
    if minutes is not None and not math.isfinite(minutes):
        raise click.UsageError("--minutes: a number of minutes was expected.")
    if visit is None and not by_telephone:
        raise click.UsageError(
            "A visit file is needed; without one, --telephone gives the questions to ask before a visit."
        )
    if by_telephone and minutes is not None:
        raise click.UsageError("--telephone and --minutes do not go together.")
    answer = consulted(visit, folders, as_json, store_at, part) if visit is not None else _before(folders)
    from reasoner.rendering import next_json, next_text
    from reasoner.rendering.terminal import print_page

    if by_telephone:
        from reasoner.questions import telephone

        questions = telephone.telephone_of(answer, most or telephone.MOST)
        if as_json:
            print_json(next_json.telephone_json(questions, answer))
        else:
            print_page(next_text.telephone_lines(questions, answer))
    elif minutes is not None:
        from reasoner.questions.minutes import DRAWS, planned_for

        planned = planned_for(answer, minutes, seed)
        if as_json:
            print_json(next_json.planned_json(planned, answer))
        else:
            print_page(next_text.planned_lines(planned, minutes, DRAWS, answer))
    else:
        from reasoner.questions import next_check

        told = next_check.next_of(answer, most or next_check.MOST)
        if as_json:
            print_json(next_json.next_json(told, answer))
        else:
            print_page(next_text.next_lines(told, answer))


def _before(folders: Sequence[Path]) -> Answer:
    """The answer to a visit of which nothing is known yet."""
    from reasoner.visit.model import Visit

    return judge(Visit(file="", day=clock.today()), ready(folders))
