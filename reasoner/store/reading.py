"""Read the records back: horses, their visits, one version whole.

In: an opened `Store` and what to look for. Out: rows as frozen records.
Not here: courses over time, comparing, wording.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import zlib
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from sqlalchemy import Connection, Select, Subquery, func, select

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.store import tables as t
from reasoner.store.enclosed_bytes import bytes_of
from reasoner.store.names import folded, plain, same_name
from reasoner.store.place import Place
from reasoner.store.standing import Stays, here, stays_of

register(
    {
        "ST20": "no horse of that name in the records",
        "ST21": "several horses of that name",
        "ST22": "no such visit in the records",
        "ST23": "a record that does not match its checksum",
    }
)


@frozen(kw_only=True)
class KnownHorse:
    """A horse of the records. `visits` counts them, `last` is the day of the latest; `yard` and `owner` are those of now, `first`
    the yard it was first kept at and `yards` every one it ever stood at, in order."""

    uid: str
    name: str
    yard: str
    born: str
    visits: int
    last: date | None
    owner: str = ""
    first: str = ""
    yards: tuple[str, ...] = ()


@frozen(kw_only=True)
class KnownVisit:
    """The newest version of one visit; `number` counts its versions, `yard` is where its horse stood that day. What was not
    written is empty."""

    uid: str
    version: str
    horse: str
    name: str
    yard: str
    day: date
    part: int
    number: int
    examiner: str
    checked_by: str
    saddle: str
    rider: str
    level: str
    rulebook: str


def newest() -> Subquery:
    """(visit, number of its newest version)."""
    return (
        select(t.version.c.visit, func.max(t.version.c.number).label("number")).group_by(t.version.c.visit).subquery()
    )


def horses(connection: Connection) -> tuple[KnownHorse, ...]:
    """Every horse, by name."""
    now, stays = here(), stays_of(connection)
    rows = connection.execute(
        select(t.horse.c.uid, t.horse.c.name, t.yard.c.name.label("yard"), t.owner.c.name.label("owner"), t.horse.c.born,
               func.count(now.c.uid).label("visits"), func.max(now.c.day).label("last"))
        .select_from(t.horse).outerjoin(t.yard, t.horse.c.yard == t.yard.c.uid)
        .outerjoin(t.owner, t.horse.c.owner == t.owner.c.uid).outerjoin(now, now.c.horse == t.horse.c.uid)
        .group_by(t.horse.c.uid, t.horse.c.name, t.yard.c.name, t.owner.c.name, t.horse.c.born)
        .order_by(t.horse.c.name, t.yard.c.name, t.horse.c.born)
    )  # fmt: skip
    return tuple(
        KnownHorse(
            uid=row.uid, name=row.name, yard=stays.yard(row.uid, row.yard or ""), born=row.born, visits=row.visits,
            last=date.fromisoformat(row.last) if row.last else None, owner=stays.owner(row.uid, row.owner or ""),
            first=row.yard or "", yards=stays.yards(row.uid, row.yard or ""),
        )
        for row in rows
    )  # fmt: skip


def horse_called(connection: Connection, name: str, *, yard: str = "", shown: str = "records") -> KnownHorse:
    """The one horse of this name (and yard, where given), of this name and year ("Bramble 2017"), or of this uid. Raises BadInput
    (ST20, ST21)."""
    every = horses(connection)
    found = [h for h in every if h.uid == name or folded(name) in (folded(h.name), folded(f"{h.name} {h.born}"))]
    found = found or [h for h in every if folded(name) == folded(f"{h.name} {h.born[:4]}")]
    named = found
    if yard:  # where it stands now, else where it ever stood
        found = [h for h in found if same_name(h.yard, yard)] or [
            h for h in found if any(same_name(one, yard) for one in h.yards)
        ]
    if len(found) > 1:  # one whose visits have all been moved or withdrawn stands in nobody's way
        found = [h for h in found if h.visits] or found
    if len(found) > 1:  # records of an older version may hold two that differ in capitals alone
        found = [h for h in found if h.name == plain(name)] or found
    if len(found) == 1:
        return found[0]
    if not found:
        hint = near_hint(name, sorted({h.name for h in every})) or "`reasoner records list` names them all."
        if named:
            yards = ", ".join(sorted({h.yard or "no yard written" for h in named}))
            hint = f"Horses of that name: {yards}."
        where = f' at "{yard}"' if yard else ""
        raise BadInput([Problem(shown, 0, "ST20", f'no horse called "{name}"{where} is kept here.', hint)])
    ways = "; ".join(f"{h.name}, {h.yard or 'no yard written'}, born {h.born or 'not written'}" for h in found)
    apart = len({folded(h.yard) for h in found}) == len(found)
    years = sorted(f'"{h.name} {h.born}"' for h in found if h.born)
    hint = "Say which with --yard." if apart or not years else f"Say which by the year as well: {' or '.join(years)}."
    raise BadInput([Problem(shown, 0, "ST21", f'several horses are called "{name}": {ways}.', hint)])


def visits(
    connection: Connection, *, horse: str | None = None, since: date | None = None, until: date | None = None
) -> tuple[KnownVisit, ...]:
    """The newest version of every visit, of one horse or of all, by day."""
    now = here()
    query = _visits(now)
    if horse is not None:
        query = query.where(now.c.horse == horse)
    if since is not None:
        query = query.where(now.c.day >= since.isoformat())
    if until is not None:
        query = query.where(now.c.day <= until.isoformat())
    stays = stays_of(connection)
    return tuple(_visit(row, stays) for row in connection.execute(query))


def withdrawn_from(connection: Connection, horse: str) -> tuple[KnownVisit, ...]:
    """Every withdrawn visit of a horse, by day."""
    now = here(withdrawn=True)
    query = _visits(now).where(now.c.horse == horse, now.c.withdrawn)
    stays = stays_of(connection)
    return tuple(_visit(row, stays) for row in connection.execute(query))


def visit_of(connection: Connection, uid: str, *, shown: str = "records") -> KnownVisit:
    """One visit, withdrawn or not. Raises BadInput (ST22)."""
    now = here(withdrawn=True)
    row = connection.execute(_visits(now).where(now.c.uid == uid)).first()
    if row is None:
        raise BadInput([Problem(shown, 0, "ST22", f'no visit "{uid}" is kept here.', "`reasoner records list HORSE`.")])
    return _visit(row, stays_of(connection))


def _visits(now: Subquery) -> Select[Any]:
    last, checked = newest(), t.examiner.alias("checked")
    return (
        select(
            now.c.uid, now.c.day, now.c.part, t.version.c.uid.label("version"), t.version.c.number,
            t.version.c.level, t.version.c.rulebook, t.horse.c.uid.label("horse"), t.horse.c.name,
            t.yard.c.name.label("yard"), t.examiner.c.name.label("examiner"), checked.c.name.label("checked_by"),
            t.saddle.c.name.label("saddle"), t.rider.c.name.label("rider"),
        )
        .select_from(now).join(t.horse, now.c.horse == t.horse.c.uid).join(last, last.c.visit == now.c.uid)
        .join(t.version, (t.version.c.visit == now.c.uid) & (t.version.c.number == last.c.number))
        .outerjoin(t.yard, t.horse.c.yard == t.yard.c.uid).outerjoin(t.examiner, t.version.c.examiner == t.examiner.c.uid)
        .outerjoin(checked, t.version.c.checked_by == checked.c.uid)
        .outerjoin(t.saddle, t.version.c.saddle == t.saddle.c.uid)
        .outerjoin(t.rider, t.version.c.rider == t.rider.c.uid)
        .order_by(now.c.day, t.horse.c.name, now.c.part, now.c.uid)
    )  # fmt: skip


def _visit(row: Any, stays: Stays) -> KnownVisit:
    uid, day, part, version, number, level, rulebook, horse, name, *texts = row  # in the order of _visits
    yard, examiner, checked_by, saddle, rider = (text or "" for text in texts)
    on = date.fromisoformat(day)
    return KnownVisit(
        uid=uid, version=version, horse=horse, name=name, day=on, part=part, number=number, level=level, rulebook=rulebook,
        yard=stays.yard(horse, yard, on), examiner=examiner, checked_by=checked_by, saddle=saddle, rider=rider,
    )  # fmt: skip


def text_of(connection: Connection, version: str, *, shown: str = "records") -> bytes:
    """The very bytes of a version's visit file. Raises BadInput (ST22, ST23)."""
    row = connection.execute(select(t.version.c.text, t.version.c.sha256).where(t.version.c.uid == version)).first()
    if row is None:
        raise _no_version(version, shown)
    return _checked(bytes(row.text), row.sha256, version, shown)


