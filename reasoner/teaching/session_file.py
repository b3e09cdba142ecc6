"""A practice session as a file, so that it can be stopped and taken up.

In: a `Session` and the key of this machine, or the bytes of such a file. Out: JSON text; the session again.
Not here: what a session does, where the key lies (session_key).

Until the session ends everything in it is enciphered: the case, its seed, and what was looked at and said. The recipe is Fernet
of the library `cryptography` (AES in CBC mode, sealed by an HMAC of SHA-256), the length filled up to whole steps, so that
neither an eye, nor a search, nor the size of the file tells anything, and nobody changes it unnoticed. Once it has ended the
file is plain.

What that keeps from: reading the case by opening, searching, sending or backing up the file. What it does not: somebody who works
on this machine under the same account can take the key beside the file; can end a copy and look; can ask the rules themselves, or
a running program's memory. It keeps honest people from seeing by chance, and others only as far as the key is out of their
reach."""

from __future__ import annotations

import base64
import binascii
import json
import zlib
from collections.abc import Mapping
from typing import Any

from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.making import FILE, SIDES, Case
from reasoner.teaching.session import NONE, Session, Thought
from reasoner.teaching.session_key import SessionKey, key_at, key_in, own_place
from reasoner.visit.reading import visit_from_bytes

register({"TE53": "a practice session that cannot be taken up"})

WHAT, VERSION, PACKED = "reasoner practice session", "2", "1"
MOST_BYTES = 2_000_000
_STEP = 16_384  # a whole examination with everything said about it stays within one or two
#: What a session that has not ended shows beside its cipher, in words for whoever opens the file.
NOTE = "Enciphered until it has ended: nothing of the case can be read here. `reasoner practise` with this file takes it up."


def session_text(session: Session, key: SessionKey | None = None) -> str:
    """The file; `key` is that of this account unless another is given. Raises BadInput (TE71) where the key cannot be had."""
    inside = _inside(session)
    if session.ended:
        return _text({"what": WHAT, "schema_version": VERSION, "ended": True, **inside})
    from cryptography.fernet import Fernet

    held = key or key_in(own_place())
    sealed = Fernet(held.secret).encrypt(filled(json.dumps(inside).encode())).decode()
    return _text(
        {"what": WHAT, "schema_version": VERSION, "ended": False, "note": NOTE, "key": held.mark, "sealed": sealed}
    )


def session_from(data: bytes, file: str, book: Rulebook, key: SessionKey | None = None) -> Session:
    """The session of a file, also of an older one that was packed and not enciphered. Raises BadInput: TE53 where it is none, is
    damaged, or is of another version; TE70 where its key is not here; TE71 where the key cannot be read."""
    try:
        said = json.loads(data.decode("utf-8"))
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError):
        raise _bad(file, "this is no JSON; a file written by `reasoner practise` was expected.") from None
    if not isinstance(said, dict) or said.get("what") != WHAT:
        raise _bad(file, f'"{WHAT}" was expected under "what"; this file is something else.')
    version = said.get("schema_version")
    if version == PACKED:
        return _session(
            said, _case(_unpacked_case(said.get("case"), file), file, book), bool(said.get("ended")), file, book
        )
    if version != VERSION:
        raise _bad(file, f"version {version} was read; version {VERSION} was expected.")
    if said.get("ended") is True:
        return _session(said, _case(said.get("case"), file, book), True, file, book)
    inside = _opened(said, file, key)
    return _session(inside, _case(inside.get("case"), file, book), False, file, book)


def _inside(session: Session) -> dict[str, Any]:
    case = session.case
    return {
        "case": {"visit": case.text, "cause": case.cause, "side": case.side, "difficulty": case.difficulty,
                 "seed": case.seed, "origin": case.origin},
        "looks": list(session.looks),
        "thoughts": [
            {"after_looks": one.after,
             "sure": [{"cause": k, "side": s or None, "percent": round(100 * share, 6)} for (k, s), share in one.sure]}
            for one in session.thoughts
        ],
        "referral": session.referral or None,
        "steps": [{"step": k, "side": s or None} for k, s in session.steps],
    }  # fmt: skip


