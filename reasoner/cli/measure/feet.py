"""`reasoner measure feet`: the slopes of the two fore feet against each other.

In: the slope of the front of each fore hoof. Out: how far apart, which is the steeper, what each is called.
Not here: the arithmetic (measures/hoof.py), wording (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, shared

EPILOG = """\b
Example:
  reasoner measure feet --left "53 °" --right "50 °" --error "0.5 °"
  reasoner measure feet --left 53deg --right 50deg --picture feet.svg
"""


@click.command("feet", epilog=EPILOG)
@click.option("--left", required=True, metavar="ANGLE", help="The slope of the front of the left fore hoof.")
@click.option("--right", required=True, metavar="ANGLE", help="The same of the right fore hoof.")
@click.option(
    "--error", metavar="ANGLE", help="How far one slope may be off either way, instead of what the rules say."
)
@click.option("--picture", type=click.Path(path_type=Path), metavar="FILE.svg", help="Write the picture here too.")
@shared
@answering
def command(
    left: str, right: str, error: str | None, picture: Path | None, folders: Sequence[Path], as_json: bool
) -> None:
    """How far apart the slopes of the two fore feet are, and which is the steeper, if that is more than they may be off."""
    from reasoner.cli.measure.drawing import write_picture
    from reasoner.cli.measure.printing import print_told, table_of
    from reasoner.cli.measure.reading_sides import amount_of, within
    from reasoner.measures.hoof import slopes
    from reasoner.rendering.measured_feet_and_gait import feet_told
    from reasoner.rulebook.measures.feet_and_gait import FeetAndGait

    book, table = table_of("feet_and_gait", FeetAndGait, folders)
    one, two = amount_of("--left", left, "angle"), amount_of("--right", right, "angle")
    for option, text, angle in (("--left", left, one), ("--right", right, two)):
        within(option, text, angle, book.vocabulary.observations["hoof_angle"])
    off = None if error is None else amount_of("--error", error, "angle")
    told = feet_told(slopes(one, two, table, off), table, own_error=off is None)
    write_picture(picture, told.picture, "a pair of sides, or a difference with its side")
    print_told([told], book, as_json)
