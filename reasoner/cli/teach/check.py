"""`reasoner teach check FILE`: a teacher's own answer beside what the rules say.

In: a teacher's file. Out: both answers and where they differ, as words or JSON; exit code 0 also where they differ.
Not here: handing it out.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, ready, shared
from reasoner.cli.teach.common import read_case

EPILOG = """\b
Example:
  reasoner teach check case-3.yaml
"""


@click.command("check", epilog=EPILOG)
@click.argument("place", type=click.Path(path_type=Path), metavar="FILE.yaml")
@shared
@answering
def command(place: Path, folders: Sequence[Path], as_json: bool) -> None:
    """Your own answer beside the rules'. A difference is told and changes nothing: both answers go with the case, and both are
    shown at the end."""
    from reasoner.rendering.class_json import checked_json
    from reasoner.rendering.teachers_answer_text import both_lines, differences_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.rendering.text_page import Line
    from reasoner.teaching.beside_the_rules import differences, rules_say

    rules = ready(folders)
    answer, _, whole = read_case(place, rules)
    says, some = rules_say(whole), list(differences(answer, whole))
    if as_json:
        print_json(checked_json(answer, says, some))
        return
    print_page([Line(f"{answer.title}: for your eyes", "title"), *both_lines(answer, says, rules.book, "you say"),
                *differences_lines(some, answer, says)])  # fmt: skip
