"""`reasoner firm VISIT`: how firm is it, when every score is read again by a hand that wavers?

In: a visit file. Out: how often each part of the answer stays as it is, as words or JSON.
Not here: wording (rendering), reading again (questions.firm).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, consulted, print_json, shared, visit_argument, with_records

EPILOG = """\b
Example:
  reasoner firm examples/bramble.yaml
  reasoner firm examples/bramble.yaml --rows 5000 --seed 7 --shared 0.3 --noise 0.5
"""
POINTS = click.FloatRange(0, 10)


@click.command("firm", epilog=EPILOG)
@visit_argument
@click.option("--rows", type=click.IntRange(2, 1_000_000), default=2000, show_default=True,
              help="How many times to read the scores again; an odd number is made even.")  # fmt: skip
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True,
              help="The same seed draws the same scores again.")  # fmt: skip
@click.option("--shared", "together", type=POINTS, metavar="POINTS",
              help="How far all scores of a visit waver together, instead of what the rules say.")  # fmt: skip
@click.option("--noise", type=POINTS, metavar="POINTS",
              help="How far each place and side wavers by itself, instead of what the rules say.")  # fmt: skip
@with_records
@shared
@answering
def command(
    visit: Path,
    rows: int,
    seed: int,
    together: float | None,
    noise: float | None,
    store_at: str | None,
    part: int | None,
    folders: Sequence[Path],
    as_json: bool,
) -> None:
    """How often each conclusion keeps its band, and the leading cause, the call and the first step of the plan stay, if the
    same hand graded every place again."""
    from reasoner.questions.firm import firmness_of, hand_of

    answer = consulted(visit, folders, as_json, store_at, part)
    hand = hand_of(answer.visit, answer.ready.book.scales, together, noise)
    firmness = firmness_of(answer, hand, rows, seed)
    if as_json:
        from reasoner.rendering.firm_json import firm_json

        print_json(firm_json(firmness, answer))
        return
    from reasoner.rendering.firm_text import firm_lines
    from reasoner.rendering.terminal import print_page

    print_page(firm_lines(firmness, answer))
