"""`reasoner measure ...`: one measure by itself, because in a barn aisle people want just that.

In: the words after `reasoner measure`. Out: the command of that name. A new command is one file here and one line in `MEASURES`.
Not here: any one command; the arithmetic (measures/), wording (rendering).
"""

from __future__ import annotations

import click

from reasoner.cli import Late

#: Each command, and its line in the help; it stands in the module of its name beside this file.
MEASURES: dict[str, str] = {
    "load": "Body weight by tape, and what share of it rider and tack are, beside published work.",
    "pressure": "Mean pressure from mass and contact area, and mat readings beside published groups.",
}
EPILOG = """\b
Example:
  reasoner measure --help
  reasoner measure load --horse "500 kg" --rider "62 kg" --tack "9 kg"
  reasoner measure pressure --rider "75 kg" --tack "8 kg" --area "900 cm2"
"""


class _Measures(Late):
    table = MEASURES
    package = "reasoner.cli.measure"


@click.group("measure", cls=_Measures, epilog=EPILOG)
def command() -> None:
    """Work one thing out from tape, tracing or scales, without a visit file."""
