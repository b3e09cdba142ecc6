"""`reasoner measure stirrups`: two stirrups, bar to tread, which is shorter and by how many holes.

In: two lengths as options. Out: words or JSON.
Not here: arithmetic (measures), wording (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, ready, shared
from reasoner.cli.measure.amounts import Amounts

EPILOG = """\
Left and right are the horse's own: the stirrup that hangs on its left side is
the left one.

\b
Example:
  reasoner measure stirrups --left "78 cm" --right "76 cm"
  reasoner measure stirrups --left "30 3/4 in" --right "30 in" --hole "1 in"
"""


@click.command("stirrups", epilog=EPILOG)
@click.option(
    "--left", metavar="LENGTH", help="The left stirrup, bar to tread, off the horse, leather pulled straight."
)
@click.option("--right", metavar="LENGTH", help="The right one.")
@click.option("--hole", metavar="LENGTH", help="From hole to hole of the leathers.")
@shared
@answering
def command(left: str | None, right: str | None, hole: str | None, folders: Sequence[Path], as_json: bool) -> None:
    """Which of two stirrups is shorter, by how much and by how many holes, and what trade and published work say of it."""
    from reasoner.cli.measure.printing import print_told
    from reasoner.facts.measured_stirrups import table_of
    from reasoner.measures.stirrup import pair_of
    from reasoner.rendering.measured_stirrups import told_pair

    book = ready(folders).book
    amounts = Amounts(book, "MS01")
    lengths = [amounts.of(name, text, "length", "stirrups") for name, text in (("--left", left), ("--right", right))]
    spacing = amounts.of("--hole", hole, "length", "hole_spacing")
    for name, text in (("--left", left), ("--right", right)):
        if text is None:
            amounts.wrong(
                name, "The length was not given, and two are compared.", f'For instance {name} "78 cm".', "MS05"
            )
    if "stirrups" not in book.measures:
        amounts.wrong("--rules", "These rules hold no table of stirrups (measures/stirrups.yaml).", code="MS05")
    amounts.done()
    one, other = lengths
    if one is None or other is None:  # never: what was not given or not read has been raised
        return
    told = told_pair(pair_of(one, other, table_of(book), spacing), book)
    print_told([told], book, as_json)
