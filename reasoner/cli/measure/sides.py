"""`reasoner measure sides`: left against right, for any one thing measured on both sides.

In: readings of both sides, and how far each may be off. Out: the difference, the symmetry index and its error.
Not here: the arithmetic (measures/symmetry.py), wording (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, shared

EPILOG = """\b
Example:
  reasoner measure sides --what "forearm girth" --left "398 mm" --right "402 mm" --error "5 mm"
  reasoner measure sides --left "0.25 m" --right "0.39 m" --picture sides.svg
"""


@click.command("sides", epilog=EPILOG)
@click.option("--left", multiple=True, required=True, metavar="AMOUNT",
              help="What was measured on the left; several times for several readings.")  # fmt: skip
@click.option("--right", multiple=True, required=True, metavar="AMOUNT", help="The same on the right.")
@click.option("--error", metavar="AMOUNT", help="How far one reading may be off either way, in the same kind of unit.")
@click.option("--what", default="this measurement", show_default=True, help="What was measured, in words.")
@click.option("--picture", type=click.Path(path_type=Path), metavar="FILE.svg", help="Write the picture here too.")
@shared
@answering
def command(
    left: tuple[str, ...],
    right: tuple[str, ...],
    error: str | None,
    what: str,
    picture: Path | None,
    folders: Sequence[Path],
    as_json: bool,
) -> None:
    """Left against right for anything measured on both sides: the difference, the symmetry index with its formula, and how
    far both may be off."""
    from reasoner.cli.measure.drawing import write_picture
    from reasoner.cli.measure.printing import print_told, table_of
    from reasoner.cli.measure.reading_sides import amount_of, base_unit, pair_of, words_of
    from reasoner.measures.symmetry import compare, mean_of
    from reasoner.rendering.measured_sides import pair_told
    from reasoner.rulebook.measures.sides import Sides

    book, table = table_of("sides", Sides, folders)
    dimension, lefts, rights = pair_of(left, right)
    off = None if error is None else amount_of("--error", error, dimension)
    wide = table.errors.wide
    found = compare(mean_of(lefts, off, wide), mean_of(rights, off, wide), wide)
    told = pair_told(words_of("--what", what), base_unit(dimension), found, table)
    write_picture(picture, told.picture, "a pair of sides, or a difference with its side")
    print_told([told], book, as_json)
