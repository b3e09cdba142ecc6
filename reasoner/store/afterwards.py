"""What people tell of a kept visit afterwards: what was really done, their own judgement, a countersignature.

In: an opened store, a visit or version of it, and what was told. Out: rows added, and rows read back, the latest of each.
Not here: whether a step or conclusion of that name was there, who may countersign (records/), wording.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import Connection, Select, Table, select

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.store import tables as t
from reasoner.store.fresh import new_uid, now_utc
from reasoner.store.opening import Store
from reasoner.store.reading import KnownVisit, horse_called, visits, withdrawn_from
from reasoner.store.sealing import add
from reasoner.store.standing import here

register({"ST22": "no such visit in the records"})


@frozen(kw_only=True)
class Done:
    """What was told of one step of a visit's plan; `answer` is one of rulebook.practice.ANSWERS."""

    visit: str
    step: str
    side: str
    answer: str
    because: str
    told_by: str
    told_on: date
    saved_at: str


@frozen(kw_only=True)
class Opinion:
    """A practitioner's own judgement of one conclusion of a visit, beside the tool's."""

    visit: str
    conclusion: str
    side: str
    agrees: bool
    because: str
    who: str
    saved_at: str


@frozen(kw_only=True)
class Signature:
    """A countersignature of one version: those bytes and no others."""

    version: str
    who: str
    saved_at: str


def visit_meant(
    connection: Connection, horse: str, *, yard: str = "", on: date | None = None, part: int | None = None, shown: str,
    withdrawn: bool = False,
) -> KnownVisit:  # fmt: skip
    """The visit to a horse on a day (the last where none is named); of those that count, or of those withdrawn. Raises BadInput
    (ST20 to ST22)."""
    known = horse_called(connection, horse, yard=yard, shown=shown)
    counting, out = visits(connection, horse=known.uid), withdrawn_from(connection, known.uid)
    every, others = (out, counting) if withdrawn else (counting, out)
    found = [v for v in every if (on is None or v.day == on) and (part is None or v.part == part)]
    if not found:
        days = ", ".join(dict.fromkeys(v.day.isoformat() for v in every)) or "none"
        kind = "withdrawn visit" if withdrawn else "visit"
        sentence, hint = f"no such {kind} to {known.name} is kept here.", f"Days kept: {days}."
        if any(v.day == on or on is None for v in others):
            hint += (
                " One that counts is of that day." if withdrawn else " One was withdrawn: `reasoner records show --withdrawn` "
                "shows it, and `reasoner records withdraw --undo` has it count again."
            )  # fmt: skip
        raise BadInput([Problem(shown, 0, "ST22", sentence, hint)])
    return found[-1]


# -- adding ------------------------------------------------------------------------------------------------------------


def add_done(
    store: Store, version: str, *, step: str, side: str, answer: str, because: str, by: str, on: date,
    moment: datetime | None = None,
) -> bool:  # fmt: skip
    """Keep what was told of a step; what was told earlier stays readable, and the latest counts. False where that is these very
    words, told of this version, and nothing was added."""
    return _add(store, t.done, ("step", "side"), moment, version=version, step=step, side=side, answer=answer, because=because,
                told_by=by, told_on=on.isoformat())  # fmt: skip


def add_opinion(
    store: Store, version: str, *, conclusion: str, side: str, agrees: bool, because: str, by: str,
    moment: datetime | None = None,
) -> bool:  # fmt: skip
    """Keep somebody's judgement of a conclusion; the latest of each person counts. False where that is these very words, of this
    version, and nothing was added."""
    return _add(store, t.opinion, ("conclusion", "side", "who"), moment, version=version, conclusion=conclusion, side=side,
                agrees=agrees, because=because, who=by)  # fmt: skip


def add_signature(store: Store, version: str, *, by: str, moment: datetime | None = None) -> None:
    """Keep a countersignature of a version."""
    _add(store, t.countersigned, ("who",), moment, version=version, who=by)


def _add(store: Store, table: Table, about: Sequence[str], moment: datetime | None, **values: Any) -> bool:
    """Add a row, unless the last one of its visit `about` the same is the same: whoever is not sure that it was kept says it
    twice."""
    saved_at = moment.astimezone(UTC).isoformat() if moment is not None else now_utc()
    with store.writing() as connection:
        visit = select(t.version.c.visit).where(t.version.c.uid == values["version"]).scalar_subquery()
        query = select(table).join(t.version, table.c.version == t.version.c.uid).where(t.version.c.visit == visit)
        query = query.where(*(table.c[key] == values[key] for key in about))
        last = (
            connection.execute(query.order_by(table.c.saved_at.desc(), table.c.uid.desc()).limit(1)).mappings().first()
        )
        if last is not None and all(last[key] == value for key, value in values.items()):
            return False
        add(connection, table, uid=new_uid(), saved_at=saved_at, **values)
    return True


