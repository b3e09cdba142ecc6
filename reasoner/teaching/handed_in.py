"""An apprentice's work on a handed-out case as a file: every choice in order, each linked to what stands before it.

In: a handed-out case, a name, one choice after another. Out: `Work`, its text; the practice session that it comes to.
Not here: what a choice does (choices, session), reading many of them (collecting). No reading of the case and no word of its
answer stands in the file, before the end or after it.

Each choice carries a link: the hash (SHA-256) of the link before it and of itself; the first leans on the seal of the case,
the name and the time of beginning. A choice changed, taken out or put in later by hand fits no more. No secret is behind it:
who works the whole chain out anew is not noticed by the file itself. That is what the receipt is for, the first letters of
the last link: read out to the teacher when the work ends, nothing in the file can be another from then on. What it does not
prove: who sat there, and whether it was the first try."""

from __future__ import annotations

import hashlib
import json
import secrets
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.rules_cache import Ready
from reasoner.teaching.handing_out import HandedOut, canonical_bytes
from reasoner.teaching.making import Case
from reasoner.teaching.marking import table_of
from reasoner.teaching.offered import offered
from reasoner.teaching.session import Session, asked, begun, ended, proposed, seen_by, thought, with_step, without_step

register({
    "TE86": "an answer to a handed-out case that cannot be read",
    "TE87": "an answer that was changed after it was written",
    "TE88": "an answer to another case",
    "TE89": "a name that is none",
})  # fmt: skip

WHAT, VERSION = "reasoner answer to a handed-out case", "1"
LONGEST_NAME = 80
RECEIPT_LETTERS, GROUP, RANDOM_BYTES = 16, 4, 16
HEAD = ("what", "schema_version", "case", "seal", "by", "begun", "rules", "made_by", "random")
KINDS = ("look", "think", "refer", "step", "drop", "end")


@frozen(kw_only=True)
class Work:
    """The work of one apprentice (`by`) on the case with this `seal`: when begun (UTC), with which rulebook (`stamp`) and
    version (`made_by`), random letters, so that a receipt tells nothing of the choices behind it, and the `choices` in order,
    each with its time and its link."""

    title: str
    seal: str
    by: str
    begun: str
    stamp: str
    made_by: str
    random: str
    choices: tuple[Mapping[str, Any], ...] = ()

    def head(self) -> dict[str, Any]:
        """What the first link leans on."""
        said = (WHAT, VERSION, self.title, self.seal, self.by, self.begun, self.stamp, self.made_by, self.random)
        return dict(zip(HEAD, said, strict=True))

    @property
    def last(self) -> str:
        """The last link."""
        return str(self.choices[-1]["link"]) if self.choices else _hashed("", self.head())

    @property
    def ended(self) -> bool:
        """Whether the last choice is the end."""
        return bool(self.choices) and "end" in self.choices[-1]

    @property
    def ended_at(self) -> str:
        """When the last choice was made."""
        return str(self.choices[-1]["at"]) if self.choices else self.begun

    @property
    def receipt(self) -> str:
        """The letters to read out: "3f2a 90c1 55de 0b47"."""
        letters = self.last[:RECEIPT_LETTERS]
        return " ".join(letters[n : n + GROUP] for n in range(0, len(letters), GROUP))


def work_begun(case: HandedOut, by: str, *, at: str, stamp: str, made_by: str) -> Work:
    """Work of which nothing is done. Raises BadInput (TE89) where the name is none."""
    name = _name(by)
    if not name:
        raise BadInput([Problem("--name", 0, "TE89", f'"{" ".join(by.split())[:LONGEST_NAME]}" was read as your name; one to '
                                f"{LONGEST_NAME} letters were expected.", "Write --name and your name, so that your "
                                "teacher knows whose answer it is.")])  # fmt: skip
    return Work(
        title=case.title,
        seal=case.seal,
        by=name,
        begun=at,
        stamp=stamp,
        made_by=made_by,
        random=secrets.token_hex(RANDOM_BYTES),
    )


def _name(by: str) -> str:
    """A name without needless blanks; empty where it is none that could be shown."""
    name = " ".join(by.split())
    return name if len(name) <= LONGEST_NAME and name.isprintable() else ""


def with_choices(work: Work, before: Session, after: Session, at: str) -> Work:
    """The work with what the session gained."""
    for said in _gained(before, after):
        entry = {"at": at, **said}
        work = replace(work, choices=(*work.choices, {**entry, "link": _hashed(work.last, entry)}))
    return work


def _gained(before: Session, after: Session) -> Iterator[dict[str, Any]]:
    yield from ({"look": look} for look in after.looks[len(before.looks) :])
    for one in after.thoughts[len(before.thoughts) :]:
        yield {
            "think": [{"cause": k, "side": s or None, "percent": round(100 * share, 6)} for (k, s), share in one.sure]
        }
    if after.referral != before.referral:
        yield {"refer": after.referral}
    for kind, some, others in (("drop", before, after), ("step", after, before)):
        yield from ({kind: key, "side": side or None} for key, side in some.steps if (key, side) not in others.steps)
    if after.ended and not before.ended:
        yield {"end": True}


def work_text(work: Work) -> str:
    """The file."""
    return json.dumps({**work.head(), "choices": list(work.choices)}, indent=1, ensure_ascii=False) + "\n"


