"""Sessions: for how long a telephone that came in once stays in.

In: a person, or none for the practitioner's own telephone. Out: a word for its cookie, and from such a word who it is.
Not here: cookies, codes, passwords. Only the checksum of the word is kept: whoever reads the file cannot come in with it.
"""

from __future__ import annotations

import hashlib
import secrets
import sqlite3
import uuid
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from reasoner.frozen import frozen
from reasoner.page.doors.kept import Kept
from reasoner.page.doors.people import Person
from reasoner.page.who import Who

#: How long a session lasts unused, and in all; own settings. A paired telephone goes out to horses for days; a name and password
#: are quickly typed again.
PAIRED = (timedelta(days=7), timedelta(days=60))
SIGNED_IN = (timedelta(hours=12), timedelta(days=7))
#: The name of whoever holds a telephone that was paired by the practitioner's own code.
PRACTITIONER = "the practitioner"
_SEEN_EVERY = timedelta(minutes=1)  # a touch need not write to the disk each time


@frozen(kw_only=True)
class Session:
    """A telephone that is in. `uid` is no secret: it names the session in lists. Moments are ISO, in UTC."""

    uid: str
    name: str
    role: str
    label: str
    since: str
    last: str
    ends: str


class Sessions:
    """Which telephones are in."""

    def __init__(self, kept: Kept, now: Callable[[], datetime]) -> None:
        self._kept, self._clock = kept, now

    def begin(self, person: Person | None, label: str, *, signed_in: bool = False) -> tuple[str, timedelta]:
        """Let a telephone in: the word for its cookie, and for how long at most."""
        idle, whole = SIGNED_IN if signed_in else PAIRED
        word, now = secrets.token_urlsafe(32), self._now()
        self._kept.do("DELETE FROM session WHERE ends < ? OR ended <> ''", (now - whole).isoformat())
        self._kept.do(
            "INSERT INTO session (sha, uid, person, label, since, last, idle, ends) VALUES (?,?,?,?,?,?,?,?)", _sha(word),
            uuid.uuid4().hex, person.uid if person is not None else None, _line(label), now.isoformat(), now.isoformat(),
            int(idle.total_seconds()), (now + whole).isoformat(),
        )  # fmt: skip
        return word, whole

    def who(self, word: str) -> Who | None:
        """Whose session this is, as long as it lasts; it then lasts on from now."""
        rows = self._kept.rows(f"{_EVERY} WHERE session.sha = ? AND session.ended = ''", _sha(word))
        if not rows or not self._lasts(rows[0]):
            return None
        row = rows[0]
        now = self._now()
        if now - datetime.fromisoformat(row["last"]) >= _SEEN_EVERY:
            self._kept.do("UPDATE session SET last = ? WHERE sha = ?", now.isoformat(), _sha(word))
        return Who(name=row["name"], role=row["role"], horse=row["horse"], uid=row["person"] or "")

    def every(self) -> tuple[Session, ...]:
        """Those that last, the newest first."""
        rows = self._kept.rows(f"{_EVERY} WHERE session.ended = '' ORDER BY session.since DESC")
        names = ("uid", "name", "role", "label", "since", "last", "ends")
        return tuple(Session(**{name: row[name] for name in names}) for row in rows if self._lasts(row))

    def end(self, uid: str) -> bool:
        """End a session from the list; whether there was one."""
        return (
            self._kept.do("UPDATE session SET ended = ? WHERE uid = ? AND ended = ''", self._now().isoformat(), uid) > 0
        )

    def end_of(self, word: str) -> None:
        """End one's own."""
        self._kept.do("UPDATE session SET ended = ? WHERE sha = ? AND ended = ''", self._now().isoformat(), _sha(word))

    def _now(self) -> datetime:
        return self._clock().astimezone(UTC)

    def _lasts(self, row: sqlite3.Row) -> bool:
        now = self._now()
        unused = now - datetime.fromisoformat(row["last"])
        return (
            now < datetime.fromisoformat(row["ends"])
            and unused <= timedelta(seconds=row["idle"])
            and (row["person"] is None or row["closed"] == "")
        )


_EVERY = f"""SELECT session.*, COALESCE(person.name, '{PRACTITIONER}') AS name, COALESCE(person.role, 'practitioner') AS role,
    person.horse AS horse, COALESCE(person.closed, '') AS closed
    FROM session LEFT JOIN person ON session.person = person.uid"""


def _sha(word: str) -> str:
    return hashlib.sha256(word.encode("utf-8", "replace")).hexdigest()


def _line(label: str) -> str:
    return " ".join("".join(sign if sign.isprintable() else " " for sign in label).split())[:60] or "a telephone"
