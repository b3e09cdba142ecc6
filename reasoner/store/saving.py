"""Keep a visit: its very bytes, what was read of it, and what was made of it that day.

In: a `Kept`, all of one visit as plain data. Out: the rows, in one transaction, and which version it is.
Not here: judging, reading files. A visit already kept with the same words is not kept twice.
"""

from __future__ import annotations

import hashlib
import json
import uuid
import zlib
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, Table, func, insert, select

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.store import tables as t
from reasoner.store.names import plain, same_name
from reasoner.store.opening import Store
from reasoner.store.place import Place
from reasoner.store.spoken import answered, spoke
from reasoner.store.whole import put
from reasoner.visit.model import DateSpan, Noted, Outline, Touch, VetsWord, Visit

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
    """Where it now is. `new` is False where the very same words were kept already."""

    visit: str
    version: str
    number: int
    new: bool


def save(store: Store, kept: Kept, *, by: str, part: int = 1, moment: datetime | None = None) -> Saved:
    """Keep a visit for the first time. Raises BadInput (ST10, ST11)."""
    with store.writing() as connection:
        horse = _horse(connection, kept.visit)
        found = connection.execute(
            select(t.visit.c.uid).where(t.visit.c.horse == horse, t.visit.c.day == kept.visit.day.isoformat(),
                                        t.visit.c.part == part)
        ).scalar()  # fmt: skip
        if found is not None:
            return _already(connection, found, kept)
        uid = _new(connection, t.visit, horse=horse, day=kept.visit.day.isoformat(), part=part)
        return _version(connection, store.place, uid, 1, kept, by, "", moment)


def correct(store: Store, visit: str, kept: Kept, *, by: str, why: str, moment: datetime | None = None) -> Saved:
    """Keep a new version of a visit; the old one stays as it is. Raises BadInput (ST11, ST12)."""
    if not by.strip() or not why.strip():
        raise BadInput([Problem(kept.visit.file, 0, "ST11", "a correction says who made it and why.",
                                "Write --by and --why.")])  # fmt: skip
    with store.writing() as connection:
        row = connection.execute(select(t.visit.c.horse, t.visit.c.day).where(t.visit.c.uid == visit)).first()
        if row is None:
            raise BadInput([Problem(kept.visit.file, 0, "ST12", f'no visit "{visit}" is kept here.')])
        if row.day != kept.visit.day.isoformat() or row.horse != _horse(connection, kept.visit):
            raise BadInput([Problem(kept.visit.file, 0, "ST12", "this file is of another horse or another day.",
                                    "A correction keeps both; else save it as a visit of its own.")])  # fmt: skip
        last = connection.execute(select(func.max(t.version.c.number)).where(t.version.c.visit == visit)).scalar_one()
        return _version(connection, store.place, visit, last + 1, kept, by, why, moment)


def now_utc() -> str:
    """This moment, in UTC, to the microsecond."""
    return datetime.now(UTC).isoformat()


def new_uid() -> str:
    """A fresh name for a row."""
    return uuid.uuid4().hex


def named(connection: Connection, table: Table, name: str) -> str | None:
    """The row of this name, whatever its capitals, made if there is none; None for no name."""
    name = plain(name)
    if not name:
        return None
    found = connection.execute(select(table.c.uid).where(table.c.name == name)).scalar()
    if found is None:  # other capitals are no other person; a database folds them each in its own way
        every = connection.execute(select(table.c.uid, table.c.name).order_by(table.c.name)).all()
        found = next((row.uid for row in every if same_name(row.name, name)), None)
    return str(found) if found is not None else _new(connection, table, name=name)


def _new(connection: Connection, table: Table, **values: Any) -> str:
    uid = new_uid()
    connection.execute(insert(table).values(uid=uid, **values))
    return uid


def _already(connection: Connection, visit: str, kept: Kept) -> Saved:
    last = connection.execute(
        select(t.version.c.uid, t.version.c.number, t.version.c.sha256)
        .where(t.version.c.visit == visit).order_by(t.version.c.number.desc())
    ).first()  # fmt: skip
    if last is not None and last.sha256 == _sha(kept.text) and _same_beside(connection, last.uid, kept.visit):
        return Saved(visit=visit, version=last.uid, number=last.number, new=False)
    raise BadInput([Problem(kept.visit.file, 0, "ST10", "a visit to this horse on this day is kept already, in other words.",
                            "`reasoner records correct` keeps a new version beside it; --part 2 is a second visit that day."),
                    ])  # fmt: skip


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
            put(place.files / _sha(data), data)
        except OSError as fault:
            why = (fault.strerror or "it cannot be written").lower()
            raise BadInput([Problem(name, 0, "ST06", f"it cannot be kept beside the records: {why}.")]) from None
        _new(
            connection, t.enclosed, version=version, kind="table", name=name, sha256=_sha(data), size=len(data),
            saved_at=saved_at,
        )  # fmt: skip


