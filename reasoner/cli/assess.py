"""`reasoner assess VISIT`: the working account of a visit.

In: a visit file. Out: the assessment as words or JSON.
Not here: wording (rendering), reasoning.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, consulted, print_json, shared, visit_argument

EPILOG = """\b
Example:
  reasoner assess examples/bramble.yaml
  reasoner assess bramble.yaml --rules shipped --rules my-practice/
"""


@click.command("assess", epilog=EPILOG)
@visit_argument
@click.option("--full", is_flag=True, help="Show everything; what the short page folds away is counted there.")
@shared
@answering
def command(visit: Path, full: bool, folders: Sequence[Path], as_json: bool) -> None:
    """Reasons to call the veterinarian first; then what likely makes this horse sore, what speaks for and against it,
    what was not checked, and what stays unexplained."""
    answer = consulted(visit, folders, as_json)
    if as_json:
        from reasoner.rendering.answer_json import answer_json

        print_json(answer_json(answer))
        return
    from reasoner.rendering.assess_text import assess_lines
    from reasoner.rendering.terminal import print_page

    print_page(assess_lines(answer, full=full))