# -- reading back ------------------------------------------------------------------------------------------------------


def done_of(connection: Connection, *visits: str, saved_until: str | None = None) -> tuple[Done, ...]:
    """What was told last of each step, of these visits or of all; told of an older version, it holds for the newest too.
    `saved_until`: only what was kept up to that moment."""
    every = [
        one for one in every_done_of(connection, *visits) if saved_until is None or one.saved_at <= saved_until
    ]  # fmt: skip
    return tuple({(one.visit, one.step, one.side): one for one in every}.values())


def every_done_of(connection: Connection, *visits: str) -> tuple[Done, ...]:
    """Everything that was ever told of the steps of these visits, or of all, the newest word last."""
    return tuple(
        Done(
            visit=row.visit, step=row.step, side=row.side, answer=row.answer, because=row.because, told_by=row.told_by,
            told_on=date.fromisoformat(row.told_on), saved_at=row.saved_at,
        )
        for row in connection.execute(_of_visits(t.done, *visits)).all()
    )  # fmt: skip


def answers_told(connection: Connection) -> dict[tuple[str, str, str], str]:
    """By visit, step and side the answer told last, of all visits: `done_of` for those who only count."""
    d = t.done.c
    query = (
        select(t.version.c.visit, d.step, d.side, d.answer).join(t.version, d.version == t.version.c.uid)
        .order_by(d.saved_at, d.uid)
    )  # fmt: skip
    return {(visit, step, side): answer for visit, step, side, answer in connection.execute(query).all()}


def opinions_of(connection: Connection, visit: str | None = None) -> tuple[Opinion, ...]:
    """The last judgement of each person on each conclusion, of one visit or of all."""
    every = every_opinion_of(connection, visit)
    return tuple({(one.visit, one.conclusion, one.side, one.who.casefold()): one for one in every}.values())


def every_opinion_of(connection: Connection, visit: str | None = None) -> tuple[Opinion, ...]:
    """Every judgement that was ever kept of one visit or of all, the newest word last."""
    return tuple(
        Opinion(
            visit=row.visit, conclusion=row.conclusion, side=row.side, agrees=row.agrees, because=row.because,
            who=row.who, saved_at=row.saved_at,
        )
        for row in connection.execute(_of_visits(t.opinion, *([] if visit is None else [visit]))).all()
    )  # fmt: skip


def signatures_of(connection: Connection, version: str) -> tuple[Signature, ...]:
    """Every countersignature of a version, oldest first."""
    rows = _signatures(connection.execute(select(t.countersigned).where(t.countersigned.c.version == version)).all())
    return tuple(sorted(rows, key=lambda one: one.saved_at))


def signatures_of_bytes(connection: Connection, text: bytes) -> tuple[Signature, ...]:
    """Every countersignature of a visit file of these very bytes, oldest first."""
    sha = hashlib.sha256(text).hexdigest()
    query = select(t.countersigned).join(t.version, t.countersigned.c.version == t.version.c.uid)
    return tuple(
        sorted(
            _signatures(connection.execute(query.where(t.version.c.sha256 == sha)).all()), key=lambda one: one.saved_at
        )
    )


def visit_of_bytes(connection: Connection, text: bytes) -> str | None:
    """The kept visit that was written in these very bytes, in any version; None where there is none that counts."""
    sha, now = hashlib.sha256(text).hexdigest(), here()
    query = select(t.version.c.visit).join(now, now.c.uid == t.version.c.visit).where(t.version.c.sha256 == sha)
    return connection.execute(query).scalars().first()


def _signatures(rows: Sequence[Any]) -> Iterable[Signature]:
    return (Signature(version=row.version, who=row.who, saved_at=row.saved_at) for row in rows)


def _of_visits(table: Table, *visits: str) -> Select[Any]:
    query = select(table, t.version.c.visit).join(t.version, table.c.version == t.version.c.uid)
    if visits:
        query = query.where(t.version.c.visit.in_(visits))
    return query.order_by(table.c.saved_at, table.c.uid)
