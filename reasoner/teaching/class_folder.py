"""A class as a folder on the teacher's machine: its key, what was handed out, the answers that came, what the rules make of them.

In: a folder. Out: the key, handed-out cases opened with it, works; files added, and never changed or taken away.
Not here: whether an answer counts (collecting), figures (class_figures).

    key                    opens what was handed out from here; readable by this account alone; never handed out
    handed-out/NAME.json   the files to give to apprentices, as they were given
    answers/NAME.json      what they handed in, letter for letter
    received/NAME.json     what lies ready to be taken in; nothing is taken away from there
    marks/LINK.json        worked out once from an answer; may be deleted, and is then worked out anew
"""

from __future__ import annotations

import contextlib
import json
import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.strict_yaml import read_bytes
from reasoner.store.names import folded
from reasoner.store.place import CLASS, Place
from reasoner.store.whole import put, put_new
from reasoner.teaching.handed_in import Work, work_from, work_text
from reasoner.teaching.handing_out import HandedOut, Locked, file_text, handed_out_from, opened_with
from reasoner.teaching.locking import KEY_BYTES, new_key

register({
    "TE90": "a class folder that is none, or cannot be used",
    "TE92": "a title that another case of the class has",
})  # fmt: skip

KEY, HANDED_OUT, ANSWERS, RECEIVED, MARKS = "key", "handed-out", "answers", "received", "marks"


@frozen(kw_only=True)
class Given:
    """A case as it was handed out: its file, and with the key what is locked in it."""

    path: Path
    case: HandedOut
    locked: Locked


@frozen(kw_only=True)
class ClassFolder:
    """The folder, and its key."""

    folder: Path
    key: bytes

    def given(self) -> Iterator[Given]:
        """Every case that was handed out, in the order of time. Raises BadInput (TE83 to TE85) where a file was changed."""
        found = [(path, handed_out_from(read_bytes(path), str(path))) for path in _files(self.folder / HANDED_OUT)]
        for path, case in sorted(found, key=lambda one: (one[1].at, one[0].name)):
            yield Given(path=path, case=case, locked=opened_with(case, self.key, str(path)))

    def works(self) -> Iterator[tuple[Path, Work]]:
        """Every answer that is kept. Raises BadInput (TE86, TE87) where a file was changed since."""
        for path in _files(self.folder / ANSWERS):
            yield path, work_from(read_bytes(path), str(path))

    def must_be_new(self, title: str) -> None:
        """Nothing where no case of this title was handed out; two of one title would be told apart by nobody. Raises BadInput
        (TE92)."""
        for given in self.given():
            if folded(given.case.title) == folded(title):
                raise BadInput([Problem(str(given.path), 0, "TE92", f'a case called "{given.case.title}" was handed out '
                                        f"from this class on {given.case.at[:10]} already.",
                                        "Give this one another title; answers to the earlier one keep counting for "
                                        "it.")])  # fmt: skip

    def hand_out(self, case: HandedOut) -> Path:
        """Keep a copy of what is handed out, under a name made from its title. Raises BadInput (TE90, TE92)."""
        name, data = slug(case.title) or "case", file_text(case).encode()
        return _added(self.folder / HANDED_OUT, name, data, lambda: self.must_be_new(case.title))

    def keep(self, work: Work, data: bytes) -> Path:
        """Keep an answer, letter for letter; the same one twice is one file. Raises BadInput (TE90)."""
        return _added(self.folder / ANSWERS, _called(work), data)

    def marks(self, link: str) -> Any:
        """What was kept of an answer with this last link; None where nothing that can be read was."""
        with contextlib.suppress(OSError, ValueError):
            return json.loads((self.folder / MARKS / f"{link}.json").read_bytes())
        return None

    def keep_marks(self, link: str, marks: Any) -> None:
        """Keep what was worked out, in the place of what was kept before. Raises BadInput (TE90)."""
        with _told(self.folder):
            (self.folder / MARKS).mkdir(mode=0o700, exist_ok=True)
            put(self.folder / MARKS / f"{link}.json", json.dumps(marks, indent=1).encode())


def class_of(place: Place) -> Path:
    """The folder of the class that the page keeps: beside the file of the records; for a server, in this machine's own place."""
    return place.beside(CLASS)


def class_in(folder: Path, *, make: bool = False) -> ClassFolder:
    """The class of a folder; with `make` it is begun where there is none yet. Raises BadInput (TE90)."""
    place = folder / KEY
    if not place.is_file():
        if not make:
            what = "no case was handed out from this folder yet" if folder.is_dir() else "there is no such folder"
            raise BadInput([Problem(str(folder), 0, "TE90", f"{what}; the folder of a class was expected.",
                                    "`reasoner teach hand-out` begins one.")])  # fmt: skip
        if folder.is_dir() and any((folder / name).exists() for name in (HANDED_OUT, ANSWERS)):
            raise BadInput([Problem(str(folder), 0, "TE90", f"this class has lost its key ({place}).",
                                    "Put the key back from a copy, or begin another class.")])  # fmt: skip
        with _told(folder):
            if not folder.is_dir():
                folder.mkdir(mode=0o700)
            for name in (HANDED_OUT, ANSWERS):
                (folder / name).mkdir(mode=0o700)
            with os.fdopen(os.open(place, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
                file.write(new_key().hex() + "\n")
    try:
        key = bytes.fromhex(place.read_text(encoding="ascii").strip())
    except (OSError, ValueError):
        key = b""
    if len(key) != KEY_BYTES:
        raise BadInput([Problem(str(place), 0, "TE90", "this is no key of a class, or only a part of one.",
                                "Put it back from a copy.")])  # fmt: skip
    return ClassFolder(folder=folder, key=key)


def left_in(folder: Path, work: Work) -> Path:
    """Leave an answer where the class of this folder takes answers in; the same one twice is one file. Raises BadInput (TE90)."""
    return _added(folder / RECEIVED, _called(work), work_text(work).encode())


def slug(text: str) -> str:
    """A title or a name as a part of a file's name.

    >>> slug("Case 3: the grey cob")
    'case-3-the-grey-cob'
    """
    return re.sub(r"[^a-z0-9]+", "-", text.casefold()).strip("-")[:60].strip("-")


def _called(work: Work) -> str:
    return f"{slug(work.title)}-{slug(work.by)}-{work.last[:16]}"


def _files(folder: Path) -> list[Path]:
    return sorted(folder.glob("*.json"))


def _added(folder: Path, name: str, data: bytes, may: Callable[[], None] = lambda: None) -> Path:
    """A new file of this name, or of the next number where another stands there; the very same bytes are not kept twice. `may`
    raises where it must not be added; it is asked before every name, because somebody else may just have added theirs."""
    with _told(folder):
        folder.mkdir(mode=0o700, exist_ok=True)
        for number in range(1, 10_000):
            path = folder / (f"{name}.json" if number == 1 else f"{name}-{number}.json")
            may()
            try:
                put_new(path, data)
            except FileExistsError:
                if path.read_bytes() != data:
                    continue
            return path
    raise BadInput([Problem(str(folder), 0, "TE90", f"ten thousand files are called {name} here; no more are kept.")])


@contextlib.contextmanager
def _told(folder: Path) -> Iterator[None]:
    """A full disk or a folder that may not be written, in words."""
    try:
        yield
    except OSError as fault:
        why = (fault.strerror or "it cannot be written").lower()
        raise BadInput([Problem(str(folder), 0, "TE90", f"the class cannot be kept here: {why}.")]) from None
