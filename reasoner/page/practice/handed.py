"""A case that a teacher handed out, worked on at the page: its file checked, the answer kept beside the session and handed in.

In: the bytes of a case, a name; the class that the page keeps. Out: the case with the work on it; the answer left where that
class takes answers in.
Not here: sessions (sessions), the links of an answer (teaching.handed_in), seals and locks (teaching.handing_out).

Until the end the answer is enciphered on the disk like its session: what was looked at tells of a case.
"""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from reasoner import __version__
from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.strict_yaml import MOST_BYTES, read_bytes
from reasoner.store.names import folded
from reasoner.store.place import Place
from reasoner.teaching.class_folder import HANDED_OUT, KEY, class_of, left_in, slug
from reasoner.teaching.handed_in import Work, is_work, work_begun, work_from, work_text
from reasoner.teaching.handing_out import HandedOut, case_of, handed_out_from
from reasoner.teaching.making import Case
from reasoner.teaching.session_file import filled
from reasoner.teaching.session_key import SessionKey

register({
    "PG80": "no file of a handed-out case, or one too large to be one",
    "PG81": "a handed-out case that is not put out here",
    "PG82": "work on a handed-out case that no longer reads",
})  # fmt: skip

#: What a file is called in messages, whatever it is called where it came from.
SHOWN = "the case"
WHOSE = "Write your name, so that your teacher knows whose answer it is."


@frozen(kw_only=True)
class Handed:
    """Work on a handed-out case: `marks`, whether what the rules say is shown at the end; `rules`, the stamp of the rulebook it
    was handed out with; `put`, whether it lies where the teacher takes answers in."""

    work: Work
    marks: bool
    rules: str
    put: bool = False

    @property
    def tap(self) -> str:
        """What every beginning of this case under this name has in common: it is begun once."""
        return hashlib.sha256(f"{self.work.seal}\n{folded(self.work.by)}".encode()).hexdigest()[:32]

    @property
    def file(self) -> str:
        """What the answer is called when it is given away."""
        return f"{slug(self.work.title) or 'case'}.{slug(self.work.by) or 'apprentice'}.answer.json"


def case_in(data: bytes) -> HandedOut:
    """The handed-out case of these bytes. Raises BadInput: PG80 where there are none or too many, TE83 where they are something
    else, TE84 where they were changed."""
    if not data:
        raise BadInput([Problem(SHOWN, 0, "PG80", "no file was chosen, or an empty one; the file of a case was expected.",
                                "Choose the file that your teacher handed out.")])  # fmt: skip
    if len(data) > MOST_BYTES:
        raise BadInput([Problem(SHOWN, 0, "PG80", f"this file has more than {MOST_BYTES / 1e6:.0f} MB; no case is as large.",
                                "Choose the file that your teacher handed out.")])  # fmt: skip
    if is_work(data):
        raise BadInput([Problem(SHOWN, 0, "TE83", "this is an answer to a case; the case itself was expected.",
                                "Choose the file that your teacher handed out.")])  # fmt: skip
    return handed_out_from(data, SHOWN)


def put_out(place: Place) -> Iterator[tuple[str, HandedOut]]:
    """What the class of these records has handed out: the name of each file, and the case; one that was changed since is passed
    over, and told to the teacher."""
    folder = class_of(place)
    if (folder / KEY).is_file():
        for path in sorted((folder / HANDED_OUT).glob("*.json")):
            with contextlib.suppress(BadInput):
                yield path.name, handed_out_from(read_bytes(path), SHOWN)


def put_out_as(name: str, place: Place) -> HandedOut:
    """The one of this file's name. Raises BadInput (PG81)."""
    for file, case in put_out(place):
        if file == name:
            return case
    raise BadInput([Problem(SHOWN, 0, "PG81", "that case is no longer put out here.",
                            "Choose another, or the file that your teacher gave you.")])  # fmt: skip


def begun_by(one: HandedOut, by: str, at: str, book: Rulebook) -> tuple[Case, Handed]:
    """The case, and work of which nothing is done. Raises BadInput: TE83 where these rules cannot read it, TE89 where the name is
    none."""
    try:
        work = work_begun(one, by, at=at, stamp=book.stamp, made_by=__version__)
    except BadInput as bad:
        raise BadInput([replace(problem, hint=WHOSE) for problem in bad.problems]) from None
    return case_of(one, SHOWN, book), Handed(work=work, marks=one.marks, rules=one.stamp)


def left_with_the_class(work: Work, place: Place) -> Path | None:
    """Leave the answer where the class of these records takes answers in; None where the case is none of that class. Raises
    BadInput (TE90)."""
    if any(case.seal == work.seal for _, case in put_out(place)):
        return left_in(class_of(place), work)
    return None


def kept_text(work: Work, key: SessionKey) -> str:
    """The work as it is kept: enciphered until it has ended."""
    from cryptography.fernet import Fernet

    text = work_text(work)
    return text if work.ended else Fernet(key.secret).encrypt(filled(text.encode())).decode()


def work_kept(text: str, key: SessionKey) -> Work:
    """The work again. Raises BadInput (PG82)."""
    from cryptography.fernet import Fernet, InvalidToken

    try:
        return work_from(text.encode() if text.startswith("{") else Fernet(key.secret).decrypt(text.encode()), SHOWN)
    except (InvalidToken, BadInput):
        raise BadInput([Problem(SHOWN, 0, "PG82", "the work on this case no longer reads: its key is no longer here, or it is "
                                "damaged.", "Put the case away, and begin it again.")]) from None  # fmt: skip
