"""The people who come in from nearby: practitioners, apprentices, owners; each with a password, or with a code given by hand.

In: names, roles, passwords. Out: a `Person`, or a refusal in words.
Not here: sessions, wrong tries (guessing.py), where passwords are typed. Passwords are kept by argon2 alone.
"""

from __future__ import annotations

import sqlite3
import threading
import uuid
from collections.abc import Callable
from datetime import datetime
from functools import cached_property
from typing import Any, get_args

from reasoner.frozen import frozen
from reasoner.page.doors.kept import Kept
from reasoner.page.who import Role
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.store.names import folded, plain

register(
    {
        "PG07": "a person who is known already, or not known",
        "PG08": "a role that does not fit",
        "PG09": "a password that is too easy",
    }
)

SHORTEST, LONGEST = 10, 200
"""How long a password may be (signs); own setting. Nothing else is asked of it."""
_AT_ONCE = 2  # each check of a password takes 64 MB of memory


@frozen(kw_only=True)
class Person:
    """Somebody who may come in. `horse` is the uid of an owner's horse; `by_password` False: by a code alone."""

    uid: str
    name: str
    role: Role
    horse: str | None
    by_password: bool
    since: str


class People:
    """Who is known."""

    def __init__(self, kept: Kept, now: Callable[[], datetime]) -> None:
        self._kept, self._now = kept, now
        self._few = threading.Semaphore(_AT_ONCE)

    @cached_property
    def _hasher(self) -> Any:
        from argon2 import PasswordHasher

        return PasswordHasher()

    @cached_property
    def _nobody(self) -> str:
        """A secret that no password opens, so that an unknown name takes as long as a known one."""
        return str(self._hasher.hash(uuid.uuid4().hex))

    def every(self) -> tuple[Person, ...]:
        """Those who may come in, by name."""
        rows = self._kept.rows("SELECT * FROM person WHERE closed = '' ORDER BY folded")
        return tuple(_person(row) for row in rows)

    def called(self, name: str) -> Person:
        """The person of this name, whatever its capitals. Raises BadInput (PG07)."""
        rows = self._kept.rows("SELECT * FROM person WHERE closed = '' AND folded = ?", folded(name))
        if not rows:
            hint = near_hint(name, [one.name for one in self.every()]) or "`reasoner people list` names everybody."
            raise BadInput([Problem("people", 0, "PG07", f'nobody called "{name[:80]}" may come in.', hint)])
        return _person(rows[0])

    def of_uid(self, uid: str) -> Person | None:
        """The person with this uid, while they may come in."""
        rows = self._kept.rows("SELECT * FROM person WHERE closed = '' AND uid = ?", uid)
        return _person(rows[0]) if rows else None

    def add(self, name: str, role: str, *, horse: str | None, password: str) -> Person:
        """Let somebody in from now on; an empty password means by a code alone. Raises BadInput (PG07 to PG09)."""
        may_be_added(name, role, horse)
        if password:
            good_enough(password, name)
        secret = self._hasher.hash(password) if password else ""
        row = (uuid.uuid4().hex, plain(name), folded(name), role, horse, secret, self._now().isoformat())
        try:
            self._kept.do(
                "INSERT INTO person (uid, name, folded, role, horse, secret, since) VALUES (?,?,?,?,?,?,?)", *row
            )
        except sqlite3.IntegrityError:
            raise BadInput([Problem("people", 0, "PG07", f'"{plain(name)}" is on the list already.',
                                    "Close that entry first, or write the name in another way.")]) from None  # fmt: skip
        return self.called(name)

    def set_password(self, name: str, password: str) -> Person:
        """Another password; every session of that person ends. Raises BadInput (PG07, PG09)."""
        found = self.called(name)
        good_enough(password, name)
        self._kept.do("UPDATE person SET secret = ? WHERE uid = ?", self._hasher.hash(password), found.uid)
        self._end_sessions(found)
        return self.called(name)

    def close(self, name: str) -> Person:
        """Let somebody in no more; every session of that person ends. Raises BadInput (PG07)."""
        found = self.called(name)
        self._kept.do("UPDATE person SET closed = ?, secret = '' WHERE uid = ?", self._now().isoformat(), found.uid)
        self._end_sessions(found)
        return found

    def by_password(self, name: str, password: str) -> Person | None:
        """The person whose name and password these are; anybody else is None, and takes as long."""
        rows = self._kept.rows("SELECT * FROM person WHERE closed = '' AND folded = ?", folded(name))
        secret = rows[0]["secret"] if rows else ""
        if not self._opens(secret or self._nobody, password[: LONGEST + 1]) or not secret:
            return None
        if self._hasher.check_needs_rehash(secret):
            self._kept.do("UPDATE person SET secret = ? WHERE uid = ?", self._hasher.hash(password), rows[0]["uid"])
        return _person(rows[0])

    def _opens(self, secret: str, password: str) -> bool:
        from argon2.exceptions import InvalidHashError, VerificationError

        with self._few:
            try:
                return bool(self._hasher.verify(secret, password))
            except (VerificationError, InvalidHashError):
                return False

    def _end_sessions(self, person: Person) -> None:
        self._kept.do(
            "UPDATE session SET ended = ? WHERE person = ? AND ended = ''", self._now().isoformat(), person.uid
        )


def may_be_added(name: str, role: str, horse: str | None) -> None:
    """Whether such a person can be: a name, a known role, a horse where it is an owner's. Raises BadInput (PG07, PG08)."""
    if not plain(name) or len(name) > 80:
        raise BadInput([Problem("people", 0, "PG07", "a name of at most 80 signs was expected.")])
    if role not in get_args(Role):
        hint = near_hint(role, get_args(Role)) or f"Known: {', '.join(get_args(Role))}."
        raise BadInput([Problem("--role", 0, "PG08", f'"{role[:40]}" is no role here.', hint)])
    if role == "owner" and horse is None:
        raise BadInput([Problem("--horse", 0, "PG08", "an owner sees one horse.", "Name it: --horse NAME.")])
    if role != "owner" and horse is not None:
        raise BadInput([Problem("--horse", 0, "PG08", f"only an owner is given a horse; the {role} sees every one.")])


def good_enough(password: str, name: str) -> None:
    """Whether a password may be used. Raises BadInput (PG09)."""
    if not SHORTEST <= len(password) <= LONGEST:
        why = f"{len(password)} signs were read; between {SHORTEST} and {LONGEST} are expected"
    elif folded(password) in (folded(name), folded(name) * 2) or len(set(password)) < 4:
        why = "this one is guessed at the first try"
    else:
        return
    raise BadInput(
        [Problem("password", 0, "PG09", f"{why}.", "Three or four words that do not belong together are good.")]
    )


def _person(row: sqlite3.Row) -> Person:
    return Person(
        uid=row["uid"], name=row["name"], role=row["role"], horse=row["horse"], by_password=bool(row["secret"]),
        since=row["since"],
    )  # fmt: skip