def _horse(connection: Connection, visit: Visit) -> str:
    name = plain(visit.horse_name)
    if not name:
        raise BadInput([Problem(visit.file, 0, "ST11", "the horse has no name in this file; a record is found by it.",
                                "Write horse: {name: ..}.")])  # fmt: skip
    yard = named(connection, t.yard, _text(visit, "yard"))
    born = next((n.written for n in visit.noted if n.key == "born"), "")
    there = t.horse.c.yard.is_(None) if yard is None else t.horse.c.yard == yard
    found = connection.execute(select(t.horse.c.uid, t.horse.c.name, t.horse.c.born).where(there)).all()
    rows = [row for row in found if row.name == name] or [row for row in found if same_name(row.name, name)]
    # A year left out is no other horse, as long as there is one only that it can be.
    fitting = [row for row in rows if not born or not row.born or row.born == born]
    if len(fitting) == 1:
        return str(fitting[0].uid)
    if len(fitting) > 1:
        raise BadInput([Problem(visit.file, 0, "ST11", f'there are {len(fitting)} horses called "{name}" in this yard.',
                                "Write born: and the year, so that they are told apart.")])  # fmt: skip
    owner = named(connection, t.owner, _text(visit, "owner"))
    return _new(connection, t.horse, name=name, yard=yard, owner=owner, born=born)


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
    uid = _new(
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
        connection.execute(
            insert(t.rulebook).values(stamp=kept.stamp, engine=kept.engine, saved_at=saved_at, archive=kept.archive)
        )


# -- what is told of a version, table by table ---------------------------------------------------------------------------


def told_of(visit: Visit, answer: Mapping[str, Any]) -> dict[str, list[dict[str, Any]]]:
    """The rows of each table that tells of a version: they follow from its words and its answer, and from nothing else."""
    leading = {(key["key"], key["side"]) for key in answer["leading"]}
    plan = answer["plan"]
    return {
        "touch": [_touch(touch) for touch in visit.touches],
        "noted": [_noted(noted) for noted in visit.noted],
        "outline": [row for outline in visit.outlines for row in _outline(outline)],
        "vets_word": [_vets_word(word) for word in visit.vets_words],
        "conclusion": [
            {
                "key": one["key"], "side": one["side"] or "", "kind": one["kind"], "certainty": one["certainty"],
                "band": one["band"], "leading": (one["key"], one["side"]) in leading, "words": one["words"],
            }
            for one in answer["conclusions"] if one["band"] != "none"
        ],
        "raised": [
            {"key": one["key"], "side": one["side"] or "", "place": one["place"] or "", "call": one["call"],
             "words": one["words"]}
            for one in answer["referral"]["concerns"]
        ],
        "step": [_step(step, visit.day) for step in plan["steps"]],
        "expectation": [row for step in plan["steps"] for row in _expected(step, visit.day)],
        "spoke": list(spoke(answer)),
        "answered": list(answered(answer)),
    }  # fmt: skip


def _touch(touch: Touch) -> dict[str, Any]:
    return {
        "place": touch.place, "side": touch.side or "", "time": touch.when, "soreness": _amount(touch.soreness),
        "responses": _list(touch.responses), "felt": _list(touch.felt), "depth": touch.depth, "touch": touch.touch,
        "refused": touch.refused, "not_examined": touch.not_examined, "quiet_list": touch.quiet_list, "line": touch.line,
        "note": touch.note,
    }  # fmt: skip


def _noted(noted: Noted) -> dict[str, Any]:
    value = noted.value
    if isinstance(value, DateSpan):
        shown = "never" if value.never else f"{value.first.isoformat()}/{value.last.isoformat()}"
    else:
        shown = _amount(value) or "" if isinstance(value, Decimal) else value
    return {
        "key": noted.key, "side": noted.side or "", "about": "/".join(noted.about or ()), "kind": noted.kind,
        "value": shown, "written": noted.written, "line": noted.line, "note": noted.note,
    }  # fmt: skip


def _outline(outline: Outline) -> list[dict[str, Any]]:
    return [
        {
            "of": outline.of, "plane": outline.plane, "station": outline.station, "side": side, "line": outline.line,
            "points": " ".join(f"{_amount(x)}/{_amount(y)}" for x, y in points),
        }
        for side, points in (("left", outline.left), ("right", outline.right)) if points
    ]  # fmt: skip


def _vets_word(word: VetsWord) -> dict[str, Any]:
    return {
        "who": word.who, "seen": word.seen.isoformat(), "until": word.until.isoformat() if word.until else None,
        "about": _list(word.about) or "", "allows": _list(word.allows) or "", "forbids": _list(word.forbids) or "",
        "line": word.line, "note": word.note,
    }  # fmt: skip


def _step(step: Mapping[str, Any], day: date) -> dict[str, Any]:
    days = step["recheck_days"]
    return {
        "key": step["key"], "side": step["side"] or "", "kind": step["kind"], "words": step["words"],
        "answers": " ".join(f"{a['key']}" for a in step["because"]),
        "recheck_on": (day + timedelta(days=days)).isoformat() if days is not None else None,
    }  # fmt: skip


def _expected(step: Mapping[str, Any], day: date) -> list[dict[str, Any]]:
    return [
        {
            "step": step["key"], "step_side": step["side"] or "", "place": one["place"], "side": one["side"] or "",
            "was": None if one["from"] is None else f"{one['from']:g}", "to": f"{one['to']:g}",
            "by": (day + timedelta(days=one["by_days"])).isoformat(),
        }
        for one in step["expects"]
    ]  # fmt: skip


def _amount(amount: Decimal | None) -> str | None:
    return None if amount is None else f"{amount.normalize():f}"


def _list(words: Sequence[str] | None) -> str | None:
    return None if words is None else " ".join(words)
