"""`reasoner measure ...`: one measure by itself, because in a barn aisle people want just that.

In: the words after `reasoner measure`. Out: the command of that name. A new command is one file here and one line in `MEASURES`.
Not here: any one command; the arithmetic (measures/), wording (rendering).
"""

from __future__ import annotations

import click

from reasoner.cli import Late

#: Each command, and its line in the help; it stands in the module of its name beside this file.
MEASURES: dict[str, str] = {
    "tracing": "Widths and slopes of the back from a tracing, left against right, now against then.",
    "tree": "A tree or panel laid on the tracing of a back: where it touches, clears and presses.",
}
EPILOG = """\b
Example:
  reasoner measure --help
  reasoner measure tracing tracing.csv --picture tracing.svg
  reasoner measure tree examples/larch.csv --picture larch.svg
"""


class _Measures(Late):
    table = MEASURES
    package = "reasoner.cli.measure"


@click.group("measure", cls=_Measures, epilog=EPILOG)
def command() -> None:
    """Work one thing out from tape, tracing or scales, without a visit file."""
