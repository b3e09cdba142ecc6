"""`reasoner measure hand`: a hand-held gauge left and right, and how firmly a hand pressed on two days.

In: readings of the gauge (a pressure, or a force with its tip), or what the hand showed on a scale. Out: left against right
with its error, and how far scores of the two days may be compared.
Not here: the arithmetic (measures/hand_force.py), wording (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import answering, shared

if TYPE_CHECKING:
    from reasoner.measures.hand_force import Press, Reading
    from reasoner.rendering.measured_sides import Spot
    from reasoner.rulebook.measures.sides import Sides
    from reasoner.rulebook.rulebook import Rulebook

EPILOG = """\b
Example:
  reasoner measure hand --at withers --left "6.4 kg/cm2" --right "4.8 kg/cm2" --tip "1 cm2"
  reasoner measure hand --push "38 kg" --pressure moderate --earlier-push "52 kg" --earlier-pressure firm
"""
KEYS = ("gauge_at_the_withers", "gauge_on_the_back", "gauge_on_the_loin", "gauge_on_the_croup")
PLACES = tuple(key.rpartition("_")[2] for key in KEYS)
WORDS = click.Choice(["light", "moderate", "firm"])


@click.command("hand", epilog=EPILOG)
@click.option(
    "--at", "place", default="withers", show_default=True, type=click.Choice(PLACES), help="Where it was pressed."
)
@click.option(
    "--left", metavar="AMOUNT", help="What the gauge showed at the first answer on the left: kg/cm2, kPa, N or kg."
)
@click.option("--right", metavar="AMOUNT", help="The same on the right.")
@click.option("--tip", metavar="AREA", help='The tip of the gauge, such as "1 cm2"; a force becomes a pressure by it.')
@click.option("--right-tip", metavar="AREA", help="The tip on the right, where it was another one.")
@click.option("--error", metavar="PERCENT", help="How far one reading may be off, in percent of it.")
@click.option("--presses", metavar="NUMBER", help="How often each spot was pressed.")
@click.option("--push", metavar="KG", help="What the hand of this day showed on a bathroom scale.")
@click.option("--pressure", "word", type=WORDS, help="The word written for the hand of this day.")
@click.option("--examiner", default="", help="Whose hand it was.")
@click.option("--earlier-push", metavar="KG", help="What the hand of an earlier day showed.")
@click.option("--earlier-pressure", "earlier_word", type=WORDS, help="The word written on the earlier day.")
@click.option("--earlier-examiner", default="", help="Whose hand the earlier one was.")
@click.option("--picture", type=click.Path(path_type=Path), metavar="FILE.svg", help="Write the picture here too.")
@shared
@answering
def command(
    place: str,
    left: str | None,
    right: str | None,
    tip: str | None,
    right_tip: str | None,
    error: str | None,
    presses: str | None,
    push: str | None,
    word: str | None,
    examiner: str,
    earlier_push: str | None,
    earlier_word: str | None,
    earlier_examiner: str,
    picture: Path | None,
    folders: Sequence[Path],
    as_json: bool,
) -> None:
    """What a hand-held gauge showed left and right, and how far scores pressed on two days may be compared. The scale measures
    the hand; its kilograms are no target on a horse."""
    from reasoner.cli.measure.drawing import write_picture
    from reasoner.cli.measure.printing import print_told, table_of
    from reasoner.cli.measure.reading_sides import amount_of, refused, whole
    from reasoner.measures.hand_force import may_be_compared
    from reasoner.rendering.measured_sides import hand_told
    from reasoner.rulebook.measures.sides import Sides

    if left is None and right is None and push is None and word is None:
        raise refused("measure hand", "MS40", "nothing to work out was given.", "Give --left and --right, or --push.")
    for given, missing in ((left, "--left"), (right, "--right")):
        if given is None and (left or right):
            raise refused(missing, "MS40", "a gauge is read on both sides, and one of them is missing.")
    book, table = table_of("sides", Sides, folders)
    off = None if error is None else amount_of("--error", error, "share")
    if off is not None and not 0 < off <= 100:
        raise refused("--error", "MS45", f'"{error}" is not possible; expected more than 0 % and up to 100 %.')
    spots = [] if left is None or right is None else [_spot(place, left, right, tip, right_tip, table, off)]
    times = None if presses is None else whole("--presses", presses)
    if times is not None and times < 1:
        raise refused("--presses", "MS45", f'"{presses}" is not possible; expected 1 or more.')
    now = _press(book, "--push", push, word, examiner)
    before = _press(book, "--earlier-push", earlier_push, earlier_word, earlier_examiner)
    judged = may_be_compared(before, now, table) if earlier_push or earlier_word else None
    missing_words = (
        [] if not spots or tip else ["Gauge tip: readings with different tips are not compared, so note it."]
    )
    told = hand_told(
        spots, table, press=now, presses=times, judged=judged, own_error=off is None, missing=missing_words
    )
    write_picture(picture, told.picture, "a pair of sides, or a difference with its side")
    print_told([told], book, as_json)


def _press(book: Rulebook, option: str, push: str | None, word: str | None, who: str) -> Press:
    from reasoner.cli.measure.reading_sides import amount_of, within, words_of
    from reasoner.measures.hand_force import Press

    kg = None if push is None else amount_of(option, push, "mass")
    if push is not None and kg is not None:
        within(option, push, kg, book.vocabulary.observations["hand_on_a_scale"])
    return Press(word=word or "", push_kg=kg, who=words_of(option.replace("push", "examiner"), who) if who else "")


def _spot(
    place: str, left: str, right: str, tip: str | None, right_tip: str | None, table: Sides, off: float | None
) -> Spot:
    """Two pressures, or two forces, with whatever tips were given. Raises BadInput."""
    from reasoner.cli.measure.reading_sides import amount_of, pair_of
    from reasoner.rendering.measured_sides import force_spot, gauge_spot

    areas = [None if text is None else amount_of(option, text, "area")
             for option, text in (("--tip", tip), ("--right-tip", right_tip or tip))]  # fmt: skip
    dimension, (one,), (two,) = pair_of((left,), (right,), among=("pressure", "force"))
    key = next(key for key in KEYS if key.endswith(place))
    name = f"gauge {key.removeprefix('gauge_').replace('_', ' ')}"
    if dimension == "force" and None in areas:
        return force_spot(key, name.replace("gauge", "force"), one, two, table, off)
    readings = [_reading(value, area, dimension == "force") for value, area in zip((one, two), areas, strict=True)]
    return gauge_spot(key, name, (readings[0], readings[1]), table, off)


def _reading(value: float, area: float | None, is_force: bool) -> Reading:
    from reasoner.measures.hand_force import Reading, pressure_kpa

    return Reading(kpa=pressure_kpa(value, area) if is_force and area is not None else value, tip_cm2=area)
