"""Where each visit counts, and where each horse stood on a day: what was said last of both.

In: a connection. Out: a query of the visits as they count now; the yards and owners of horses by day.
Not here: saying it (placing.py, stays.py). Whoever looks for visits looks through `here`, so that what was moved counts at its
new horse only and what was withdrawn counts nowhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextvars import ContextVar
from datetime import date
from typing import Any

from sqlalchemy import Connection, Subquery, exists, false, func, select

from reasoner.frozen import frozen
from reasoner.store import tables as t
from reasoner.store.names import same_name

#: The uids of visits that whoever reads just now may not see yet (held_back.py fills it in); they count nowhere meanwhile.
HELD_BACK: ContextVar[frozenset[str]] = ContextVar("HELD_BACK", default=frozenset())


def here(*, withdrawn: bool = False) -> Subquery:
    """(uid, horse, day, part, withdrawn) of every visit that counts; with `withdrawn` those that do not count as well. What is
    held back from whoever reads is not among them."""
    last, v = _last_placed(), t.visit.c
    out = func.coalesce(last.c.withdrawn, false())
    query = select(
        v.uid, func.coalesce(last.c.horse, v.horse).label("horse"), v.day,
        func.coalesce(last.c.part, v.told_part, v.part).label("part"), out.label("withdrawn"),
    ).select_from(t.visit.outerjoin(last, last.c.visit == v.uid))  # fmt: skip
    if held := HELD_BACK.get():
        query = query.where(v.uid.not_in(sorted(held)))
    return (query if withdrawn else query.where(out == false())).subquery("here")


def _last_placed() -> Subquery:
    p, later = t.placed.alias("p"), t.placed.alias("later")
    after = exists(select(later.c.uid).where(later.c.visit == p.c.visit, later.c.number > p.c.number))
    return select(p.c.visit, p.c.horse, p.c.part, p.c.withdrawn).where(~after).subquery("last_placed")


@frozen(kw_only=True)
class Stay:
    """What somebody said of a horse from a day on; a yard or an owner of which nothing was said is empty."""

    yard: str
    owner: str
    since: date
    who: str
    why: str
    saved_at: str


@frozen
class Stays:
    """What was said of each horse, by its uid, in the order in which it holds: by day, of one day in the order said."""

    by_horse: Mapping[str, tuple[Stay, ...]]

    def yard(self, horse: str, first: str, day: date | None = None) -> str:
        """Where a horse stood on a day (None: now); `first` is the yard it was first kept at."""
        return next((s.yard for s in reversed(self._until(horse, day)) if s.yard), first)

    def owner(self, horse: str, first: str, day: date | None = None) -> str:
        """Whose it was on a day."""
        return next((s.owner for s in reversed(self._until(horse, day)) if s.owner), first)

    def passed_on(self, horse: str, first: str, day: date) -> date | None:
        """The day after `day` on which the horse became another's; None where it is still whose it was on `day`, or nobody wrote
        whose that was."""
        then = self.owner(horse, first, day)
        if not then or same_name(then, self.owner(horse, first)):
            return None
        after = (s.since for s in self.by_horse[horse] if s.owner and s.since > day)
        return next(since for since in after if not same_name(self.owner(horse, first, since), then))

    def yards(self, horse: str, first: str) -> tuple[str, ...]:
        """Every yard it ever stood at, the first one first."""
        return tuple(dict.fromkeys([first, *(s.yard for s in self.by_horse.get(horse, ()) if s.yard)]))

    def _until(self, horse: str, day: date | None) -> list[Stay]:
        return [s for s in self.by_horse.get(horse, ()) if day is None or s.since <= day]


def stays_of(connection: Connection) -> Stays:
    """What was said of every horse."""
    s = t.stay.c
    rows = connection.execute(
        select(s.horse, t.yard.c.name.label("yard"), t.owner.c.name.label("owner"), s.since, s.who, s.why, s.saved_at)
        .select_from(t.stay).outerjoin(t.yard, s.yard == t.yard.c.uid).outerjoin(t.owner, s.owner == t.owner.c.uid)
        .order_by(s.since, s.number)
    )  # fmt: skip
    held: dict[str, list[Stay]] = {}
    for row in rows:
        held.setdefault(row.horse, []).append(_stay(row))
    return Stays({horse: tuple(found) for horse, found in held.items()})


def _stay(row: Any) -> Stay:
    return Stay(
        yard=row.yard or "", owner=row.owner or "", since=date.fromisoformat(row.since), who=row.who, why=row.why,
        saved_at=row.saved_at,
    )  # fmt: skip
