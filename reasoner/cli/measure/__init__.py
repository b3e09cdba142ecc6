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
    "sides": "Left against right, for anything measured on both sides.",
    "hand": "A pressure gauge left and right, and how firmly a hand pressed.",
    "feet": "The slopes of the two fore feet.",
    "gait": "Numbers of a gait system, a veterinarian's grade, the face.",
    "tracing": "Widths and slopes of the back from a tracing, left against right, now against then.",
    "tree": "A tree or panel laid on the tracing of a back: where it touches, clears and presses.",
    "load": "Body weight by tape, and what share of it rider and tack are, beside published work.",
    "pressure": "Mean pressure from mass and contact area, and mat readings beside published groups.",
}
EPILOG = """\b
Example:
  reasoner measure sides --left "0.25 m" --right "0.39 m"
  reasoner measure hand --left "6.4 kg/cm2" --right "4.8 kg/cm2" --tip "1 cm2"
  reasoner measure feet --left "53 °" --right "50 °"
  reasoner measure gait --pelvis-min "left 6 mm"
  reasoner measure tracing tracing.csv --picture tracing.svg
  reasoner measure tree examples/larch.csv --picture larch.svg
  reasoner measure load --horse "500 kg" --rider "62 kg" --tack "9 kg"
  reasoner measure pressure --rider "75 kg" --tack "8 kg" --area "900 cm2"
  reasoner measure shims --roll-right "3 deg" --bars "240 mm" --saddle "with bars"
  reasoner measure stirrups --left "78 cm" --right "76 cm"
"""


class _Measures(Late):
    table = MEASURES
    package = "reasoner.cli.measure"


@click.group("measure", cls=_Measures, epilog=EPILOG)
def command() -> None:
    """Work one thing out from tape, tracing or scales, without a visit file."""
