"""Codes that let a telephone in once: short enough to be typed, gone after minutes, and after a few wrong tries.

In: the moment. Out: codes, and whose a typed one is.
Not here: sessions, slowing whoever guesses (guessing.py), showing codes.
"""

from __future__ import annotations

import hmac
import secrets
import threading
from collections.abc import Callable
from datetime import datetime, timedelta

from reasoner.frozen import frozen

#: No sign that looks like another one, and none that makes words: 23 signs, so 8 of them are one of 78 thousand million.
SIGNS = "23456789CDFGHJKMNPQRTWX"
LENGTH = 8
LASTS = timedelta(minutes=10)
"""How long a code is good for; own setting."""
MOST_WRONG = 5
"""After how many wrong tries, whoever makes them, every code is replaced; own setting."""


@frozen(kw_only=True)
class Code:
    """A code, until when it is good, and the uid of the person it lets in (None: the practitioner's own telephone)."""

    text: str
    until: datetime
    person: str | None

    @property
    def shown(self) -> str:
        """The code as people read it: two groups of four."""
        return f"{self.text[:4]}-{self.text[4:]}"


class Codes:
    """The codes that are good at this moment: the practitioner's own, and those made for somebody."""

    def __init__(self, now: Callable[[], datetime]) -> None:
        self._now = now
        self._turn = threading.Lock()
        self._good: dict[str | None, Code] = {}
        self._wrong = 0

    def current(self) -> Code:
        """The practitioner's own; a new one where the last was used or has run out."""
        with self._turn:
            held = self._good.get(None)
            return held if held is not None and self._now() < held.until else self._new(None)

    def made_for(self, person: str) -> Code:
        """A code for somebody on the list; an earlier one for them is good no more."""
        with self._turn:
            return self._new(person)

    def taken(self, typed: str) -> Code | None:
        """The code that was typed, used up by that; None for a wrong one."""
        text = "".join(sign for sign in typed.upper()[:40] if sign.isalnum())
        with self._turn:
            found = None
            for code in list(self._good.values()):  # every one is compared, whichever it is
                if hmac.compare_digest(code.text.encode(), text.encode()) and self._now() < code.until:
                    found = code
            if found is not None:
                del self._good[found.person]
                self._wrong = 0
                return found
            self._wrong += 1
            if self._wrong >= MOST_WRONG:
                self._good.clear()
                self._wrong = 0
            return None

    def _new(self, person: str | None) -> Code:
        text = "".join(secrets.choice(SIGNS) for _ in range(LENGTH))
        code = Code(text=text, until=self._now() + LASTS, person=person)
        self._good[person] = code
        if person is None:
            self._wrong = 0
        return code