def _text(said: Mapping[str, Any]) -> str:
    return json.dumps(said, indent=1, ensure_ascii=False) + "\n"


def filled(text: bytes) -> bytes:
    """Blanks behind JSON say nothing; with them the length says nothing either."""
    return text + b" " * (-len(text) % _STEP)


def _opened(said: Mapping[str, Any], file: str, key: SessionKey | None) -> dict[str, Any]:
    from cryptography.fernet import Fernet, InvalidToken

    if not isinstance(said.get("sealed"), str) or not isinstance(said.get("key"), str):
        raise _bad(file, "what is enciphered in it is damaged.")
    held = key or key_at(own_place())
    if held is None or held.mark != said.get("key"):
        where = key.place if key is not None else own_place()
        why = "there is no key on this machine" if held is None else "the key on this machine is another one"
        raise BadInput([Problem(file, 0, "TE70", f"this session was enciphered with a key that is not here: {why}. Nothing was "
                                "changed, and nothing in the file is lost.",
                                f"Take it up on the machine, and under the account, where it was begun; or put that machine's "
                                f"{where.name} back as {where}; or begin a new session in another file.")])  # fmt: skip
    try:
        inside = json.loads(Fernet(held.secret).decrypt(said["sealed"].encode()))
    except (InvalidToken, ValueError):
        raise _bad(file, "what is enciphered in it is damaged.") from None
    if not isinstance(inside, dict):
        raise _bad(file, "what is enciphered in it is damaged.")
    return inside


def _session(said: Mapping[str, Any], case: Case, ended: bool, file: str, book: Rulebook) -> Session:
    try:
        return Session(
            case=case,
            looks=tuple(_word(one) for one in said["looks"]),
            thoughts=tuple(
                Thought(
                    int(one["after_looks"]),
                    tuple(((_word(s["cause"]), _side(s["side"])), _share(s["percent"])) for s in one["sure"]),
                )
                for one in said["thoughts"]
            ),
            referral=_referral(said["referral"], book),
            steps=tuple((_word(one["step"]), _side(one["side"])) for one in said["steps"]),
            ended=ended,
        )
    except (KeyError, TypeError, ValueError) as fault:
        raise _bad(
            file,
            f"the choices made so far cannot be read ({type(fault).__name__.removesuffix('Error').lower()}: {fault}).",
        ) from None


def _case(inside: Any, file: str, book: Rulebook) -> Case:
    try:
        text = str(inside["visit"])
        visit = visit_from_bytes(text.encode(), FILE, book.vocabulary)
        return Case(
            text,
            visit,
            str(inside["cause"]),
            str(inside["side"]),
            str(inside["difficulty"]),
            int(inside["seed"]),
            str(inside["origin"]),
        )
    except BadInput:
        raise _bad(file, "the case in it cannot be read by these rules; it was made by others.") from None
    except (ValueError, TypeError, KeyError, AttributeError):
        raise _bad(file, "the case in it is damaged.") from None


def _unpacked_case(packed: Any, file: str) -> Any:
    """The case of an older file: packed and in base 64, without a key."""
    try:
        unpacker = zlib.decompressobj()
        whole = unpacker.decompress(base64.b64decode(packed, validate=True), MOST_BYTES)
        if not unpacker.eof:
            raise ValueError("cut off, or far too large")
        return json.loads(whole)
    except (binascii.Error, zlib.error, ValueError, TypeError):
        raise _bad(file, "the case in it is damaged.") from None


def _word(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError("a word was expected")
    return value


def _side(value: Any) -> str:
    if value not in (None, *SIDES):
        raise ValueError(f"{value} is no side")
    return value or ""


def _share(percent: Any) -> float:
    share = float(percent) / 100.0
    if not 0.0 < share < 1.0:
        raise ValueError(f"{percent} percent is no certainty")
    return share


def _referral(value: Any, book: Rulebook) -> str:
    if value not in (None, NONE, *book.scales.calls):
        raise ValueError(f"{value} is no way to call")
    return value or ""


def _bad(file: str, sentence: str) -> BadInput:
    return BadInput(
        [Problem(file, 0, "TE53", sentence, "Begin a new session, or name a file that reasoner practise wrote.")]
    )
