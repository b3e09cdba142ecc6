"""`reasoner suppose VISIT --set "loin, left = 0"`: before and after.

In: a visit file and readings to suppose. Out: what would change, as words or JSON.
Not here: wording (rendering), reading the lines (questions.written). The file itself is never touched.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, consulted, print_json, shared, visit_argument, with_records

EPILOG = """\b
Example:
  reasoner suppose examples/bramble.yaml --set "loin, left = 0"
  reasoner suppose examples/bramble.yaml --set "trot in hand = uneven" --set "withers, both = not examined"
"""


@click.command("suppose", epilog=EPILOG)
@visit_argument
@click.option(
    "--set", "lines", multiple=True, required=True, metavar="'NAME, SIDE = READING'",
    help="A reading to suppose, as it would be written in the file; \"not examined\" takes one away. May be given again.",
)  # fmt: skip
@with_records
@shared
@answering
def command(
    visit: Path, lines: Sequence[str], store_at: str | None, part: int | None, folders: Sequence[Path], as_json: bool
) -> None:
    """What the answer would be if some readings were otherwise: conclusions, reasons to call, plan, and the rules that would
    start and stop speaking. Nothing is written; the visit file stays as it is."""
    answer = consulted(visit, folders, as_json, store_at, part)
    from reasoner.questions.suppose import suppose
    from reasoner.questions.written import change_from

    told = suppose(answer, change_from(lines, answer.visit, answer.ready.book.vocabulary))
    if as_json:
        from reasoner.rendering.asked_json import suppose_json

        print_json(suppose_json(told, lines))
        return
    from reasoner.rendering.suppose_text import suppose_lines
    from reasoner.rendering.terminal import print_page

    print_page(suppose_lines(told, lines))
