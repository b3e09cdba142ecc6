"""The parent of children that come to grief, beside the tests.

In: a deed, and what befalls the child. Out: what the child had said.
Not here: the deeds (dying.py), what must then be true.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any


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
