"""Keep a visit that a telephone hands over: once, however often it arrives.

In: a `Kept`, the name the telephone gave the visit, and what was chosen where another visit stands in the way. Out: where it is
kept, or what stands in the way.
Not here: judging it, telling anybody.
"""

from __future__ import annotations

import hashlib
from datetime import UTC, date, datetime

from sqlalchemy import Connection, Row, select

from reasoner.frozen import frozen
from reasoner.store import tables as t
from reasoner.store.held_back import held_back_from
from reasoner.store.naming import added
from reasoner.store.opening import Store
from reasoner.store.reading import newest
from reasoner.store.saving import Kept, Saved, correct_within, horse_within, save_within
from reasoner.store.standing import here


@frozen(kw_only=True)
class Choice:
    """What somebody decided: a second visit of that day; a correction of the visit kept, and why; the uid of the kept horse
    that is meant though it stood elsewhere."""

    second_visit: bool = False
    correction: str = ""
    same_horse: str = ""


@frozen(kw_only=True)
class InTheWay:
    """A visit of that horse and day that is kept in other words; `ours` if this telephone handed it over under the same name;
    `held_back` if whoever hands over may not see it yet: then nothing of its words may be told, and it cannot be corrected."""

    visit: str
    version: str
    number: int
    part: int
    day: date
    saved_by: str
    saved_at: str
    text: bytes
    ours: bool
    held_back: bool
    hand: str


@frozen(kw_only=True)
class Handed:
    """Where it is kept. `before`: it had arrived before, in the same words."""

    saved: Saved
    before: bool
    saved_at: str


def hand_over(
    store: Store, kept: Kept, *, draft: str, by: str, choice: Choice, moment: datetime
) -> Handed | InTheWay:  # fmt: skip
    """Keep it, or say what stands in the way. One transaction: what is acknowledged is kept, once.

    `draft` is the telephone's name for the visit (32 hexadecimal digits). Raises BadInput (ST11, ST12).
    """
    sha = hashlib.sha256(kept.text).hexdigest()
    with store.writing() as connection:
        before = _before(connection, draft, sha)
        if before is not None:
            return before
        ours = connection.execute(
            select(t.version.c.visit)
            .join(t.handed_over, t.handed_over.c.version == t.version.c.uid)
            .where(t.handed_over.c.draft == draft)
        ).scalar()  # fmt: skip
        found = _in_the_way(connection, kept, ours, choice.same_horse)
        saved_at = moment.astimezone(UTC).isoformat()
        if found is not None and found.text != kept.text:
            if choice.correction.strip() and not found.held_back:
                saved = correct_within(
                    connection, store.place, found.visit, kept, by=by, why=choice.correction, moment=moment
                )  # fmt: skip
            elif choice.second_visit:
                part = found.part + 1
                saved = save_within(
                    connection, store.place, kept, by=by, part=part, moment=moment, same_horse=choice.same_horse
                )
            else:
                return found
        elif found is not None:
            saved = Saved(visit=found.visit, version=found.version, number=found.number, new=False)
        else:
            saved = save_within(connection, store.place, kept, by=by, moment=moment, same_horse=choice.same_horse)
        added(connection, t.handed_over, draft=draft, version=saved.version, sha256=sha, saved_at=saved_at)
        return Handed(saved=saved, before=False, saved_at=saved_at)


def _before(connection: Connection, draft: str, sha: str) -> Handed | None:
    row = connection.execute(
        select(t.handed_over.c.saved_at, t.version.c.uid, t.version.c.visit, t.version.c.number)
        .join(t.version, t.handed_over.c.version == t.version.c.uid)
        .where(t.handed_over.c.draft == draft, t.handed_over.c.sha256 == sha)
    ).first()  # fmt: skip
    if row is None:
        return None
    saved = Saved(visit=row.visit, version=row.uid, number=row.number, new=False)
    return Handed(saved=saved, before=True, saved_at=row.saved_at)


def _in_the_way(connection: Connection, kept: Kept, ours: str | None, same_horse: str) -> InTheWay | None:
    """The visit this draft was kept as before, in other words; else the last one of that horse and day."""
    now, current = here(), newest()
    wanted = now.c.uid == ours if ours is not None else (
        (now.c.horse == (same_horse or horse_within(connection, kept))) & (now.c.day == kept.visit.day.isoformat())
    )  # fmt: skip
    row: Row[tuple[str, ...]] | None = connection.execute(
        select(t.version, now.c.part, now.c.day, t.examiner.c.name.label("hand"))
        .join(now, t.version.c.visit == now.c.uid)
        .outerjoin(t.examiner, t.version.c.examiner == t.examiner.c.uid)
        .join(current, (current.c.visit == t.version.c.visit) & (current.c.number == t.version.c.number))
        .where(wanted)
        .order_by(now.c.part.desc())
    ).first()  # fmt: skip
    if row is None:
        return None
    return InTheWay(
        visit=row.visit, version=row.uid, number=row.number, part=row.part, day=date.fromisoformat(row.day),
        saved_by=row.saved_by, saved_at=row.saved_at, text=bytes(row.text), ours=ours is not None,
        held_back=row.visit in held_back_from(connection), hand=row.hand or "",
    )  # fmt: skip
