"""`reasoner explain VISIT`: a case told as a teacher would.

In: a visit file, which words. Out: the lesson as words or JSON, a page or a sheet on paper.
Not here: what the lesson is (teaching.lesson), wording (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from reasoner.cli.common import (
    answering,
    consulted,
    print_json,
    shared,
    visit_argument,
    with_records,
    write_all_whole,
)
from reasoner.cli.paper import as_asked, is_pdf, with_paper
from reasoner.cli.signing import answer_that_may_leave, signing_above

if TYPE_CHECKING:
    from reasoner.rendering.lesson_shapes import Words

EPILOG = """\b
Example:
  reasoner explain examples/bramble.yaml
  reasoner explain examples/rook.yaml --words technical --full
  reasoner explain examples/bramble.yaml -o lesson.html
  reasoner explain examples/bramble.yaml -o lesson.pdf --paper Letter
"""


@click.command("explain", epilog=EPILOG)
@visit_argument
@click.option(
    "--words", type=click.Choice(("plain", "technical"), case_sensitive=False), default="plain", show_default=True,
    help="plain: as to somebody in the first month; technical: with Latin names, how loud each rule speaks, and certainties.",
)  # fmt: skip
@click.option(
    "--full", is_flag=True, help="Open every step to its rule, what that rests on, and the anatomy; fold nothing."
)
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="FILE",
    help="Write it as a sheet: a page where the name ends in .html, a PDF where it ends in .pdf.",
)  # fmt: skip
@with_paper
@with_records
@shared
@answering
def command(
    visit: Path, words: str, full: bool, output: Path | None, paper: str | None, store_at: str | None, part: int | None,
    folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """A case told as a teacher would: the veterinarian first; what was found and what each finding makes one think of; where it
    begins, what rules that in and out, and what else would look like it; what would make you doubt it; what to look at next.

    A sheet of an apprentice's visit is written once the visit is countersigned; on the screen it is shown before.
    """
    if output is not None:
        is_pdf(output, paper)
        answer, _ = answer_that_may_leave(visit, folders, as_json, store_at, part)
    else:
        answer = consulted(visit, folders, as_json, store_at, part)
    from reasoner.rendering.lesson_told import told
    from reasoner.teaching.lesson import lesson_of

    lesson = lesson_of(answer)
    said = told(lesson, answer, cast("Words", words.lower()))
    if output is not None:
        from reasoner.rendering.lesson_page import lesson_html

        write_all_whole([as_asked(lesson_html(said, full=full), output, paper)])
    if as_json:
        from reasoner.rendering.lesson_json import lesson_json

        print_json(lesson_json(said, answer, [output] if output is not None else []))
        return
    if output is not None:
        click.echo(f"written: {output}")
        return
    from reasoner.rendering.lesson_text import lesson_lines
    from reasoner.rendering.terminal import print_page

    print_page([*signing_above(answer), *lesson_lines(said, full=full)])
