"""`reasoner teach give-back CLASS --of NAME`: one apprentice's answer beside the teacher's and the rules'.

In: the folder of a class, a name, a case. Out: words, JSON, a page or a PDF to give back.
Not here: marking (teaching.marking), wording (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, ready, shared, write_all_whole
from reasoner.cli.paper import as_asked, is_pdf, with_paper
from reasoner.cli.teach.common import cases_of, class_argument, no_such, page_option, title_option

EPILOG = """\b
Example:
  reasoner teach give-back my-class --of "Tam Orrin"
  reasoner teach give-back my-class --of "Tam Orrin" --case "Case 3" -o tam.pdf
"""


@click.command("give-back", epilog=EPILOG)
@class_argument
@click.option("--of", "name", required=True, metavar="NAME", help="Whose answer.")
@title_option
@page_option
@with_paper
@shared
@answering
def command(
    folder: Path, name: str, title: str, output: Path | None, paper: str | None, folders: Sequence[Path], as_json: bool
) -> None:
    """One apprentice's answer: beside yours, beside the rules', and choice by choice. This page opens the answer: give it back
    once nobody works on the case any more."""
    from reasoner.rendering.class_json import given_back_json
    from reasoner.rendering.given_back_text import given_back_lines
    from reasoner.rendering.taught_page import taught_html
    from reasoner.rendering.terminal import print_page
    from reasoner.store.names import folded
    from reasoner.teaching.handed_in import session_of
    from reasoner.teaching.handing_out import case_of
    from reasoner.teaching.marking import marked

    if output is not None:
        is_pdf(output, paper)
    rules = ready(folders)
    cases = cases_of(folder, title, rules)
    theirs = [(case, one) for case in cases for one in case.answers if folded(one.work.by) == folded(name)]
    if not theirs:
        raise no_such(name, [one.work.by for case in cases for one in case.answers], "apprentice", folder)
    if len(theirs) > 1:
        raise click.UsageError(f"{theirs[0][1].work.by} has answered several cases; say which with --case: "
                               f"{', '.join(case.given.case.title for case, _ in theirs)}.")  # fmt: skip
    case, one = theirs[0]
    file = str(case.given.path)
    marks = marked(session_of(one.work, case_of(case.given.case, file, rules.book), rules, file), rules)
    lines = list(given_back_lines(one, case.given.locked, marks, rules.book))
    if output is not None:
        write_all_whole([as_asked(taught_html(lines, (), f"For {one.work.by}."), output, paper)])
    if as_json:
        print_json(given_back_json(one, case.given.locked, marks, rules.book))
        return
    print_page(lines)
    if output is not None:
        click.echo(f"written: {output}")
