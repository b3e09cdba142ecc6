"""Printing a page: plain text into a file or pipe, colours on a terminal.

In: the lines of a page and where to print them. Out: printed text.
Not here: what is said; a colour only repeats what the words already say. rich is imported late, for terminals only.
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterable
from typing import TextIO

from reasoner.rendering.text_page import USUAL, Line, Role, laid_out, plain_text

STYLES: dict[Role, str] = {
    "title": "bold",
    "heading": "bold underline",
    "alarm": "bold red",
    "strong": "bold",
    "body": "",
    "for": "",
    "against": "italic",
    "open": "",
    "faint": "dim",
}


def print_page(lines: Iterable[Line], file: TextIO | None = None, width: int | None = None) -> None:
    """Print the page to `file` (default: standard output), coloured if that is a terminal that wants colours."""
    out = file or sys.stdout
    if width is None:
        width = shutil.get_terminal_size((USUAL, 24)).columns
    if not out.isatty() or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        out.write(plain_text(lines, width))
        return
    from rich.console import Console
    from rich.text import Text

    console = Console(file=out, width=max(width, USUAL), highlight=False, markup=False, emoji=False)
    for text, role, ends in laid_out(lines, width):
        shown = Text.assemble((text[:ends], STYLES[role]), (text[ends:], "dim"))
        console.print(shown, soft_wrap=True)
