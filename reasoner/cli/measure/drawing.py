"""A measure's picture into a file of its own.

In: where to, and what is told. Out: a new SVG file.
Not here: drawing (rendering), any one command.
"""

from __future__ import annotations

from pathlib import Path

from reasoner.cli.common import write_whole
from reasoner.problems import BadInput, Problem
from reasoner.rendering.measured import Told


def write_picture(path: Path, told: Told, needs: str) -> None:
    """Write the picture; an existing file is never written over. Raises BadInput: CL03, CL04, MS05 where nothing can be drawn.

    `needs` says what a picture needs.
    """
    if not told.picture:
        raise BadInput([Problem("--picture", 0, "MS05", "There is nothing to draw.", f"A picture needs {needs}.")])
    write_whole(path, told.picture, over=None)
