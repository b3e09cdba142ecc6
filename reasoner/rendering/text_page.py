"""Lines of a page for the terminal, and their wrapping to a width.

In: `Line`s, each with a role, an indent, a mark in front and a reference behind. Out: plain text, or (line, role) pairs
for somebody who colours them. Not here: what is said, and colours; this must stay quick to import.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap
from typing import Literal

from reasoner.frozen import frozen

Role = Literal["title", "heading", "alarm", "strong", "body", "for", "against", "open", "faint"]
NARROWEST, WIDEST, USUAL = 36, 100, 80


@frozen
class Line:
    """One paragraph. `mark` stands in front and the text hangs beside it; `tail` (a reference) stands at the right. `links`:
    words, and the entry of the handbook they lead to, for pages that can; the terminal shows none."""

    text: str
    role: Role = "body"
    indent: int = 0
    mark: str = ""
    tail: str = ""
    hang: int = 0
    links: tuple[tuple[str, str], ...] = ()


GAP = Line("")


def heading(text: str) -> tuple[Line, Line]:
    """A heading with the blank line above it."""
    return GAP, Line(text.upper(), "heading")


def plain_text(lines: Iterable[Line], width: int = USUAL) -> str:
    """The page as plain text, wrapped, no line longer than `width` unless one word is."""
    return "\n".join(text for text, _, _ in laid_out(lines, width)) + "\n"


def laid_out(lines: Iterable[Line], width: int = USUAL) -> Iterator[tuple[str, Role, int]]:
    """(text, role, where the reference begins) of each row; without a reference that is the length of the text."""
    width = min(max(width, NARROWEST), WIDEST)
    for line in lines:
        if not line.text and not line.mark:
            yield "", "body", 0
            continue
        before = " " * line.indent
        mark = f"{line.mark:<{max(line.hang - 1, 0)}} " if line.mark else " " * line.hang
        rows = wrap(
            line.text, width, initial_indent=before + mark, subsequent_indent=" " * (line.indent + len(mark)),
            break_on_hyphens=False,
        ) or [(before + mark).rstrip()]  # fmt: skip
        for row in rows[:-1]:
            yield row, line.role, len(row)
        yield from _with_tail(rows[-1], line, width, line.indent + len(mark))


def _with_tail(row: str, line: Line, width: int, indent: int) -> Iterator[tuple[str, Role, int]]:
    """The last row with its reference at the right edge, or the reference on rows of its own."""
    if not line.tail:
        yield row, line.role, len(row)
    elif len(row) + 2 + len(line.tail) <= width:
        yield row + line.tail.rjust(width - len(row)), line.role, len(row)
    else:
        yield row, line.role, len(row)
        for more in wrap(line.tail, width, initial_indent=" " * indent, subsequent_indent=" " * indent,
                         break_on_hyphens=False):  # fmt: skip
            yield more, line.role, 0
