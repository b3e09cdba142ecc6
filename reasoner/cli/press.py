"""`reasoner press --aim 20kg`: a hand on a floor scale: how steady, how near, does it drift, left and right.

In: pushes typed or from a table. Out: the figures as words, JSON, a page or a picture; a log to go on with.
Not here: working them out (teaching.press), reading them (teaching.press_log), wording (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import Over, answering, print_json, shared, write_all_whole

EPILOG = """\b
Example:
  reasoner press --aim 20kg --left "19 20.5 21 19.5 20" --right "22 21 23 22.5 21"
  reasoner press --aim 20kg --log pushes.csv --picture pushes.svg
  reasoner press --aim 20kg --log pushes.csv --both "38 41 40 39 40" --day 2026-05-08 --into pushes-may.csv

A table has a row a push and the columns kg, hand (left, right, both) and day.
It is practice for the hand on a scale, and never a weight to press a horse with.
"""


@click.command("press", epilog=EPILOG)
@click.option(
    "--aim",
    required=True,
    metavar="WEIGHT",
    help='What the push aimed at, such as "20 kg"; readings without a unit are in the same.',
)
@click.option(
    "--left", default="", metavar="READINGS", help='What the scale read under the left hand, in order: "19 20.5 21".'
)
@click.option("--right", default="", metavar="READINGS", help="The same under the right hand.")
@click.option("--both", default="", metavar="READINGS", help="The same under both hands together.")
@click.option(
    "--log",
    type=click.Path(path_type=Path),
    metavar="FILE.csv",
    help="Pushes from a table; typed ones come after them.",
)
@click.option("--day", default="", metavar="DAY", help="The day, or a name, of the pushes typed now.")
@click.option(
    "--into", type=click.Path(path_type=Path), metavar="FILE.csv", help="Write all of them as a new table here."
)
@click.option("--picture", type=click.Path(path_type=Path), metavar="FILE.svg", help="Write the picture here.")
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE.html",
    help="Write the page here, with the picture.",
)
@shared
@answering
def command(
    aim: str,
    left: str,
    right: str,
    both: str,
    log: Path | None,
    day: str,
    into: Path | None,
    picture: Path | None,
    output: Path | None,
    folders: Sequence[Path],
    as_json: bool,
) -> None:
    """Practise pressing on a floor scale: steadiness, nearness to an aim, drift, left hand and right hand. A measure of the hand
    on a scale: never a target on a horse, and never on the spine or the edge of the loin."""
    from reasoner.cli.measure.printing import table_of
    from reasoner.rendering.press_picture import press_picture
    from reasoner.rendering.press_text import meta, press_lines
    from reasoner.rulebook import strict_yaml
    from reasoner.rulebook.measures.press import PressTable
    from reasoner.teaching.press import HANDS, practice_of
    from reasoner.teaching.press_log import aim_of, as_csv, from_csv, some, typed, unit_of

    book, table = table_of("press", PressTable, folders)
    aim_kg = aim_of(aim)
    pushes = [] if log is None else from_csv(strict_yaml.read_bytes(log), str(log))
    for hand, words in zip(HANDS, (left, right, both), strict=True):
        pushes += typed(hand, words, f"--{hand}", day, unit_of(aim))
    practice = practice_of(some(pushes, "reasoner press" if log is None else str(log)), aim_kg, table)
    lines = list(press_lines(practice, book, table))
    drawn = press_picture(practice, " ".join(table.cautions.lines[:2]))
    files: list[tuple[Path, str | bytes, Over]] = []
    if into is not None:
        files.append((into, as_csv(pushes), None))
    if picture is not None:
        files.append((picture, drawn, None))
    if output is not None:
        from reasoner.rendering.report import MARK
        from reasoner.rendering.taught_page import taught_html

        files.append((output, taught_html(lines, [drawn], meta()), MARK))
    write_all_whole(files)
    if as_json:
        from reasoner.rendering.press_json import press_json

        print_json(press_json(practice, book, table))
        return
    from reasoner.rendering.terminal import print_page

    print_page(lines)
    for path, _, _ in files:
        click.echo(f"written: {path}")
