"""The parent of children that come to grief, beside the tests.

In: a deed, and what befalls the child. Out: what the child had said.
Not here: the deeds (dying.py), what must then be true.
"""

from __future__ import annotations

import json
import random
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

#: What a child that reads and somebody who writes meanwhile tell each other by, as files; and how long each waits for the other.
READ, WRITTEN, PATIENCE_S = "read", "written", 60


class Nursery:
    """The children's parent, beside the tests."""

    def __init__(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.store.dying"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
            cwd=Path(__file__).resolve().parents[2],
        )  # fmt: skip
        assert self.process.stdout is not None
        assert self.process.stdout.readline() == "ready\n"

    def one(
        self, deed: str, after: float | None, *, limit: int | None = None, nobody: bool = False, **words: Any
    ) -> dict[str, Any]:
        """A child, killed after so many seconds; what it said. `limit`: no file of its may be larger (bytes); `nobody`: it has
        no more rights than anybody."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(
            json.dumps({"deed": deed, "after": after, "words": words, "limit": limit, "nobody": nobody}) + "\n"
        )
        self.process.stdin.flush()
        answer = self.process.stdout.readline()
        assert answer, "the nursery itself has ended: a child did what it must not"
        found: dict[str, Any] = json.loads(answer)
        return found

    def close(self) -> None:
        """No more children."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.close()
        self.process.wait(30)
        self.process.stdout.close()


#: A moment is a part of the time that the deed takes when nothing disturbs it.
LATEST = 0.95


def moments(seed: int, count: int, whole: float) -> Iterator[float]:
    """Seconds after which to kill: one in each equal part of the deed, so that none is left out, in a random order."""
    chance = random.Random(seed)
    parts = list(range(count))
    chance.shuffle(parts)
    return (whole * LATEST * (part + chance.random()) / count for part in parts)
