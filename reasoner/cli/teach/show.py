"""`reasoner teach show CLASS`: the class.

In: the folder of a class. Out: the figures of each case and each apprentice as words, JSON, a page or a PDF.
Not here: counting (teaching.class_figures), wording (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, ready, shared, write_all_whole
from reasoner.cli.paper import as_asked, is_pdf, with_paper
from reasoner.cli.teach.common import cases_of, class_argument, page_option, title_option

EPILOG = """\b
Example:
  reasoner teach show my-class
  reasoner teach show my-class --case "Case 3" -o case-3.pdf
"""


@click.command("show", epilog=EPILOG)
@class_argument
@title_option
@page_option
@with_paper
@shared
@answering
def command(
    folder: Path, title: str, output: Path | None, paper: str | None, folders: Sequence[Path], as_json: bool
) -> None:
    """The class, case by case: how the calls fell, what was found and what it was taken for, which looks were left unmade; then
    each apprentice. Everything is a count with the names behind it; nobody is put in an order."""
    from reasoner.rendering.class_json import class_json
    from reasoner.rendering.class_page import class_html
    from reasoner.rendering.class_text import class_lines
    from reasoner.rendering.terminal import print_page

    if output is not None:
        is_pdf(output, paper)
    rules = ready(folders)
    cases = cases_of(folder, title, rules)
    if output is not None:
        write_all_whole([as_asked(class_html(cases, rules.book), output, paper)])
    if as_json:
        print_json(class_json(cases, rules.book))
        return
    print_page(class_lines(cases, rules.book))
    if output is not None:
        click.echo(f"written: {output}")
