"""A visit locked before the other's is seen: a seal to hand over, and what opens it, kept until both seals are handed over.

In: a visit file's bytes and those of the files it names. Out: a `Seal` and an `Opening`, as JSON text; and whether one fits the
other. Not here: reading the visit, comparing, who hands what to whom.

The seal holds a SHA-256 hash over the file's bytes and over 32 random bytes. Nobody can find another file that fits it, so that
what was graded cannot be changed once the seal is handed over; the random bytes keep anybody from trying gradings until one fits,
so that the seal tells nothing of what was graded (a commitment in two steps: Blum 1983; the hash: FIPS 180-4).
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import secrets
from collections.abc import Mapping
from typing import Any

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register

register(
    {
        "TE05": "a seal or an opening that cannot be read",
        "TE06": "a file that is not what was sealed",
        "TE07": "a comparison of sealed visits without both seals",
    }
)

SEAL, OPENING = "reasoner seal 1", "reasoner opening 1"
RANDOM_BYTES = 32


@frozen(kw_only=True)
class Seal:
    """What is handed over first: which horse and day, by whom, and the hash (64 hexadecimal digits). No reading stands in it."""

    horse: str
    day: str
    by: str
    commitment: str


@frozen(kw_only=True)
class Opening:
    """What is handed over last: the visit's bytes under its file's name, those beside it, and the random bytes."""

    file: str
    data: bytes
    beside: Mapping[str, bytes]
    random: bytes

    @property
    def commitment(self) -> str:
        """The hash that a seal of this must hold."""
        whole = hashlib.sha256(b"reasoner commitment 1\0")
        for part in (
            self.random,
            self.data,
            *(b for pair in sorted(self.beside.items()) for b in (pair[0].encode(), pair[1])),
        ):
            whole.update(len(part).to_bytes(8, "big"))  # so that no bytes can be moved from one part to the next
            whole.update(part)
        return whole.hexdigest()


def sealed(
    file: str, data: bytes, beside: Mapping[str, bytes], *, horse: str, day: str, by: str
) -> tuple[Seal, Opening]:
    """A fresh seal and its opening."""
    opening = Opening(file=file, data=data, beside=dict(beside), random=secrets.token_bytes(RANDOM_BYTES))
    return Seal(horse=horse, day=day, by=by, commitment=opening.commitment), opening


def seal_text(seal: Seal) -> str:
    """The seal as a file."""
    said = {"what": SEAL, "horse": seal.horse, "visit": seal.day, "examined_by": seal.by, "commitment": seal.commitment}
    return json.dumps(said, indent=1, ensure_ascii=False) + "\n"


def opening_text(opening: Opening) -> str:
    """The opening as a file."""
    said = {
        "what": OPENING, "file": opening.file, "visit_file": _coded(opening.data),
        "beside": {name: _coded(data) for name, data in sorted(opening.beside.items())}, "random": _coded(opening.random),
    }  # fmt: skip
    return json.dumps(said, indent=1, ensure_ascii=False) + "\n"


def is_opening(data: bytes) -> bool:
    """Whether these bytes are meant as an opening."""
    return OPENING.encode() in data[:200]


def is_seal(data: bytes) -> bool:
    """Whether these bytes are meant as a seal."""
    return SEAL.encode() in data[:200]


def seal_from(data: bytes, file: str) -> Seal:
    """Read a seal. Raises BadInput (TE05)."""
    said = _read(data, file, SEAL, ("horse", "visit", "examined_by", "commitment"))
    return Seal(horse=said["horse"], day=said["visit"], by=said["examined_by"], commitment=said["commitment"])


def opening_from(data: bytes, file: str) -> Opening:
    """Read an opening. Raises BadInput (TE05)."""
    said = _read(data, file, OPENING, ("file", "visit_file", "random"))
    beside = said.get("beside", {})
    try:
        return Opening(
            file=said["file"], data=_decoded(said["visit_file"]), random=_decoded(said["random"]),
            beside={str(name): _decoded(one) for name, one in beside.items()},
        )  # fmt: skip
    except (binascii.Error, ValueError, AttributeError, TypeError):
        raise BadInput([Problem(file, 0, "TE05", "this opening is damaged: its coded bytes cannot be read.",
                                "Ask for the file again.")]) from None  # fmt: skip


def must_fit(opening: Opening, file: str, seals: Mapping[str, Seal]) -> str:
    """The name of the seal that this opening fits. Raises BadInput (TE06)."""
    for name, seal in seals.items():
        if seal.commitment == opening.commitment:
            return name
    said = f"this is not what was sealed: it does not fit {' or '.join(seals) or 'any seal that was left'}."
    hint = "A visit that was changed after it was sealed, by as little as a blank, fits its seal no more."
    raise BadInput([Problem(file, 0, "TE06", said, hint)])


def _coded(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")


def _decoded(text: str) -> bytes:
    return base64.b64decode(text, validate=True)


def _read(data: bytes, file: str, what: str, keys: tuple[str, ...]) -> dict[str, Any]:
    kind = "a seal" if what == SEAL else "an opening"
    try:
        said = json.loads(data)
    except (ValueError, RecursionError):
        said = None
    if not isinstance(said, dict) or said.get("what") != what:
        hint = "`reasoner agree --seal VISIT` writes both: the seal to hand over first, the opening to keep."
        raise BadInput([Problem(file, 0, "TE05", f"{kind} was expected, and this is none.", hint)])
    missing = [key for key in keys if not isinstance(said.get(key), str)]
    if missing:
        raise BadInput([Problem(file, 0, "TE05", f"{kind} lacks {', '.join(missing)}.", "Ask for the file again.")])
    return said
