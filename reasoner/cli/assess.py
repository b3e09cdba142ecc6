"""`reasoner assess VISIT`: the working account of a visit.

In: a visit file. Out: the assessment as words or JSON.
Not here: wording (rendering), reasoning.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import answering, consulted, print_json, shared, since_told, visit_argument, with_records
from reasoner.cli.signing import signing_above

if TYPE_CHECKING:
    from reasoner.consult import Answer
    from reasoner.rendering.text_page import Line

READINGS = 1000
EPILOG = """\b
Example:
  reasoner assess examples/bramble.yaml
  reasoner assess bramble.yaml --rules shipped --rules my-practice/
  reasoner assess bramble-may.yaml --store practice.db
"""


@click.command("assess", epilog=EPILOG)
@visit_argument
@click.option("--full", is_flag=True, help="Show everything; what the short page folds away is counted there.")
@with_records
@shared
@answering
def command(
    visit: Path, full: bool, store_at: str | None, part: int | None, folders: Sequence[Path], as_json: bool
) -> None:
    """Reasons to call the veterinarian first; then what likely makes this horse sore, what speaks for and against it,
    what was not checked, and what stays unexplained."""
    answer = consulted(visit, folders, as_json, store_at, part)
    more, below = since_told(answer, store_at)
    if as_json:
        from reasoner.rendering.answer_json import answer_json

        print_json({**answer_json(answer), **more})
        return
    from reasoner.rendering.assess_text import assess_lines
    from reasoner.rendering.terminal import print_page

    print_page([*signing_above(answer), *assess_lines(answer, full=full, firm=_how_firm(answer)), *below])


def _how_firm(answer: Answer) -> list[Line]:
    """One line on whether the leading cause hangs on a number or two; a thousand readings, so that the page stays quick."""
    from reasoner.questions.firm import hand_of, leading_stays
    from reasoner.rendering.firm_text import leading_lines

    if answer.ready.book.scales.reading_error is None:
        return []
    hand = hand_of(answer.visit, answer.ready.book.scales)
    return list(leading_lines(leading_stays(answer, hand, READINGS), READINGS, hand, answer))
