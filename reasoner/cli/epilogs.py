"""The end of a help page, so that no line of it is wider than the screen.

In: the epilog of a command, and how wide the screen is. Out: the same with its examples broken as a shell reads them.
Not here: paragraphs, which click breaks itself.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from itertools import groupby
from textwrap import wrap

#: What click breaks its own paragraphs at, and by how much it sets an epilog in.
MOST, LEAST, EDGE, SET_IN = 80, 50, 2, 2
_AS_IS = "\b\n"
_BESIDE = re.compile(r"(?P<command>\s*\S.*?)\s{3,}(?P<says>\S.*)")
_PART = re.compile(r'(?:"[^"]*"|\S)+')
_FURTHER = "      "


def folded(epilog: str, columns: int | None = None) -> str:
    """The epilog for a screen of so many columns (left out: of this one). What it breaks already stays as it is.

    >>> print(folded('\\b\\nExample:\\n  reasoner why a.yaml "behind the shoulder blade" --side left --full', 60))
    \b
    Example:
      reasoner why a.yaml "behind the shoulder blade" \\
          --side left --full
    """
    columns = shutil.get_terminal_size().columns if columns is None else columns
    wide = max(min(columns, MOST) - EDGE, LEAST) - SET_IN
    blocks = epilog.split("\n\n")
    return "\n\n".join("\n".join(_block(block, wide)) if block.startswith(_AS_IS) else block for block in blocks)


def _block(block: str, wide: int) -> Iterator[str]:
    """Lines of a block: neighbours that are set in stand for themselves, the others are sentences."""
    for set_in, some in groupby(block.split("\n"), lambda line: line.startswith("  ")):
        lines = list(some)
        if set_in:
            for line in lines:
                yield from [line] if len(line) <= wide else _example(line, wide)
        elif max(map(len, lines)) <= wide:
            yield from lines
        else:
            yield from [lines.pop(0)] if lines[0] == _AS_IS.strip("\n") else []
            yield from wrap(" ".join(lines), wide)


def _example(line: str, wide: int) -> Iterator[str]:
    beside = _BESIDE.fullmatch(line)
    if line.strip().startswith("("):
        yield from wrap(line.strip(), wide, initial_indent="  ", subsequent_indent="  ")
    else:
        yield from _command(beside["command"] if beside else line, wide)
    if beside:
        yield from wrap(beside["says"], wide, initial_indent=_FURTHER, subsequent_indent=_FURTHER)


def _command(line: str, wide: int) -> Iterator[str]:
    """A command over several lines, broken between its words and never inside what stands in quotes; an option keeps its word."""
    shown = line[: len(line) - len(line.lstrip())]
    empty = True
    parts = _PART.findall(line)
    for at, part in enumerate(parts):
        follows = parts[at + 1] if at + 1 < len(parts) else ""
        needs = f"{part} {follows}" if part.startswith("-") and follows and not follows.startswith("-") else part
        if not empty and len(shown) + 1 + len(needs) > wide - 2:
            yield f"{shown} \\"
            shown, empty = _FURTHER, True
        shown = f"{shown}{'' if empty else ' '}{part}"
        empty = False
    yield shown
