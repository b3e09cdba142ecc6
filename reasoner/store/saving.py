"""Keep a visit: its very bytes, what was read of it, and what was made of it that day.

In: a `Kept`, all of one visit as plain data. Out: the rows, in one transaction, and which version it is.
Not here: judging, reading files. A visit already kept with the same words is not kept twice.
"""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import Connection, func, insert, select

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.store import tables as t
from reasoner.store.enclosed_bytes import keep_bytes
from reasoner.store.fresh import now_utc
from reasoner.store.meant import Meant, horse_meant, is_of
from reasoner.store.names import plain
from reasoner.store.naming import add_stay, added, make_horse, named, stands_as_written
from reasoner.store.opening import Store
from reasoner.store.place import Place
from reasoner.store.reading import horses
from reasoner.store.sealing import add
from reasoner.store.standing import here, stays_of
from reasoner.store.telling_rows import told_of
from reasoner.visit.model import Visit

register(
    {
        "ST10": "a visit of that horse and day is kept already, in other words",
        "ST11": "a visit without what its record is found by",
        "ST12": "a correction of a visit that is not kept",
    }
)


@frozen(kw_only=True)
class Kept:
    """One visit as it is kept. `text` are the bytes of its file, `answer` the JSON answer; `stamp` and `archive` the rulebook
    that judged it."""

    visit: Visit
    text: bytes
    answer: Mapping[str, Any]
    stamp: str
    engine: str
    archive: bytes


@frozen(kw_only=True)
class Saved:
    """Where it now is. `new` is False where the very same words were kept already; `since` says what became of them, where they
    were moved to another horse or withdrawn."""

    visit: str
    version: str
    number: int
    new: bool
    since: str = ""


def save(
    store: Store, kept: Kept, *, by: str, part: int = 1, moment: datetime | None = None, same_horse: str = ""
) -> Saved:
    """Keep a visit for the first time. `same_horse` is the uid of a kept horse that is meant though it stood elsewhere: from this
    day on it stands where the visit says. Raises BadInput (ST10, ST11)."""
    with store.writing() as connection:
        return save_within(connection, store.place, kept, by=by, part=part, moment=moment, same_horse=same_horse)


def save_within(
    connection: Connection, place: Place, kept: Kept, *, by: str, part: int = 1, moment: datetime | None = None,
    same_horse: str = "",
) -> Saved:  # fmt: skip
    """The same within a writing transaction of the caller. Raises BadInput (ST10, ST11)."""
    horse = same_horse or horse_within(connection, kept)
    now = here()
    query = select(now.c.uid).where(
        now.c.horse == horse, now.c.day == kept.visit.day.isoformat(), now.c.part == part
    )  # fmt: skip
    found = connection.execute(query).scalar()
    already = (
        _already(connection, found, kept)
        or _another_part(connection, horse, kept)
        or _no_longer_here(connection, horse, kept)
    )
    if already is not None:
        return already
    if found is not None:
        raise BadInput([another_that_day(kept.visit.file)])
    if same_horse:
        stands_as_written(
            connection, same_horse, yard=plain(_text(kept.visit, "yard")), owner=plain(_text(kept.visit, "owner")),
            day=kept.visit.day, by=by, moment=moment,
        )  # fmt: skip
    _owner_known(connection, horse, kept, by, moment)
    uid = added(connection, t.visit, horse=horse, day=kept.visit.day.isoformat(),
                **_number(connection, horse, kept.visit.day, part))  # fmt: skip
    return _version(connection, place, uid, 1, kept, by, "", moment)


def another_that_day(file: str) -> Problem:
    """That a visit of that horse and day is there in other words (ST10)."""
    return Problem(file, 0, "ST10", "a visit to this horse on this day is kept already, in other words.",
                   "`reasoner records correct` keeps a new version beside it; --part 2 is a second visit that day.")  # fmt: skip


def correct(store: Store, visit: str, kept: Kept, *, by: str, why: str, moment: datetime | None = None) -> Saved:
    """Keep a new version of a visit; the old one stays as it is. Raises BadInput (ST11, ST12)."""
    if not by.strip() or not why.strip():
        raise BadInput([Problem(kept.visit.file, 0, "ST11", "a correction says who made it and why.",
                                "Write --by and --why.")])  # fmt: skip
    with store.writing() as connection:
        return correct_within(connection, store.place, visit, kept, by=by, why=why, moment=moment)


