"""`reasoner teach hand-out FILE --class CLASS -o FILE.json`: lock the answer and write the file for the apprentices.

In: a teacher's file, the folder of the class (begun where there is none). Out: the handed-out case, and a copy in the class.
Not here: seals and locks (teaching.handing_out).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

import click

from reasoner import __version__
from reasoner.cli.common import answering, may_be_written, print_json, ready, shared, write_whole
from reasoner.cli.teach.common import read_case
from reasoner.problems import BadInput, Problem

EPILOG = """\b
Example:
  reasoner teach hand-out case-3.yaml --class my-class -o case-3.json
"""


@click.command("hand-out", epilog=EPILOG)
@click.argument("place", type=click.Path(path_type=Path), metavar="FILE.yaml")
@click.option("--class", "folder", type=click.Path(path_type=Path), required=True, metavar="CLASS",
              help="The folder of the class, on your own machine; begun where there is none.")  # fmt: skip
@click.option("-o", "--output", type=click.Path(path_type=Path), required=True, metavar="FILE.json",
              help="The file to give to the apprentices.")  # fmt: skip
@shared
@answering
def command(place: Path, folder: Path, output: Path, folders: Sequence[Path], as_json: bool) -> None:
    """Lock your answer with the key of the class and write the file that apprentices are given. It holds the readings, to be
    uncovered look by look, and your answer, which nobody opens without the key."""
    from reasoner.rendering.class_json import handed_out_json
    from reasoner.rendering.collected_text import handed_out_lines
    from reasoner.rendering.teachers_answer_text import differences_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.teaching.beside_the_rules import differences, rules_say
    from reasoner.teaching.class_folder import class_in
    from reasoner.teaching.handing_out import file_text, handed_out
    from reasoner.teaching.teachers_answer import told_by_name

    rules = ready(folders)
    may_be_written(output, over=None)
    if folder.resolve() in output.resolve().parents:
        raise BadInput([Problem(str(output), 0, "CL04", "this lies in the folder of the class, which stays with you: its key "
                                "opens the answers.", "Write the file somewhere else, and give that away.")])  # fmt: skip
    answer, case, whole = read_case(place, rules)
    told = told_by_name(output.stem, rules.book)
    if told:
        raise BadInput([Problem(str(output), 0, "TE82", f'the name of this file names "{told}", and may tell the answer.',
                                "Give it a name that tells nothing, such as a number.")])  # fmt: skip
    says, some = rules_say(whole), list(differences(answer, whole))
    room = class_in(folder, make=True)
    room.must_be_new(answer.title)
    one = handed_out(
        case, answer, says, room.key, at=datetime.now(UTC).replace(microsecond=0).isoformat(), made_by=__version__
    )
    write_whole(output, file_text(one), over=None)
    room.hand_out(one)
    if as_json:
        print_json(handed_out_json(one, str(output), answer, says, some))
        return
    print_page([*handed_out_lines(one, str(output)), *differences_lines(some, answer, says)])
