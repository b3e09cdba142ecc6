"""The practice sessions and the record of one person: begun, taken on, ended, counted once.

In: who it is, choices as functions over a `Session`. Out: sessions, sheets of marks, records.
Not here: what a choice does (teaching), what is shown.

Everything is one transaction: of two taps at once the second finds what the first has done, and a session that has ended is ended
for every telephone. A session that is somebody else's is not there."""

from __future__ import annotations

import contextlib
import json
import threading
import uuid
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from reasoner.frozen import frozen
from reasoner.page.practice.handed import Handed, kept_text, work_kept
from reasoner.page.practice.kept import Kept
from reasoner.page.who import Who
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store.place import Place
from reasoner.teaching import session as steps
from reasoner.teaching.handed_in import Work, with_choices
from reasoner.teaching.making import Case
from reasoner.teaching.marked import Marked
from reasoner.teaching.practice_record import Record, record_from, record_text
from reasoner.teaching.session import Session, begun
from reasoner.teaching.session_file import session_from, session_text

register({"PG61": "more cases open at once than anybody follows"})

Mark = Callable[[Session], Marked]
Count = Callable[[Session, Marked, Record, datetime], tuple[dict[str, Any], Record]]
"""The sheet of a session and the record with it, from its marks, the record before it and the moment it ended."""
MOST_OPEN = 5
"""Cases one person may have open at once; own setting."""
SHOWN = "the practice session"
_ROWS = "SELECT session.*, marks, rules, work, put FROM session LEFT JOIN handed_out USING (uid)"
#: Marks take seconds: of two that ask for the same, one waits for the other.
_MARKING: dict[str, threading.Lock] = {}


def whole_second(moment: datetime) -> str:
    """A moment as answers to a teacher have it."""
    return moment.astimezone(UTC).replace(microsecond=0).isoformat()


class NotThere(Exception):
    """No such session of this person."""


@frozen(kw_only=True)
class Known:
    """A session. `session` is None where it has ended, for all that is told of it then is its sheet and its work, and in a list
    where it no longer reads (its key is gone, other rules): it can only be put away. `handed` is the work for a teacher, where
    the case was handed out."""

    uid: str
    begun: datetime
    ended: datetime | None
    session: Session | None
    sheet: dict[str, Any] | None
    handed: Handed | None


