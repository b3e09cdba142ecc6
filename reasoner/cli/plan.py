"""`reasoner plan VISIT`: the draft plan.

In: a visit file. Out: the plan as words or JSON.
Not here: wording (rendering), choosing actions (plan).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import answering, consulted, print_json, shared, since_told, visit_argument, with_records
from reasoner.cli.signing import signing_above

if TYPE_CHECKING:
    from reasoner.rendering.text_page import Line

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
def command(
    visit: Path, full: bool, store_at: str | None, part: int | None, folders: Sequence[Path], as_json: bool
) -> None:
    """May the horse be ridden; then the steps in order with doses and reasons, what is not for today and why, the owner's
    tasks, what to expect by when, and the usual cautions. A draft for the practitioner to approve; with --store what the
    practitioner changed of it is in it, and marked."""
    answer = consulted(visit, folders, as_json, store_at, part)
    more, below = since_told(answer, store_at)
    above: list[Line] = []
    if store_at is not None:
        from reasoner.cli.editing import with_edits
        from reasoner.rendering.edited_lines import edited_above

        edited = with_edits(answer, visit, store_at, quiet=True)
        answer, above = edited.answer, list(edited_above(edited))
    if as_json:
        from reasoner.rendering.answer_json import plan_json

        print_json({**plan_json(answer), **more})
        return
    from reasoner.rendering.plan_text import plan_lines
    from reasoner.rendering.terminal import print_page

    print_page([*signing_above(answer), *above, *plan_lines(answer, full=full), *below])
