"""`reasoner measure gait`: numbers of a gait system, grades of a veterinarian, totals of printed lists.

In: differences in mm with the side that the system names, grades with their scale, totals. Out: whether they have changed,
and what they do not say.
Not here: the arithmetic (measures/given_numbers.py), wording (rendering). Nothing is converted.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from reasoner.cli.common import answering, shared

if TYPE_CHECKING:
    from reasoner.measures.given_numbers import Graded, Lean
    from reasoner.rulebook.vocabulary import Observation

EPILOG = """\b
Example:
  reasoner measure gait --pelvis-min "left 9 mm" --pelvis-min "left 3 mm"
  reasoner measure gait --grade "AAEP: 3" --grade "AAEP: 2" --face 4 --ridden-signs 9
Given twice, the earlier comes first.
"""
NAMES = ("head-min", "head-max", "withers-min", "withers-max", "pelvis-min", "pelvis-max")


def _differences(function: Callable[..., Any]) -> Callable[..., Any]:
    for name in reversed(NAMES):
        function = click.option(
            f"--{name}", multiple=True, metavar='"SIDE MM"', help="The side that the system names, and the amount."
        )(function)
    return function


@click.command("gait", epilog=EPILOG)
@_differences
@click.option(
    "--grade", "grades", multiple=True, metavar='"SCALE: GRADE"', help="One leg's grade, as a veterinarian gave it."
)
@click.option("--face", metavar="TOTAL", help="The total of the six parts of the face.")
@click.option("--face-parts", metavar='"0 1 2 0 1 0"', help="The six parts of the face, each 0, 1 or 2, to be added.")
@click.option("--ridden-signs", metavar="COUNT", help="How many of the 24 behaviours under the rider were seen.")
@click.option("--picture", type=click.Path(path_type=Path), metavar="FILE.svg", help="Write the picture here too.")
@shared
@answering
def command(
    grades: tuple[str, ...],
    face: str | None,
    face_parts: str | None,
    ridden_signs: str | None,
    picture: Path | None,
    folders: Sequence[Path],
    as_json: bool,
    **differences: tuple[str, ...],
) -> None:
    """Numbers as a gait system, a veterinarian or a printed list gave them: each compared with itself alone, never turned into
    another and never a limit."""
    from reasoner.cli.measure.drawing import write_picture
    from reasoner.cli.measure.printing import print_told, table_of
    from reasoner.cli.measure.reading_sides import refused, whole
    from reasoner.measures.given_numbers import checked_total, face_total
    from reasoner.rendering.measured_feet_and_gait import Leg, gait_told
    from reasoner.rulebook.grade_scales import grade_scales
    from reasoner.rulebook.measures.feet_and_gait import FeetAndGait

    if not (any(differences.values()) or grades or face or face_parts or ridden_signs):
        raise refused("measure gait", "MS40", "nothing to tell was given.", 'Such as --pelvis-min "left 6 mm".')
    if face and face_parts:
        raise refused("--face", "MS49", "the total and its parts were both given.", "Give one of them.")
    book, table = table_of("feet_and_gait", FeetAndGait, folders)
    total = None
    if face:
        most = len(table.face.units) * table.face.most_each
        total = checked_total(whole("--face", face), most, "face")
    elif face_parts:
        total = face_total([whole("--face-parts", part) for part in face_parts.replace(",", " ").split()], table)
    signs = None
    if ridden_signs:
        signs = checked_total(whole("--ridden-signs", ridden_signs), table.ridden_signs.items, "ridden signs")
    leans = {
        f"{name}_mm": _leans(f"--{name.replace('_', '-')}", given, book.vocabulary.observations[f"{name}_mm"])
        for name, given in differences.items()
        if given
    }
    scales = grade_scales(book.vocabulary)
    graded = tuple((_graded(text, scales), None) for text in grades)
    legs = [Leg(name="Grade", grades=graded)] if graded else []
    told = gait_told(table, scales, leans=leans, legs=legs, face=total, ridden_signs=signs)
    write_picture(picture, told.picture, "a pair of sides, or a difference with its side")
    print_told([told], book, as_json)


def _leans(option: str, given: tuple[str, ...], entry: Observation) -> list[Lean]:
    from reasoner.cli.measure.reading_sides import lean_of, refused, within
    from reasoner.measures.given_numbers import Lean

    if len(given) > 2:
        raise refused(option, "MS49", f"it was given {len(given)} times; expected once, or the earlier and the later.")
    read = [(text, *lean_of(option, text)) for text in given]
    for text, _, mm in read:
        within(option, text, mm, entry)
    return [Lean(side=side, mm=mm) for _, side, mm in read]


def _graded(text: str, scales: Mapping[str, Any]) -> Graded:
    from reasoner.cli.measure.reading_sides import refused, words_of
    from reasoner.measures.given_numbers import Graded, place_on

    scale, colon, grade = words_of("--grade", text).rpartition(":")
    if not colon or not scale.strip():
        what = f'"{text[:40]}" lacks the scale; the same number means another thing on another scale.'
        raise refused("--grade", "MS48", what, 'Write the scale, a colon and the grade: "AAEP: 2".')
    given = Graded(scale=scale.strip(), grade=grade.strip())
    place_on(given, scales)
    return given