def beside_of(connection: Connection, place: Place, version: str) -> Mapping[str, bytes]:
    """The tables kept with a version, by the name its visit file calls each; one that is missing or changed is left out, and
    the reading of the visit says so."""
    query = select(t.enclosed.c.name, t.enclosed.c.sha256).where(
        t.enclosed.c.version == version, t.enclosed.c.kind == "table"
    )
    found = {}
    for name, sha in connection.execute(query).all():
        with contextlib.suppress(OSError):
            data = bytes_of(connection, place, sha)
            if hashlib.sha256(data).hexdigest() == sha:
                found[name] = data
    return found


def answer_of(connection: Connection, version: str, *, shown: str = "records") -> Mapping[str, Any]:
    """The answer that was given to a version then. Raises BadInput (ST22, ST23)."""
    row = connection.execute(
        select(t.version.c.answer, t.version.c.answer_sha256).where(t.version.c.uid == version)
    ).first()
    if row is None:
        raise _no_version(version, shown)
    data = zlib.decompress(_checked(bytes(row.answer), row.answer_sha256, version, shown))
    found: Mapping[str, Any] = json.loads(data)
    return found


def versions_of(connection: Connection, visit: str) -> Sequence[Any]:
    """(uid, number, saved_at, saved_by, why, rulebook) of every version of a visit, oldest first."""
    v = t.version.c
    query = select(v.uid, v.number, v.saved_at, v.saved_by, v.why, v.rulebook).where(v.visit == visit)
    return connection.execute(query.order_by(v.number)).all()


def _no_version(version: str, shown: str) -> BadInput:
    return BadInput([Problem(shown, 0, "ST22", f'no version "{version}" is kept here.')])


def _checked(data: bytes, sha: str, version: str, shown: str) -> bytes:
    if hashlib.sha256(data).hexdigest() != sha:
        raise BadInput([Problem(shown, 0, "ST23", f"version {version} does not match its checksum.",
                                "Restore a backup to another name and compare: `reasoner records check`.")])  # fmt: skip
    return data