class Sessions:
    """Those of one person."""

    def __init__(self, place: Place, book: Rulebook, who: Who, now: Callable[[], datetime]) -> None:
        self._kept, self._book, self._person, self._now = Kept(place), book, who.key, now

    def begin(self, tap: str, case: Callable[[], Case], handed: Handed | None = None) -> str:
        """The uid of a new session; that of the open one which the same tap has begun already, or of any on the same handed-out
        case under the same name. Raises BadInput (PG61)."""
        with self._kept.turn() as db:
            found = self._begun_by(db, tap)
        if found:
            return found
        file = session_text(begun(case()), self._kept.key())
        with self._kept.turn() as db:
            if found := self._begun_by(db, tap):
                return found
            number = "SELECT COUNT(*) FROM session WHERE person = ? AND ended = ''"
            if db.execute(number, (self._person,)).fetchone()[0] >= MOST_OPEN:
                raise BadInput([Problem("practise", 0, "PG61", f"{MOST_OPEN} cases are open already.",
                                        "End one of them, or put one away.")])  # fmt: skip
            uid = uuid.uuid4().hex
            db.execute("INSERT INTO session (uid, person, tap, begun, file) VALUES (?,?,?,?,?)",
                       (uid, self._person, tap, self._moment(), file))  # fmt: skip
            if handed is not None:
                db.execute("INSERT INTO handed_out (uid, marks, rules, work) VALUES (?,?,?,?)",
                           (uid, handed.marks, handed.rules, kept_text(handed.work, self._kept.key())))  # fmt: skip
        return uid

    def every(self, *, over: bool, most: int = 20) -> tuple[Known, ...]:
        """The open ones, or the ended ones, the newest first; of the ended ones the sheets alone are read."""
        order = "ended" if over else "begun"
        with self._kept.turn() as db:
            rows = db.execute(f"{_ROWS} WHERE person = ? AND (ended <> '') = ? ORDER BY {order} DESC LIMIT ?",
                              (self._person, over, most)).fetchall()  # fmt: skip
        return tuple(self._known(row, read=not over) for row in rows)

    def one(self, uid: str) -> Known:
        """A session. Raises NotThere; BadInput where it has not ended and no longer reads."""
        with self._kept.turn() as db:
            row = self._row(db, uid)
        session = None if row["ended"] else self._session(row)
        return replace(self._known(row, read=False), session=session, handed=self._handed(row))

    def change(self, uid: str, choice: Callable[[Session], Session]) -> Session:
        """The session after a choice; as it stands where it has ended, or where the choice changes nothing. Raises NotThere,
        BadInput."""
        with self._kept.turn() as db:
            row = self._row(db, uid)
            session = self._session(row)
            new = session if session.ended else choice(session)
            if new != session:
                ended = self._moment() if new.ended else ""
                db.execute("UPDATE session SET file = ?, ended = ? WHERE uid = ?",
                           (session_text(new, self._kept.key()), ended, uid))  # fmt: skip
                if (handed := self._handed(row)) is not None:
                    work = with_choices(handed.work, session, new, whole_second(self._now()))
                    db.execute("UPDATE handed_out SET work = ? WHERE uid = ?", (kept_text(work, self._kept.key()), uid))
        return new

    def end(self, uid: str) -> Session:
        """The session, ended from now on. Raises NotThere, BadInput."""
        return self.change(uid, steps.ended)

    def hand_in(self, uid: str, put: Callable[[Work], object | None]) -> None:
        """Have the answer put where the teacher takes it in, once it has ended, and once; `put` gives None where there is no such
        place. Raises NotThere, BadInput."""
        with self._kept.turn() as db:
            handed = self._handed(self._row(db, uid))
            if handed is not None and handed.work.ended and not handed.put and put(handed.work) is not None:
                db.execute("UPDATE handed_out SET put = 1 WHERE uid = ?", (uid,))

    def sheet(self, uid: str, mark: Mark, count: Count) -> dict[str, Any]:
        """The sheet of an ended session: marked once, which takes seconds, and counted once. Raises NotThere, BadInput."""
        with _MARKING.setdefault(uid, threading.Lock()):
            try:
                with self._kept.turn() as db:
                    row = self._row(db, uid)
                if row["sheet"]:
                    return dict(json.loads(row["sheet"]))
                if not row["ended"]:
                    raise NotThere
                session = self._session(row)
                marks = mark(session)  # nobody waits for their turn meanwhile
                with self._kept.turn() as db:
                    held = self._row(db, uid)["sheet"]
                    if held:
                        return dict(json.loads(held))
                    sheet, record = count(session, marks, self._record(db), datetime.fromisoformat(row["ended"]))
                    db.execute("UPDATE session SET sheet = ? WHERE uid = ?", (json.dumps(sheet), uid))
                    db.execute("INSERT INTO record (person, file) VALUES (?,?) ON CONFLICT (person) DO UPDATE SET "
                               "file = excluded.file", (self._person, record_text(record)))  # fmt: skip
                return sheet
            finally:
                _MARKING.pop(uid, None)

    def put_away(self, uid: str) -> None:
        """Take out a session that has not ended; it counts nowhere. Raises NotThere."""
        with self._kept.turn() as db:
            self._row(db, uid)
            db.execute("DELETE FROM session WHERE uid = ? AND ended = ''", (uid,))
            db.execute("DELETE FROM handed_out WHERE uid NOT IN (SELECT uid FROM session)")

    def record(self) -> Record:
        """The record of this person. Raises BadInput (TE55)."""
        with self._kept.turn() as db:
            return self._record(db)

    # -- rows ----------------------------------------------------------------------------------------------------------------

    def _row(self, db: Any, uid: str) -> Any:
        row = db.execute(f"{_ROWS} WHERE uid = ? AND person = ?", (uid, self._person)).fetchone()
        if row is None:
            raise NotThere
        return row

    def _begun_by(self, db: Any, tap: str) -> str:
        row = db.execute("SELECT uid FROM session WHERE person = ? AND tap = ? AND (ended = '' OR uid IN "
                         "(SELECT uid FROM handed_out))", (self._person, tap)).fetchone()  # fmt: skip
        return row["uid"] if row is not None else ""

    def _session(self, row: Any) -> Session:
        try:
            return session_from(row["file"].encode(), SHOWN, self._book, self._kept.key())
        except BadInput as bad:  # where on this machine a key should lie is nobody's business who reads a page
            raise BadInput([replace(p, hint="Put the case away, and begin another.") for p in bad.problems]) from None

    def _handed(self, row: Any) -> Handed | None:
        if row["work"] is None:
            return None
        return Handed(work=work_kept(row["work"], self._kept.key()), marks=bool(row["marks"]), rules=row["rules"],
                      put=bool(row["put"]))  # fmt: skip

    def _known(self, row: Any, *, read: bool) -> Known:
        session = handed = None
        with contextlib.suppress(BadInput):
            handed = self._handed(row)
            session = self._session(row) if read else None
        return Known(
            uid=row["uid"], begun=datetime.fromisoformat(row["begun"]),
            ended=datetime.fromisoformat(row["ended"]) if row["ended"] else None, session=session,
            sheet=json.loads(row["sheet"]) if row["sheet"] else None, handed=handed,
        )  # fmt: skip

    def _record(self, db: Any) -> Record:
        row = db.execute("SELECT file FROM record WHERE person = ?", (self._person,)).fetchone()
        return record_from(row["file"].encode(), "the record of practice") if row is not None else Record()

    def _moment(self) -> str:
        return self._now().astimezone(UTC).isoformat()
