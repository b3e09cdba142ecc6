"""What the commands of measures share: the table they need, and printing what is told.

In: the name of a table, `Told`. Out: the table of the rulebook in use; words or JSON.
Not here: what is told (rendering/), pictures (drawing.py), any one command.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TypeVar, cast

from reasoner.cli.common import print_json, ready
from reasoner.problems import BadInput, Problem, register
from reasoner.rendering.measured import Told, said_once
from reasoner.rulebook.rulebook import Rulebook

register({"MS40": "a measure lacks what it needs: the reading of a side, or its table"})

Table = TypeVar("Table")


def table_of(name: str, shape: type[Table], folders: Sequence[Path]) -> tuple[Rulebook, Table]:
    """The rulebook the options ask for, and its table of this name. Raises BadInput where it has none."""
    book = ready(folders).book
    if name not in book.measures:
        what = f"this rulebook has no measures/{name}.yaml, and without its figures nothing can be worked out."
        raise BadInput(
            [Problem("--rules", 0, "MS40", what, "Lay the folder over the shipped rules: --rules shipped --rules DIR.")]
        )
    return book, cast(Table, book.measures[name])


def print_told(every: Sequence[Told], book: Rulebook, as_json: bool, *, full: bool = True) -> None:
    """Measures on standard output, as JSON or as words; not `full` counts what it folds away, JSON holds everything."""
    if as_json:
        from reasoner.rendering.measured_json import alone_json

        print_json(alone_json(every, book))
        return
    from reasoner.rendering.measured_text import measured_lines
    from reasoner.rendering.terminal import print_page

    print_page(line for one in said_once(every) for line in measured_lines(one, book, full=full))
