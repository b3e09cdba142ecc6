"""A case as a file to hand out: its readings, to be uncovered look by look, and the teacher's answer behind the teacher's lock.

In: a case, the teacher's answer, the class's key. Out: a `HandedOut`, its text, and with the key what is locked in it.
Not here: the answer itself (teachers_answer), working on it (handed_in), where the files lie (class_folder).

What it keeps: the teacher's answer and words, and what the rules say of the case, are enciphered with a key that never
leaves the teacher's machine. The readings are enciphered with a key that follows from the file itself: no editor and no search
shows them, but they have to be uncovered on the apprentice's machine, so who writes a program to do so can read them all, and
ask the rules. The seal is a hash over everything (SHA-256): it shows a slip, a damaged file and a hand
that was not careful. Who works it out anew after a change is noticed on the teacher's machine, where the lock is bound to the
rest of the file, and where the seal that an answer names is looked for among those handed out."""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import secrets
import zlib
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.strict_yaml import decode
from reasoner.teaching.beside_the_rules import RulesSay, plain_rules, rules_of
from reasoner.teaching.locking import NotOpened, key_from, locked, opened
from reasoner.teaching.making import FILE, Case
from reasoner.teaching.teachers_answer import TeachersAnswer, answer_of, plain_answer
from reasoner.teaching.unnamed import case_from
from reasoner.visit.reading import visit_from_bytes

register({
    "TE83": "a handed-out case that cannot be read",
    "TE84": "a handed-out case that was changed",
    "TE85": "a handed-out case that this key does not open",
})  # fmt: skip

WHAT, VERSION = "reasoner handed-out case", "1"
ORIGIN = "handed out"
RANDOM_BYTES = 16
MOST_BYTES = 2_000_000
ASK = "Ask your teacher for the file again."
#: What stands in the file, beside the seal.
HEAD = ("what", "schema_version", "case", "handed_out", "rules", "made_by", "marks", "random", "readings")


@frozen(kw_only=True)
class HandedOut:
    """A handed-out case: `title`; `at` when it was handed out (UTC); `stamp` of the rulebook and `made_by`, the version of the
    program; `marks`: whether the apprentice sees at the end what the rules say; `random`, `readings` and `locked` as they stand
    in the file."""

    title: str
    at: str
    stamp: str
    made_by: str
    marks: bool
    random: str
    readings: str
    locked: str

    @property
    def seal(self) -> str:
        """The hash over everything in it, 64 hexadecimal digits."""
        return hashlib.sha256(
            b"reasoner case seal 1\0" + canonical_bytes({**self.head(), "locked": self.locked})
        ).hexdigest()

    def head(self) -> dict[str, Any]:
        """All but the lock and the seal: what the lock is bound to."""
        said = (WHAT, VERSION, self.title, self.at, self.stamp, self.made_by, self.marks, self.random, self.readings)
        return dict(zip(HEAD, said, strict=True))


@frozen(kw_only=True)
class Locked:
    """What only the teacher opens: the answer, and what the rules said of the case when it was handed out."""

    answer: TeachersAnswer
    rules: RulesSay


def case_to_hand_out(
    data: bytes, file: str, answer: TeachersAnswer, book: Rulebook, beside: Mapping[str, bytes] | None = None
) -> Case:
    """The case of a visit file, with the files `beside` it (None: those of its folder), its names taken out unless the answer
    says that they stay. What was worked on or traced stays out either way. Raises BadInput: what is wrong in the file; TE56."""
    case = case_from(data, file, book, ORIGIN, beside)
    if not answer.keep_names:
        return case
    visit = visit_from_bytes(data, file, book.vocabulary, beside)
    if visit.beside:
        raise BadInput([Problem(file, 0, "TE56", "this visit names a file beside it, which does not go along where names "
                                "stay in.", "Let the names be taken out, or take the tracing out of a copy.")])  # fmt: skip
    return Case(decode(data, file), replace(visit, warnings=(), worked=(), outlines=(), beside=()), origin=ORIGIN)


def handed_out(case: Case, answer: TeachersAnswer, rules: RulesSay, key: bytes, *, at: str, made_by: str) -> HandedOut:
    """A case, sealed and locked."""
    random = secrets.token_bytes(RANDOM_BYTES)
    shown = json.dumps({"visit": case.text}).encode()
    one = HandedOut(
        title=answer.title, at=at, stamp=rules.stamp, made_by=made_by, marks=answer.marks,
        random=base64.b64encode(random).decode(), readings=locked(zlib.compress(shown, 9), key_from(random), b"readings"),
        locked="",
    )  # fmt: skip
    hidden = {"answer": plain_answer(answer), "rules": plain_rules(rules)}
    return replace(one, locked=locked(json.dumps(hidden).encode(), key, canonical_bytes(one.head())))


