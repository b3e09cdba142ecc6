"""A measure's picture into a file of its own.

In: where to, and the picture. Out: a new SVG file.
Not here: drawing (rendering), any one command.
"""

from __future__ import annotations

from pathlib import Path

from reasoner.cli.common import may_be_written, write_whole
from reasoner.problems import BadInput, Problem


def write_picture(path: Path | None, picture: str, needs: str) -> None:
    """Write the picture if a file was asked for; what exists is never written over, an older picture no more than anything else.

    `needs` says what a picture needs. Raises BadInput: CL03, CL04, and MS40 where there is nothing to draw.
    """
    if path is None:
        return
    may_be_written(path, over=None)
    if not picture:
        raise BadInput([Problem("--picture", 0, "MS40", "There is nothing to draw.", f"A picture needs {needs}.")])
    write_whole(path, picture, over=None)