def correct_within(
    connection: Connection, place: Place, visit: str, kept: Kept, *, by: str, why: str, moment: datetime | None = None
) -> Saved:
    """The same within a writing transaction of the caller; the words of the newest version are not kept once more. Raises
    BadInput (ST11, ST12)."""
    now = here()
    row = connection.execute(select(now.c.horse, now.c.day).where(now.c.uid == visit)).first()
    if row is None:
        raise BadInput([Problem(kept.visit.file, 0, "ST12", f'no visit "{visit}" is kept here.')])
    if row.day != kept.visit.day.isoformat() or not is_of(connection, _meant(kept), row.horse):
        known = next(one for one in horses(connection) if one.uid == row.horse)
        is_kept = f"{known.name}, {known.yard or 'no yard written'}, born {known.born or 'not written'}, {row.day}"
        raise BadInput([Problem(kept.visit.file, 0, "ST12", f"this file is of another horse or another day; kept is {is_kept}.",
                                "A correction keeps both; else save it as a visit of its own.")])  # fmt: skip
    already = _already(connection, visit, kept)
    if already is not None:
        return already
    last = connection.execute(select(func.max(t.version.c.number)).where(t.version.c.visit == visit)).scalar_one()
    return _version(connection, place, visit, last + 1, kept, by, why, moment)


def _already(connection: Connection, visit: str | None, kept: Kept) -> Saved | None:
    """These very words, where a visit has them as its newest version."""
    last = connection.execute(
        select(t.version.c.uid, t.version.c.number, t.version.c.sha256)
        .where(t.version.c.visit == visit).order_by(t.version.c.number.desc())
    ).first()  # fmt: skip
    if last is None or last.sha256 != _sha(kept.text) or not _same_beside(connection, last.uid, kept.visit):
        return None
    return Saved(visit=str(visit), version=last.uid, number=last.number, new=False)


def _another_part(connection: Connection, horse: str, kept: Kept) -> Saved | None:
    """These very words, where another visit of that day has them: nobody sees a horse twice in the very same words."""
    now = here()
    query = (
        select(now.c.uid, now.c.part).where(now.c.horse == horse, now.c.day == kept.visit.day.isoformat())
        .order_by(now.c.part)
    )  # fmt: skip
    for row in connection.execute(query).all():
        found = _already(connection, row.uid, kept)
        if found is not None:
            return replace(found, since=f"as visit {row.part} of that day")
    return None


def _same_beside(connection: Connection, version: str, visit: Visit) -> bool:
    """Whether every file that was read with the visit is kept with this version, to the byte."""
    query = select(t.enclosed.c.name, t.enclosed.c.sha256).where(t.enclosed.c.version == version)
    held = {row.name: row.sha256 for row in connection.execute(query)}
    return all(held.get(name) == _sha(data) for name, data in visit.beside)


def _enclose(connection: Connection, place: Place, version: str, visit: Visit, saved_at: str) -> None:
    """The files read with the visit lie beside the records before their rows are written: without them it could not be read
    again. Raises BadInput (ST06)."""
    for name, data in visit.beside:
        try:
            keep_bytes(connection, place, data)
        except OSError as fault:
            why = (fault.strerror or "it cannot be written").lower()
            raise BadInput([Problem(name, 0, "ST06", f"it cannot be kept beside the records: {why}.")]) from None
        added(
            connection, t.enclosed, version=version, kind="table", name=name, sha256=_sha(data), size=len(data),
            saved_at=saved_at,
        )  # fmt: skip


def horse_within(connection: Connection, kept: Kept) -> str:
    """The horse of a visit, made if it is not kept yet, within a writing transaction of the caller. Raises BadInput (ST11)."""
    visit, meant = kept.visit, _meant(kept)
    if not meant.name:
        raise BadInput([Problem(visit.file, 0, "ST11", "the horse has no name in this file; a record is found by it.",
                                "Write horse: {name: ..}.")])  # fmt: skip
    # A year left out is no other horse, as long as there is one only that it can be.
    fitting = horse_meant(connection, meant)
    if len(fitting) == 1:
        return fitting[0].uid
    if len(fitting) > 1:
        raise BadInput([Problem(visit.file, 0, "ST11", f'there are {len(fitting)} horses called "{meant.name}" in this yard.',
                                "Write born: and the year, or the month and day too where that is one year.")])  # fmt: skip
    return make_horse(connection, visit.file, meant.name, meant.yard, _text(visit, "owner"), meant.born)


