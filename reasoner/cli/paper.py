"""A page as the file that was asked for: HTML for a screen, PDF for paper; the ending of its name decides.

In: a page of ours, the name of a file, the paper. Out: what is written there, and what it may replace.
Not here: laying out (rendering.pdf), writing (common).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from reasoner.problems import BadInput, Problem, register

if TYPE_CHECKING:
    from reasoner.cli.common import Over

register({"RE41": "the ending of a page's name", "RE42": "paper for a page that is not a PDF"})

Command = TypeVar("Command", bound=Callable[..., Any])


def with_paper(function: Command) -> Command:
    """The option --paper of the commands that can write a PDF."""
    option = click.option(
        "--paper", type=click.Choice(("A4", "Letter"), case_sensitive=False),
        help="The paper of a PDF.  [default: A4]",
    )  # fmt: skip
    return option(function)


def is_pdf(path: Path, paper: str | None) -> bool:
    """Whether a PDF is asked for. Raises BadInput (RE41 for another ending, RE42 for paper without a PDF)."""
    ending = path.suffix.lower()
    if ending not in (".pdf", ".html", ".htm"):
        read = f'"{path.suffix}"' if ending else "no ending"
        raise BadInput([Problem(str(path), 0, "RE41", f"{read} was read; the ending .html or .pdf was expected.",
                                "A name ending in .html becomes a page for a screen, one in .pdf a PDF."), ])  # fmt: skip
    if paper and ending != ".pdf":
        raise BadInput([Problem(str(path), 0, "RE42", "a paper was chosen, and only a PDF has one.",
                                "Let the name end in .pdf; an HTML page takes the paper it is printed on."), ])  # fmt: skip
    return ending == ".pdf"


def as_asked(page: str, path: Path, paper: str | None) -> tuple[Path, str | bytes, Over]:
    """The page as it is written at `path`, ready for `write_all_whole`. Raises BadInput (RE40, RE41, RE42)."""
    if is_pdf(path, paper):
        from reasoner.rendering.pdf import is_ours, pdf_of

        return path, pdf_of(page, "Letter" if paper == "Letter" else "A4"), is_ours
    from reasoner.rendering.report import MARK

    return path, page, MARK