def file_text(one: HandedOut) -> str:
    """The file."""
    return json.dumps({**one.head(), "locked": one.locked, "seal": one.seal}, indent=1, ensure_ascii=False) + "\n"


def is_handed_out(data: bytes) -> bool:
    """Whether these bytes are meant as a handed-out case."""
    return f'"what": "{WHAT}"'.encode() in data[:400]


def handed_out_from(data: bytes, file: str) -> HandedOut:
    """The case of a file. Raises BadInput: TE83 where it is none or of another version, TE84 where its seal does not fit."""
    try:
        said = json.loads(data.decode("utf-8"))
        json.dumps(said, ensure_ascii=False).encode()  # half a letter can be written down, but not shown
    except (ValueError, RecursionError):
        raise BadInput([Problem(file, 0, "TE83", "this is no handed-out case, or only a part of one.", ASK)]) from None
    if not isinstance(said, dict) or said.get("what") != WHAT:
        raise BadInput(
            [Problem(file, 0, "TE83", f'"{WHAT}" was expected under "what"; this file is something else.', ASK)]
        )
    if said.get("schema_version") != VERSION:
        raise BadInput([Problem(file, 0, "TE83", f"version {said.get('schema_version')} was read; version {VERSION} was "
                                                 "expected.", "It was handed out by another release of this "
                                                              "program.")])  # fmt: skip
    wrong = [
        name for name in (*HEAD, "locked", "seal") if not isinstance(said.get(name), bool if name == "marks" else str)
    ]
    strange = [name for name in said if name not in (*HEAD, "locked", "seal")]
    if wrong or strange:
        raise BadInput([Problem(file, 0, "TE84", f"{', '.join([*wrong, *strange])}: this was not written so when the case was "
                                                 "handed out.", ASK)])  # fmt: skip
    one = HandedOut(title=said["case"], at=said["handed_out"], stamp=said["rules"], made_by=said["made_by"],
                    marks=said["marks"], random=said["random"], readings=said["readings"], locked=said["locked"])  # fmt: skip
    if one.seal != said["seal"]:
        raise BadInput([Problem(file, 0, "TE84", "this case was changed after it was handed out, or did not arrive whole: its "
                                                 "seal does not fit.", ASK)])  # fmt: skip
    return one


def case_of(one: HandedOut, file: str, book: Rulebook) -> Case:
    """The case, to be uncovered look by look. Raises BadInput (TE83) where these rules cannot read it."""
    try:
        packed = opened(one.readings, key_from(base64.b64decode(one.random, validate=True)), b"readings")
        inside = json.loads(_unpacked(packed))
        text = str(inside["visit"])
    except (NotOpened, binascii.Error, zlib.error, ValueError, KeyError, TypeError):
        raise BadInput([Problem(file, 0, "TE83", "the readings in it are damaged.", ASK)]) from None
    try:
        visit = visit_from_bytes(text.encode(), FILE, book.vocabulary)
    except BadInput:
        raise BadInput([Problem(file, 0, "TE83", "the readings in it cannot be read by these rules.",
                                f"It was handed out with rulebook {one.stamp}; these are {book.stamp}.")]) from None  # fmt: skip
    return Case(text, replace(visit, warnings=(), worked=(), outlines=(), beside=()), origin=ORIGIN)


def opened_with(one: HandedOut, key: bytes, file: str) -> Locked:
    """What is locked in it. Raises BadInput (TE85) where the key is another's, or anything in the file was changed."""
    try:
        said = json.loads(opened(one.locked, key, canonical_bytes(one.head())))
        return Locked(answer=answer_of(said["answer"]), rules=rules_of(said["rules"]))
    except (NotOpened, ValueError, KeyError, TypeError):
        raise BadInput([Problem(file, 0, "TE85", "this class's key does not open it: it was handed out from another class, or "
                                                 "changed since.",
                                "Name the class folder from which it was handed out.")]) from None  # fmt: skip


def canonical_bytes(said: Mapping[str, Any]) -> bytes:
    """The same bytes for the same content, however a file is laid out."""
    return json.dumps(said, sort_keys=True, ensure_ascii=True, separators=(",", ":")).encode()


def _unpacked(packed: bytes) -> bytes:
    unpacker = zlib.decompressobj()
    whole = unpacker.decompress(packed, MOST_BYTES)
    if not unpacker.eof:
        raise ValueError("cut off, or far too large")
    return whole
