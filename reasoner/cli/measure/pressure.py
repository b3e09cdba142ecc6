"""`reasoner measure pressure`: mean pressure from mass and contact area, and mat readings beside published groups.

In: kilograms, square centimetres, kilopascals. Out: pressures as words or JSON.
Not here: the arithmetic (measures/), wording (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from reasoner.cli.common import answering, ready, shared
from reasoner.cli.measure.as_entries import options, too_little, visit_of
from reasoner.problems import BadInput, Problem, register

register({"MS15": "readings of a mat that cannot go together"})

EPILOG = """\b
Example:
  reasoner measure pressure --rider "75 kg" --tack "8 kg" --area "900 cm2"
  reasoner measure pressure --walk-mean "9 kPa" --walk-max "15 kPa" --trot-mean "1.2 N/cm2"
  reasoner measure pressure --trot-front "8 kPa" --trot-middle "8 kPa" --trot-rear "11 kPa"
"""
FIELDS = {
    "withers_mean": ("mean", "Mean at the withers at {gait}."),
    "withers_most": ("max", "Greatest at the withers at {gait}."),
    "front_third": ("front", "Mean of the front third at {gait}."),
    "middle_third": ("middle", "Mean of the middle third at {gait}."),
    "rear_third": ("rear", "Mean of the rear third at {gait}."),
}
ENTRIES = {
    "rider_weight": ("--rider", "AMOUNT", "The rider, dressed to ride."),
    "tack_weight": ("--tack", "AMOUNT", "Saddle, pads, girth and all that hangs on it."),
    "extra_weight": ("--extra", "AMOUNT", "What else is carried."),
    "contact_area": ("--area", "AREA", "The contact area as measured, both sides together, such as \"900 cm2\"."),
    "pad": ("--pad", "PAD", "What lies under the saddle: none, thin or thick."),
    **{
        f"{field}_{gait}": (f"--{gait}-{short}", "PRESSURE", text.format(gait=gait))
        for gait in ("walk", "trot", "canter")
        for field, (short, text) in FIELDS.items()
    },
}  # fmt: skip


@click.command("pressure", epilog=EPILOG)
@options((option, key, metavar, text) for key, (option, metavar, text) in ENTRIES.items())
@shared
@answering
def command(folders: Sequence[Path], as_json: bool, **given: Any) -> None:
    """The mean pressure from mass and contact area, and mat readings beside published groups.

    Pressure is not pain, and one reading with a mat is not used alone.
    """
    from reasoner.cli.measure.printing import print_told
    from reasoner.facts.measured_pressure import mat_of
    from reasoner.rendering.measured_pressure import told

    book = ready(folders).book
    visit = visit_of(given, {key: option for key, (option, _, _) in ENTRIES.items()}, book)
    if slips := mat_of(visit, book).slips:
        raise BadInput([Problem("the mat", 0, "MS15", slip) for slip in slips])
    every = tuple(told(visit, book))
    if not every:
        hint = "Give --area with --rider, or readings of a mat such as --walk-mean; thirds are compared, so all three of a gait."
        raise too_little("nothing can be worked out from what was given.", hint)
    print_told(every, book, as_json)
