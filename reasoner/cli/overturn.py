"""`reasoner overturn VISIT`: what would change my mind?

In: a visit file. Out: the smallest changes that bring another leading cause, referral or first step, as words or JSON.
Not here: wording (rendering), finding the changes (questions.overturn).
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, consulted, print_json, shared, visit_argument, with_records

EPILOG = """\b
Example:
  reasoner overturn examples/bramble.yaml
  reasoner overturn examples/sorrel.yaml --unexamined --most 3
"""


@click.command("overturn", epilog=EPILOG)
@visit_argument
@click.option("--unexamined", is_flag=True, help="Also try what was not examined or not written down.")
@click.option("--most", type=click.IntRange(1), default=6, show_default=True,
              help="How many changes of a size to show, scores and words each; the rest are counted.")  # fmt: skip
@with_records
@shared
@answering
def command(
    visit: Path,
    unexamined: bool,
    most: int,
    store_at: str | None,
    part: int | None,
    folders: Sequence[Path],
    as_json: bool,
) -> None:
    """The fewest readings, and of those the fewest points, that would bring another leading cause, another call or another
    first step of the plan."""
    from reasoner.questions.overturn import overturned

    answer = consulted(visit, folders, as_json, store_at, part)
    told = overturned(answer, unexamined=unexamined, progress=_progress())
    if as_json:
        from reasoner.rendering.overturn_json import overturn_json

        print_json(overturn_json(told, answer))
        return
    from reasoner.rendering.overturn_text import overturn_lines
    from reasoner.rendering.terminal import print_page

    print_page(overturn_lines(told, answer, most))


def _progress() -> Callable[[str], None]:
    """Tells what goes on, on standard error, at most once a second and not in the first."""
    last = time.monotonic()

    def tell(what: str) -> None:
        nonlocal last
        if time.monotonic() - last >= 1.0:
            last = time.monotonic()
            click.echo(f"still looking: {what}", err=True)

    return tell
