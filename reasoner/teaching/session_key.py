"""The key that enciphers practice sessions on this machine until they end.

In: a folder of this machine that no session file is in. Out: a `SessionKey`, made there once.
Not here: session files (session_file).

The key lies in this account's own folder for a program's data (store.place), readable by that account alone, and in no session
file. It keeps a session that is sent, searched or opened elsewhere from telling anything; it keeps nothing from somebody who
takes the key as well, and that may be whoever works at this machine under the same account."""

from __future__ import annotations

import hashlib
import os
import time
from pathlib import Path

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register

register({
    "TE70": "a practice session whose key is not on this machine",
    "TE71": "a key of practice sessions that cannot be read or written",
})  # fmt: skip

NAME = "practice.key"
_LENGTH = 44  # 32 bytes as base64
_PATIENCE_S, _PAUSE_S = 2.0, 0.02  # while another process is just writing it


@frozen
class SessionKey:
    """A key, and where it lies. `mark` tells one key from another and nothing else about it."""

    secret: bytes
    place: Path

    @property
    def mark(self) -> str:
        """Sixteen hexadecimal signs by which a file says with which key it was enciphered."""
        return hashlib.sha256(b"reasoner practice session key\n" + self.secret).hexdigest()[:16]


def own_place() -> Path:
    """Where the key of this account lies."""
    from reasoner.store.place import own_folder

    return own_folder() / NAME


def key_at(place: Path) -> SessionKey | None:
    """The key that lies here; None where there is none. Raises BadInput (TE71) where it cannot be read."""
    until = time.monotonic() + _PATIENCE_S
    try:
        while True:
            secret = place.read_bytes().strip()
            if len(secret) == _LENGTH:
                return SessionKey(secret, place)
            if len(secret) > _LENGTH or time.monotonic() > until:
                raise _bad(place, f"{len(secret)} bytes were read; a key of {_LENGTH} was expected")
            time.sleep(_PAUSE_S)
    except FileNotFoundError:
        return None
    except OSError as fault:
        raise _bad(place, (fault.strerror or "it cannot be read").lower()) from None


def key_in(place: Path) -> SessionKey:
    """The key that lies here, made if there is none. Raises BadInput (TE71)."""
    found = key_at(place)
    if found is not None:
        return found
    from cryptography.fernet import Fernet

    try:
        place.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        held = os.open(place, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return key_in(place)  # another process was quicker
    except OSError as fault:
        raise _bad(place, (fault.strerror or "it cannot be written").lower()) from None
    with os.fdopen(held, "wb") as file:
        file.write(Fernet.generate_key())
        file.flush()
        os.fsync(file.fileno())
    return key_in(place)


def _bad(place: Path, why: str) -> BadInput:
    return BadInput([Problem(str(place), 0, "TE71", f"the key of practice sessions cannot be used: {why}.",
                             "Put back the file as it was; or move it away: new sessions then get a new one.")])  # fmt: skip
