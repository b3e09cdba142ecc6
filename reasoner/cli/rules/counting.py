"""A line of progress on standard error, where a person is watching.

In: how many are done, of how many. Out: one line that is written over, and gone at the end.
Not here: anything else that a command tells.
"""

from __future__ import annotations

import sys
from collections.abc import Callable


def counter(what: str) -> Callable[[int, int], None]:
    """A function that shows "12 of 140 pages"; silent where standard error is no terminal."""

    def show(done: int, of: int) -> None:
        if sys.stderr.isatty():
            text = f"{done} of {of} {what}" if done < of else ""
            print(f"\r{text:<40}", end="" if done < of else "\r", file=sys.stderr, flush=True)

    return show
