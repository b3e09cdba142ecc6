"""What the commands of `reasoner teach` share: reading a teacher's file with its case.

In: a path, the rulebook. Out: the answer, its case, what the rules make of it.
Not here: any one command.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.problems import BadInput, Problem, register
from reasoner.rules_cache import Ready

if TYPE_CHECKING:
    from reasoner.consult import Answer
    from reasoner.teaching.class_figures import CaseFigures
    from reasoner.teaching.making import Case
    from reasoner.teaching.teachers_answer import TeachersAnswer

register({"TE91": "a case or an apprentice that a class does not have"})

class_argument = click.argument("folder", type=click.Path(path_type=Path), metavar="CLASS")
page_option = click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="FILE",
    help="Write the page here: .html for a screen, .pdf for paper.",
)  # fmt: skip
title_option = click.option("--case", "title", default="", metavar="TITLE", help="Only the case of this title.")


def read_case(place: Path, rules: Ready) -> tuple[TeachersAnswer, Case, Answer]:
    """A teacher's file, the case it is about, and the reasoner's answer to the whole of it. Raises BadInput."""
    from reasoner.consult import judge
    from reasoner.rulebook.strict_yaml import read_bytes
    from reasoner.teaching.handing_out import case_to_hand_out
    from reasoner.teaching.teachers_answer import answer_from

    answer = answer_from(read_bytes(place), str(place), rules.book)
    visit = place.parent / answer.visit
    case = case_to_hand_out(read_bytes(visit), str(visit), answer, rules.book)
    return answer, case, judge(case.visit, rules)


def cases_of(folder: Path, title: str, rules: Ready) -> list[CaseFigures]:
    """The figures of a class, of all its cases or of one. Raises BadInput (TE90, TE91)."""
    from reasoner.teaching.class_figures import figures
    from reasoner.teaching.class_folder import class_in
    from reasoner.teaching.collecting import without_case

    room = class_in(folder)
    found = figures(room, rules, title)
    if not found:
        raise no_such(title, [one.case.title for one in room.given()], "case", folder)
    for path in without_case(room):
        click.echo(
            f"note: {path} is an answer to a case that is no longer in {folder}; it is kept and not counted.", err=True
        )
    return found


def no_such(read: str, known: list[str], what: str, folder: Path) -> BadInput:
    """That nothing of this name is in the class, with what there is."""
    from reasoner.problems import near_hint

    there = ", ".join(f'"{one}"' for one in dict.fromkeys(known))
    hint = near_hint(read, known) or (f"There are: {there}." if there else "There is none yet.")
    return BadInput(
        [Problem(str(folder), 0, "TE91", f'"{read}" was read; no {what} of this class is called so.', hint)]
    )
