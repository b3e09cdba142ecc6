"""What no two rows share: a fresh name, and the moment it was made.

In: nothing. Out: text. Not here: anything that must come out the same twice.
"""

from __future__ import annotations

import uuid
from datetime import UTC, datetime


def new_uid() -> str:
    """A fresh name for a row: 32 hexadecimal digits."""
    return uuid.uuid4().hex


def now_utc() -> str:
    """This moment, in UTC, to the microsecond."""
    return datetime.now(UTC).isoformat()
