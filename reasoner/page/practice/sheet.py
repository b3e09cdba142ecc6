"""The marks of an ended session as they are kept and shown, and the working out of them.

In: an ended session, its marks, a record. Out: a plain dict, the record with the session in it.
Not here: marking (teaching), sentences (rendering), where it is kept (sessions).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime
from typing import Any

from reasoner.page.practice.shown import made, title_of
from reasoner.page.rows import parts_of
from reasoner.page.served import Served
from reasoner.rendering import phrases
from reasoner.rendering.practise_beside import beside
from reasoner.rendering.practise_marks_text import marked_lines
from reasoner.rendering.practise_text import unseen
from reasoner.rules_cache import Ready
from reasoner.teaching.marked import LookMade, Marked
from reasoner.teaching.marking import marked, table_of
from reasoner.teaching.marking_looks import look_made
from reasoner.teaching.next_case import counted
from reasoner.teaching.practice_record import Record
from reasoner.teaching.session import Session


def judged_soon(uid: str, session: Session, served: Served) -> None:
    """Have the last look judged beside, so that it is done when the session ends."""
    if served.longer is not None and session.looks and not session.ended:
        number = len(session.looks) - 1
        served.longer.once((uid, number), _look_made, session, number)


def marks_of(uid: str, session: Session, served: Served) -> Marked:
    """The marks. Each look is judged in the other process by itself: somebody at a horse waits for one of them at most."""
    if served.longer is None:
        return marked(session, served.ready)
    longer = served.longer
    asked = (longer.once((uid, n), _look_made, session, n).result() for n in range(len(session.looks)))
    return longer.ask(_marked, session, [look for look in asked if look is not None]).result()


def _look_made(rules: Ready, session: Session, number: int) -> LookMade | None:
    return look_made(session, number, rules, table_of(rules.book).looks)


def _marked(rules: Ready, session: Session, looks: Sequence[LookMade]) -> Marked:
    return marked(session, rules, looks)


def counted_sheet(
    session: Session, marks: Marked, record: Record, at: datetime, served: Served, *, counts: bool
) -> tuple[dict[str, Any], Record]:
    """The sheet, and the record with it; as it was where the session does not count in it, as work for a teacher does not."""
    book = served.ready.book
    new = counted(record, marks, session, served.ready, at) if counts else record
    card = new.cards.get(marks.truth[0]) if marks.truth is not None else None
    sheet = {
        "title": title_of(session),
        "points": marks.points,
        "beside": [asdict(row) for row in beside(marks, book)],
        "parts": [asdict(part) for part in parts_of(marked_lines(marks, book))],
        "seen": [asdict(made(session, look, book)) for look in session.looks],
        "unseen": [phrases.days_in_words(line) for line in unseen(session, book)],
        "again": card["due"] if card is not None else "",
    }
    return sheet, new
