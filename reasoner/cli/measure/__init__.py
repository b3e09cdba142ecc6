"""`reasoner measure ...`: one measure by itself, because in a barn aisle people want just that.

In: the words after `reasoner measure`. Out: the command of that name. A new command is one file here and one line in `MEASURES`.
Not here: any one command; the arithmetic (measures/), wording (rendering).
"""

from __future__ import annotations

import click

from reasoner.cli import Late

#: Each command, and its line in the help; it stands in the module of its name beside this file.
MEASURES: dict[str, str] = {
    "shims": "How far a saddle leans, what each side bears, and the shim that would lift it.",
    "stirrups": "Two stirrups, bar to tread: which is shorter, and by how many holes.",
}
EPILOG = """\b
Example:
  reasoner measure shims --roll-right "3 deg" --bars "240 mm" --saddle "with bars"
  reasoner measure stirrups --left "78 cm" --right "76 cm"
"""


class _Measures(Late):
    table = MEASURES
    package = "reasoner.cli.measure"


@click.group("measure", cls=_Measures, epilog=EPILOG)
def command() -> None:
    """Work one thing out from tape, tracing or scales, without a visit file."""
