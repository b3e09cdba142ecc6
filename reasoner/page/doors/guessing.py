"""Whoever guesses waits: longer with every wrong try, and at last for a quarter of an hour.

In: what a try is counted under (an address, a name), and how it went. Out: how long the next try has to wait.
Not here: codes, passwords.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

FREE = 3
"""So many wrong tries cost nothing: fingers slip; own setting."""
SHUT_AFTER, SHUT_FOR = 10, timedelta(minutes=15)
"""After so many, nothing is tried for so long; own settings."""
_FORGOTTEN = timedelta(hours=1)
_MOST = 4096  # whoever makes up names must not fill the memory


class Guesses:
    """How many wrong tries there were, and until when no other is looked at."""

    def __init__(self, now: Callable[[], datetime]) -> None:
        self._now = now
        self._turn = threading.Lock()
        self._wrong: dict[str, tuple[int, datetime, datetime]] = {}  # tries, the last, until when nothing is tried

    def wait(self, keys: Sequence[str]) -> int:
        """How many seconds a try under these keys has to wait; 0: it may be made, and is counted as wrong until `right` is said,
        so that many at once are no way round."""
        with self._turn:
            now = self._now()
            left = max((self._wrong[key][2] - now for key in keys if key in self._wrong), default=timedelta())
            if left > timedelta():
                return max(1, round(left.total_seconds()))
            for key in keys:
                tries, last, _ = self._wrong.pop(key, (0, now, now))
                tries = 1 if now - last > _FORGOTTEN else tries + 1
                self._wrong[key] = (tries, now, now + _pause(tries))
            while len(self._wrong) > _MOST:
                del self._wrong[next(iter(self._wrong))]
            return 0

    def right(self, keys: Sequence[str]) -> None:
        """The try under these keys was right."""
        with self._turn:
            for key in keys:
                self._wrong.pop(key, None)


def _pause(tries: int) -> timedelta:
    if tries < FREE:
        return timedelta()
    if tries >= SHUT_AFTER:
        return SHUT_FOR
    return timedelta(seconds=2 ** (tries - FREE + 1))