def is_work(data: bytes) -> bool:
    """Whether these bytes are meant as such a file."""
    return f'"what": "{WHAT}"'.encode() in data[:400]


def work_from(data: bytes, file: str) -> Work:
    """The work of a file. Raises BadInput: TE86 where it is none, or of another version; TE87 where a link does not fit."""
    try:
        said = json.loads(data.decode("utf-8"))
        json.dumps(said, ensure_ascii=False).encode()  # half a letter can be written down, but not shown
    except (ValueError, RecursionError):
        raise BadInput([Problem(file, 0, "TE86", "this is no answer to a handed-out case, or only a part of one.",
                                "Ask for the file again.")]) from None  # fmt: skip
    if not isinstance(said, dict) or said.get("what") != WHAT:
        raise BadInput([Problem(file, 0, "TE86", f'"{WHAT}" was expected under "what"; this file is something else.',
                                "`reasoner practise` with a handed-out case writes it.")])  # fmt: skip
    if said.get("schema_version") != VERSION:
        raise BadInput([Problem(file, 0, "TE86", f"version {said.get('schema_version')} was read; version {VERSION} was "
                                                 "expected.", "It was written by another release of this program.")])  # fmt: skip
    choices = said.get("choices")
    if (
        any(not isinstance(said.get(name), str) for name in HEAD)
        or not isinstance(choices, list)
        or len(said) != len(HEAD) + 1
    ):
        raise BadInput([_changed(file, "what stands above the choices")])
    shown = all(said[name].isprintable() for name in HEAD)
    if not shown or not said["by"] or _name(said["by"]) != said["by"]:
        raise BadInput([Problem(file, 0, "TE86", "what stands above the choices, such as whose answer it is, is written in a way "
                                "that cannot be shown.", "Ask for the file as the program wrote it.")])  # fmt: skip
    work = Work(title=said["case"], seal=said["seal"], by=said["by"], begun=said["begun"], stamp=said["rules"],
                made_by=said["made_by"], random=said["random"])  # fmt: skip
    for number, entry in enumerate(choices, 1):
        plain = {k: v for k, v in entry.items() if k != "link"} if isinstance(entry, dict) else {}
        at = plain.get("at")
        if (
            not plain
            or entry.get("link") != _hashed(work.last, plain)
            or not isinstance(at, str)
            or not at.isprintable()
        ):
            raise BadInput([_changed(file, f"choice {number}, or what stands before it,")])
        work = replace(work, choices=(*work.choices, entry))
    return work


def session_of(work: Work, case: Case, ready: Ready, file: str) -> Session:
    """The practice session that the choices come to, each made anew under the rules of a session: a look that was not offered
    then is refused. Raises BadInput (TE86)."""
    session = begun(case)
    for number, entry in enumerate(work.choices, 1):
        try:
            session = _chosen(session, entry, ready)
        except BadInput as bad:
            raise BadInput([Problem(file, 0, "TE86", f"choice {number} cannot be made with these rules: {p.sentence}",
                                    f"It was written with rulebook {work.stamp}; these are {ready.book.stamp}.")
                            for p in bad.problems]) from None  # fmt: skip
        except (KeyError, TypeError, ValueError):
            raise BadInput(
                [Problem(file, 0, "TE86", f"choice {number} cannot be read.", "Ask for the file again.")]
            ) from None
    return session


def _chosen(session: Session, entry: Mapping[str, Any], ready: Ready) -> Session:
    book = ready.book
    (kind,) = (one for one in KINDS if one in entry)  # a second one would be read by nobody here, and by others
    if kind == "look":
        for check in offered(session, seen_by(session, ready)).checks:
            if check.key == entry["look"]:
                return asked(session, check)
        raise BadInput([Problem("look", 0, "TE50", f'"{str(entry["look"])[:80]}" was no look that was open then.')])
    if kind == "think":
        bounds = table_of(book).certainty
        sure = {(str(one["cause"]), str(one["side"] or "")): float(one["percent"]) / 100.0 for one in entry["think"]}
        return thought(session, sure, book, bounds.least_percent / 100.0, bounds.most_percent / 100.0)
    if kind == "refer":
        return proposed(session, str(entry["refer"]), book.scales)
    if kind == "step":
        return with_step(session, str(entry["step"]), str(entry["side"] or ""), book)
    if kind == "drop":
        return without_step(session, str(entry["drop"]), str(entry["side"] or ""))
    return ended(session)


def must_be_of(work: Work, case: HandedOut, file: str) -> None:
    """Nothing where the work is on this very case. Raises BadInput (TE88)."""
    if work.seal != case.seal:
        raise BadInput([Problem(file, 0, "TE88", f'this is work on another case, or on another copy of it ("{work.title}").',
                                "Begin again with the file that you were given last.")])  # fmt: skip


def _changed(file: str, what: str) -> Problem:
    return Problem(file, 0, "TE87", f"this answer was changed after it was written: {what} does not fit its link.",
                   "Ask for the file as the program wrote it.")  # fmt: skip


def _hashed(before: str, said: Mapping[str, Any]) -> str:
    return hashlib.sha256(b"reasoner answer link 1\0" + before.encode() + b"\0" + canonical_bytes(said)).hexdigest()
