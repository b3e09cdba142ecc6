"""`reasoner measure load`: what a horse weighs by tape, and what share of it is carried.

In: kilograms or pounds, centimetres or inches. Out: weight, share and forces as words, JSON or a picture.
Not here: the arithmetic (measures/), wording (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from reasoner.cli.common import answering, ready, shared
from reasoner.cli.measure.as_entries import options, too_little, visit_of

EPILOG = """\b
Example:
  reasoner measure load --horse "500 kg" --weighed weighbridge --rider "62 kg" --tack "9 kg"
  reasoner measure load --girth "74 in" --length "65 in" --rider "11 st 4 lb" --tack "20 lb" --picture load.svg
"""
ENTRIES = {
    "weight": ("--horse", "AMOUNT", "What the horse weighs, such as \"500 kg\" or \"1100 lb\"."),
    "weighed": ("--weighed", "HOW", "How: weighbridge, weigh tape, told or guess."),
    "heart_girth": ("--girth", "LENGTH", "Heart girth, such as \"180 cm\" or \"71 in\"."),
    "body_length": ("--length", "LENGTH", "Body length, point of the shoulder to point of the buttock."),
    "measuring_points": ("--points", "POINTS", "Other points of the length: to the tail, or other."),
    "weight_by_tape": ("--by-tape", "AMOUNT", "What a printed weigh tape says."),
    "height": ("--height", "LENGTH", "Height at the withers, such as \"148 cm\" or \"14.2 hh\"."),
    "type": ("--type", "TYPE", "Type: fine skinned, middling, or cob or heavy."),
    "rider_weight": ("--rider", "AMOUNT", "The rider, dressed to ride."),
    "tack_weight": ("--tack", "AMOUNT", "Saddle, pads, girth and all that hangs on it."),
    "extra_weight": ("--extra", "AMOUNT", "What else is carried."),
}  # fmt: skip


@click.command("load", epilog=EPILOG)
@options((option, key, metavar, text) for key, (option, metavar, text) in ENTRIES.items())
@click.option("--age", metavar="AGE", help="How old the horse is, in weeks or years.")
@click.option(
    "--picture", type=click.Path(path_type=Path), metavar="FILE.svg", help="Also draw the scale of load into FILE."
)
@click.option("--full", is_flag=True, help="Show everything; what the short page folds away is counted there.")
@shared
@answering
def command(
    age: str | None, picture: Path | None, full: bool, folders: Sequence[Path], as_json: bool, **given: Any
) -> None:
    """What the horse weighs by tape, what share of it rider and tack are, and where published work stands beside that share.

    No share is called too much, and no weight from here is a number for a medicine.
    """
    from reasoner.cli.measure.drawing import write_picture
    from reasoner.cli.measure.printing import print_told
    from reasoner.facts.measured_load import weights_of
    from reasoner.rendering.measured_load import told

    book = ready(folders).book
    visit = visit_of(given, {key: option for key, (option, _, _) in ENTRIES.items()}, book, age)
    weights_of(visit, book, strict=True)
    every = tuple(told(visit, book))
    if not every:
        raise too_little(
            "nothing can be worked out from what was given.", "Give --girth and --length, or --horse and --rider."
        )
    drawn = next((one.picture for one in every if one.picture), "")
    write_picture(picture, drawn, "--rider, and --horse or --girth and --length")
    print_told(every, book, as_json, full=full)