def _owner_known(connection: Connection, horse: str, kept: Kept, by: str, moment: datetime | None) -> None:
    """Whose a horse is, where nobody wrote it yet; whose it is in place of somebody else a person says (stays.py)."""
    owner = plain(_text(kept.visit, "owner"))
    first = select(t.horse.c.owner).where(t.horse.c.uid == horse)
    if not owner or connection.execute(first).scalar() is not None or stays_of(connection).owner(horse, ""):
        return
    add_stay(connection, horse, yard="", owner=owner, since=kept.visit.day, who=by,
             why="the visit file of that day says so", moment=moment)  # fmt: skip


def _meant(kept: Kept) -> Meant:
    visit = kept.visit
    born = next((n.written for n in visit.noted if n.key == "born"), "")
    return Meant(
        name=plain(visit.horse_name), yard=plain(_text(visit, "yard")), born=born, day=visit.day, sha256=_sha(kept.text)
    )


def _number(connection: Connection, horse: str, day: date, part: int) -> dict[str, int]:
    """Under which number a visit is kept: its own, unless one that has been moved or withdrawn since was kept under that."""
    v = t.visit.c
    taken = connection.execute(select(v.part).where(v.horse == horse, v.day == day.isoformat())).scalars().all()
    if part not in taken:
        return {"part": part}
    return {"part": max(taken) + 1, "told_part": part}


def _no_longer_here(connection: Connection, horse: str, kept: Kept) -> Saved | None:
    """These very words, where they were kept for this horse and were moved or withdrawn later: they are not kept once more."""
    now, v = here(withdrawn=True), t.version.c
    rows = connection.execute(
        select(v.uid, v.visit, v.number, now.c.withdrawn, t.horse.c.name).join(now, now.c.uid == v.visit)
        .join(t.visit, t.visit.c.uid == v.visit).join(t.horse, t.horse.c.uid == now.c.horse)
        .where(v.sha256 == _sha(kept.text), t.visit.c.horse == horse, (now.c.horse != horse) | now.c.withdrawn)
    )  # fmt: skip
    for row in rows:
        if _same_beside(connection, row.uid, kept.visit):
            since = "and withdrawn since" if row.withdrawn else f"and moved to {row.name} since"
            return Saved(visit=row.visit, version=row.uid, number=row.number, new=False, since=since)
    return None


def _text(visit: Visit, key: str) -> str:
    value = visit.noted_value(key)
    return value if isinstance(value, str) else ""


def _sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _version(
    connection: Connection,
    place: Place,
    visit: str,
    number: int,
    kept: Kept,
    by: str,
    why: str,
    moment: datetime | None,
) -> Saved:
    saved_at = moment.astimezone(UTC).isoformat() if moment is not None else now_utc()
    _rulebook(connection, kept, saved_at)
    answer = zlib.compress(json.dumps(kept.answer, ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode())
    uid = added(
        connection, t.version, visit=visit, number=number, text=kept.text, sha256=_sha(kept.text), saved_at=saved_at,
        saved_by=by, why=why, rulebook=kept.stamp, answer=answer, answer_sha256=_sha(answer),
        level=kept.answer["referral"]["level"], examiner=named(connection, t.examiner, _text(kept.visit, "examined_by")),
        checked_by=named(connection, t.examiner, _text(kept.visit, "checked_by")),
        saddle=named(connection, t.saddle, _text(kept.visit, "which_saddle")),
        rider=named(connection, t.rider, _text(kept.visit, "ridden_by")),
    )  # fmt: skip
    _enclose(connection, place, uid, kept.visit, saved_at)
    for table, rows in told_of(kept.visit, kept.answer).items():
        if rows:
            connection.execute(
                insert(t.META.tables[table]), [{"version": uid, "at": n, **r} for n, r in enumerate(rows)]
            )
    return Saved(visit=visit, version=uid, number=number, new=True)


def _rulebook(connection: Connection, kept: Kept, saved_at: str) -> None:
    known = connection.execute(select(t.rulebook.c.stamp).where(t.rulebook.c.stamp == kept.stamp)).scalar()
    if known is None:
        add(connection, t.rulebook, stamp=kept.stamp, engine=kept.engine, saved_at=saved_at, archive=kept.archive)
