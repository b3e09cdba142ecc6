"""`reasoner measure shims`: how far a saddle leans, what each side bears, and the shim that would lift it.

In: lengths, degrees and masses as options. Out: words, JSON, a picture.
Not here: arithmetic (measures), wording (rendering), whether a shim may be laid in (the rules).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import click

from reasoner.cli.common import answering, ready, shared
from reasoner.cli.measure.amounts import Amounts
from reasoner.measures.seat import Seat
from reasoner.problems import near_hint
from reasoner.quantities import Dimension
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import canonical

EPILOG = """\
Left and right are the horse's own. The side named is the one the saddle has gone
to, or the lower one.

\b
Example:
  reasoner measure shims --roll-right "3 deg" --bars "240 mm" --saddle "with bars"
  reasoner measure shims --height-left "1120 mm" --height-right "1100 mm" --apart "40 cm"
  reasoner measure shims --off-left "1/2 in" --radius "240 mm" --bars "9 1/2 in" \\
    --rider "62 kg" --tack "9 kg" --mass-height "50 cm" --picture roll.svg
  reasoner measure shims --bars "100 mm" --thickness "13 mm"
"""
#: Option, its dimension, the entry of a visit that means the same, and its line of help.
OPTIONS: dict[str, tuple[Dimension, str, str]] = {
    "--off-left": (
        "length",
        "saddle_off_the_middle",
        "How far the middle of the saddle stands to the left of the spine.",
    ),
    "--off-right": ("length", "saddle_off_the_middle", "The same, to the right."),
    "--roll-left": ("angle", "saddle_roll", "How many degrees the saddle lies lower on the left."),
    "--roll-right": ("angle", "saddle_roll", "The same, on the right."),
    "--height-left": (
        "length",
        "saddle_side_height",
        "How high a point of the left side stands above something level.",
    ),
    "--height-right": ("length", "saddle_side_height", "The same point on the right."),
    "--apart": ("length", "side_heights_apart", "How far those two points are apart, level."),
    "--bars": ("length", "bar_spacing", "How far the lines on which the two bars or panels bear are apart."),
    "--radius": ("length", "back_radius", "How round the back is across; needed to make degrees of millimetres."),
    "--rider": ("mass", "rider_weight", "The rider, dressed."),
    "--tack": ("mass", "tack_weight", "Saddle and all that hangs on it."),
    "--mass-height": ("length", "rider_middle_height", "How high above the bars rider and tack have their middle."),
    "--wanted": ("angle", "", "The roll to be taken away, instead of all that was measured."),
    "--thickness": ("length", "", "A thickness under one bar: the roll it gives."),
    "--soft": ("share", "", "How much of the shim the rider presses away, in %."),
}


def _options(function: Callable[..., Any]) -> Callable[..., Any]:
    for option, (_, _, says) in reversed(OPTIONS.items()):
        function = click.option(option, metavar="AMOUNT", help=says)(function)
    return function


@click.command("shims", epilog=EPILOG)
@_options
@click.option(
    "--saddle", metavar="TYPE", help="The saddle type, as in a visit file; it decides whether there is a thickness."
)
@click.option("--picture", type=click.Path(path_type=Path), metavar="FILE.svg", help="Also draw it into a new file.")
@shared
@answering
def command(
    saddle: str | None, picture: Path | None, folders: Sequence[Path], as_json: bool, **given: str | None
) -> None:
    """How far a saddle leans, what each side bears, and the soft shim that would lift the low side, with what has to be right
    before one may be laid in."""
    from reasoner.cli.measure.drawing import write_picture
    from reasoner.cli.measure.printing import print_told
    from reasoner.rendering.measured_shims_alone import told_alone

    book = ready(folders).book
    seat, asked = _read(book, saddle, given)
    told = told_alone(seat, asked, book)
    write_picture(picture, told.picture, "a roll: degrees, heights with their distance, or millimetres with a radius")
    print_told([told], book, as_json)


def _read(book: Rulebook, saddle: str | None, given: dict[str, str | None]) -> tuple[Seat, Any]:
    """The seat and what is asked. Raises BadInput with everything that is wrong."""
    from reasoner.rendering.measured_shims_alone import Asked

    amounts = Amounts(book, "MS01")
    read = {
        option: amounts.of(option, given[option.removeprefix("--").replace("-", "_")], dimension, entry)
        for option, (dimension, entry, _) in OPTIONS.items()
    }
    off, roll = (_one_side(amounts, read, f"--{name}-left", f"--{name}-right") for name in ("off", "roll"))
    left, right = read["--height-left"], read["--height-right"]
    if (left is None) != (right is None) and not amounts.problems:
        missing = "--height-left" if left is None else "--height-right"
        amounts.wrong(missing, "A height was given for one side only, and both are compared.", code="MS05")
    kind = _saddle_type(amounts, book, saddle)
    if "shims" not in book.measures:
        amounts.wrong("--rules", "These rules hold no table of shims (measures/shims.yaml).", code="MS05")
    seat = Seat(
        off_mm=off, roll_deg=roll, heights_mm=(left, right) if left is not None and right is not None else None,
        apart_mm=read["--apart"], bars_mm=read["--bars"], radius_mm=read["--radius"], rider_kg=read["--rider"],
        tack_kg=read["--tack"], mass_height_mm=read["--mass-height"], saddle_type=kind,
    )  # fmt: skip
    share = read["--soft"]
    asked = Asked(
        wanted_deg=read["--wanted"], thickness_mm=read["--thickness"], share=None if share is None else share / 100
    )
    if not amounts.problems and not seat.measured and asked.wanted_deg is None and asked.thickness_mm is None:
        amounts.wrong(
            "reasoner measure shims", "Nothing was given that tells where the saddle sits, and no roll or thickness was asked "
            "for.", "Begin with --roll-right, --off-right, the two heights, --wanted or --thickness; --help shows examples.",
            "MS05",
        )  # fmt: skip
    amounts.done()
    return seat, asked


def _one_side(amounts: Amounts, read: dict[str, float | None], left: str, right: str) -> float | None:
    """Two options of which one at most says more than 0, as one number that is positive to the right."""
    one, other = read[left], read[right]
    if one and other:
        amounts.wrong(f"{left}, {right}", f"{one:g} to the left and {other:g} to the right were read; a saddle can be off to one "
                      "side only.", "Leave one of the two out.", "MS02")  # fmt: skip
        return None
    return None if one is None and other is None else (other or 0.0) - (one or 0.0)


def _saddle_type(amounts: Amounts, book: Rulebook, saddle: str | None) -> str:
    """The key of a saddle type in the vocabulary; empty where none was given."""
    seen = book.vocabulary.observations.get("saddle_type")
    if saddle is None or seen is None:
        return ""
    kind = seen.reading_of.get(canonical(saddle), "")
    if not kind:
        known = ", ".join(word.key.replace("_", " ") for word in seen.readings)
        hint = near_hint(saddle, [word.replace("_", " ") for word in seen.reading_of])
        amounts.wrong("--saddle", f'"{saddle}" is no saddle type; expected one of: {known}.', hint, "MS06")
    return kind
