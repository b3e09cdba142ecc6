"""Records that may only be read: a file, a folder or a disk that is write-protected.

In: the file of the records. Out: why nothing may be written there, and how SQLite is to be asked then.
Not here: reading. SQLite writes beside a file even to read it (its log), unless it is told that nobody writes there.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path
from urllib.parse import quote

from reasoner.problems import BadInput, Problem, register

register(
    {
        "RE70": "changes to the records that cannot be read where nothing may be written",
        "RE71": "records that somebody else changed while they were read",
    }
)

#: What SQLite keeps beside a file: its log, the index of that log, and the journal of another way of writing.
LOG, INDEX, JOURNAL = "-wal", "-shm", "-journal"
Mark = tuple[int, int, int]


def stands(file: Path) -> bool:
    """Whether there is a file of that name. Raises BadInput (ST05) where one may not look."""
    try:
        return file.exists()
    except OSError as fault:
        why = (fault.strerror or "it cannot be reached").lower()
        raise BadInput(
            [Problem(str(file), 0, "ST05", f"this cannot be looked into: {why}.", "Nothing was changed.")]
        ) from None


def why_protected(file: Path) -> str:
    """Why nothing may be written to a file of records that exists, in a few words; "" where it may.

    Raises BadInput (ST05) where it may not even be read.
    """
    if not os.access(file, os.R_OK):
        raise BadInput([Problem(str(file), 0, "ST05", "you may not read this file.", "Nothing was changed. Whoever owns it "
                                "can allow it.")])  # fmt: skip
    if not os.access(file, os.W_OK):
        return "the file is write-protected"
    beside = [file.with_name(file.name + end) for end in (LOG, INDEX)]
    if os.access(file.parent, os.W_OK) or all(os.access(one, os.W_OK) for one in beside):
        return ""
    return "its folder is write-protected"


def read_only_address(file: Path) -> str:
    """How SQLite is asked to read it without writing anything. Raises BadInput (RE70)."""
    address = f"file:{quote(str(file.absolute()))}?mode=ro"
    if not any(_holds_something(file.with_name(file.name + end)) for end in (LOG, JOURNAL)):
        return f"{address}&immutable=1"
    if file.with_name(file.name + INDEX).exists():
        return address  # somebody who may write is at work, and their log reads with its index
    raise BadInput([Problem(str(file), 0, "RE70", f"changes to these records lie in {file.name}{LOG} beside the file, and they "
                            "cannot be read where nothing may be written.", "Copy both files, under the same names, to a "
                            "folder where you may write, and open that.")])  # fmt: skip


def mark_of(file: Path) -> Mark:
    """What tells whether somebody wrote into a file: which file it is, its size (bytes), when it was changed (ns)."""
    found = file.stat()
    return found[stat.ST_INO], found.st_size, found.st_mtime_ns


def still(file: Path, before: Mark) -> None:
    """Raises BadInput (RE71) where somebody wrote into a file since: what was read of it need not belong together."""
    try:
        if mark_of(file) == before:
            return
    except OSError:
        pass
    raise BadInput([Problem(str(file), 0, "RE71", "somebody else wrote into these records while they were read.",
                            "Ask again.")])  # fmt: skip


def _holds_something(path: Path) -> bool:
    try:
        return path.stat().st_size > 0
    except OSError:
        return False
