"""`reasoner plan VISIT`: the draft plan.

In: a visit file. Out: the plan as words or JSON.
Not here: wording (rendering), choosing actions (plan).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, consulted, print_json, shared, visit_argument, with_records
from reasoner.cli.signing import signing_above

EPILOG = """\b
Example:
  reasoner plan examples/bramble.yaml
"""


@click.command("plan", epilog=EPILOG)
@visit_argument
@click.option("--full", is_flag=True, help="Show everything; what the short page folds away is counted there.")
@with_records
@shared
@answering
def command(visit: Path, full: bool, store_at: str | None, folders: Sequence[Path], as_json: bool) -> None:
    """May the horse be ridden; then the steps in order with doses and reasons, what is not for today and why, the owner's
    tasks, what to expect by when, and the usual cautions. A draft for the practitioner to approve."""
    answer = consulted(visit, folders, as_json, store_at)
    if as_json:
        from reasoner.rendering.answer_json import plan_json

        print_json(plan_json(answer))
        return
    from reasoner.rendering.plan_text import plan_lines
    from reasoner.rendering.terminal import print_page

    print_page([*signing_above(answer, visit, store_at), *plan_lines(answer, full=full)])
