"""Move a kept visit to the right horse, withdraw it, or bring it back: each said by somebody, for a reason, in a row of its own.

In: an opened store, a visit, who says so and why. Out: where the visit counts from now on; what was kept stays as it is.
Not here: what counts (standing.py), choosing the visit (afterwards.visit_meant).

Everything that hangs on a visit goes with it by itself: its versions, files, answers told, judgements, countersignatures. What
was agreed hangs on a horse; it goes too where it was said on the day of the visit and no other visit of that horse is of that
day, or where no visit of that horse is left.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, func, select

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.store import tables as t
from reasoner.store.consents import Agreed, agreements
from reasoner.store.fresh import new_uid, now_utc
from reasoner.store.meant import fits
from reasoner.store.names import plain, same_name
from reasoner.store.naming import make_horse
from reasoner.store.opening import Store
from reasoner.store.reading import KnownHorse, KnownVisit, visit_of
from reasoner.store.sealing import add
from reasoner.store.standing import here
from reasoner.visit.dates import date_hint, parse_date

register(
    {
        "ST47": "a visit moved or withdrawn without a name or a reason",
        "ST48": "a visit moved to where it is",
        "ST52": "a new horse that cannot be one",
        "ST49": "a visit that was moved or withdrawn meanwhile",
    }
)


@frozen(kw_only=True)
class Placed:
    """Where a visit counts by one word of somebody's; `horse` and `yard` are a horse's name and the yard it was first kept at."""

    visit: str
    horse: str
    uid_of_horse: str
    yard: str
    part: int
    withdrawn: bool
    who: str
    why: str
    saved_at: str


@frozen(kw_only=True)
class Moved:
    """What was done: the visit before and after, whether it counts nowhere now, the agreements that went with it, and those of
    that day that stayed. `first` is the horse under whose name it was kept."""

    before: KnownVisit
    after: KnownVisit
    withdrawn: bool = False
    went: tuple[Agreed, ...] = ()
    stayed: tuple[Agreed, ...] = ()
    first: str = ""


def new_horse_for(known: Sequence[KnownHorse], name: str, yard: str, born: str, shown: str) -> KnownHorse:
    """A horse to be kept for the first time. Raises BadInput (ST52) where it has no name, or is kept already."""
    name, yard, born = plain(name), plain(yard), plain(born)
    if not name:
        raise BadInput([Problem("--to", 0, "ST52", "the new horse has no name.")])
    if born and isinstance(why := parse_date(born), str):
        raise BadInput(
            [Problem("--born", 0, "ST52", f"{why}; nothing was moved.", date_hint(born) or "The year is enough.")]
        )
    if any(same_name(one.name, name) and same_name(one.yard, yard) and fits(one, born) for one in known):
        raise BadInput([Problem(shown, 0, "ST52", f'"{name}" ({yard or "no yard written"}) is kept already; nothing was moved.',
                                "Leave --new-horse away.")])  # fmt: skip
    return KnownHorse(uid="", name=name, yard=yard, born=born, visits=0, last=None)


def move(
    store: Store, visit: KnownVisit, to: str, *, by: str, why: str, consent: bool = True, make: KnownHorse | None = None
) -> Moved:
    """Have a visit count at another horse only: that of the uid `to`, or one kept for the first time (`make`). Raises BadInput
    (ST47 to ST49)."""
    by, why = _said(by, why)
    with store.writing() as connection:
        now = _as_chosen(connection, visit, store)
        if now.horse == to:
            raise BadInput([Problem(store.place.shown, 0, "ST48", f"this visit is {now.name}'s already; nothing was moved.",
                                    "Name the horse it belongs to: --to HORSE.")])  # fmt: skip
        if make is not None:
            to = make_horse(connection, store.place.shown, make.name, make.yard, "", make.born)
        uid = _place(connection, visit.uid, to, withdrawn=False, wanted=1, by=by, why=why)
        belongs = _consents_of(connection, now)
        if consent:
            for one in belongs:
                _place_consent(connection, one, to, uid)
        went = agreements(connection, belongs)
        return Moved(
            before=now,
            after=visit_of(connection, visit.uid),
            went=went if consent else (),
            stayed=() if consent else went,
            first=first_of(connection, visit.uid),
        )


def withdraw(store: Store, visit: KnownVisit, *, by: str, why: str) -> Moved:
    """Have a visit count nowhere; it stays readable. Raises BadInput (ST47, ST49)."""
    by, why = _said(by, why)
    with store.writing() as connection:
        now = _as_chosen(connection, visit, store)
        _place(connection, visit.uid, now.horse, withdrawn=True, wanted=now.part, by=by, why=why)
    return Moved(before=now, after=now, withdrawn=True)


def bring_back(store: Store, visit: KnownVisit, *, by: str, why: str) -> Moved:
    """Have a withdrawn visit count again, at the horse it counted at last. Raises BadInput (ST47, ST49)."""
    by, why = _said(by, why)
    with store.writing() as connection:
        now = _as_chosen(connection, visit, store, withdrawn=True)
        _place(connection, visit.uid, now.horse, withdrawn=False, wanted=now.part, by=by, why=why)
        return Moved(before=now, after=visit_of(connection, visit.uid))


def placings(connection: Connection, *visits: str) -> tuple[Placed, ...]:
    """Everything that was said of where visits count (of all, where none are named), by visit, the last word of each last."""
    p = t.placed.c
    query = (
        select(t.placed, t.horse.c.name, t.yard.c.name.label("yard")).join(t.horse, p.horse == t.horse.c.uid)
        .outerjoin(t.yard, t.horse.c.yard == t.yard.c.uid).order_by(p.visit, p.number)
    )  # fmt: skip
    return tuple(_placed(row) for row in connection.execute(query.where(p.visit.in_(visits)) if visits else query))


def first_of(connection: Connection, visit: str) -> str:
    """The name of the horse under which a visit was kept."""
    query = select(t.horse.c.name).join(t.visit, t.visit.c.horse == t.horse.c.uid).where(t.visit.c.uid == visit)
    return str(connection.execute(query).scalar_one())


def gone_from(connection: Connection, horse: str) -> tuple[tuple[KnownVisit, Placed], ...]:
    """Every visit that was kept for a horse or counted there, and does not any more: as it is now, and the last word on it."""
    last = {one.visit: one for one in placings(connection)}
    were = {one.visit for one in placings(connection) if one.uid_of_horse == horse}
    were |= set(connection.execute(select(t.visit.c.uid).where(t.visit.c.horse == horse)).scalars()) & set(last)
    now = here()
    still = set(connection.execute(select(now.c.uid).where(now.c.horse == horse, now.c.uid.in_(were))).scalars())
    found = [(visit_of(connection, uid), last[uid]) for uid in were - still]
    return tuple(sorted(found, key=lambda one: (one[0].day, one[0].part, one[0].uid)))


def _placed(row: Any) -> Placed:
    return Placed(
        visit=row.visit, horse=row.name, uid_of_horse=row.horse, yard=row.yard or "", part=row.part,
        withdrawn=bool(row.withdrawn), who=row.who, why=row.why, saved_at=row.saved_at,
    )  # fmt: skip


def said_in_full(by: str, why: str) -> list[Problem]:
    """What is missing of who says so and why (ST47), each for itself; nothing where both were said."""
    return [
        Problem(option, 0, "ST47", f"{what} is missing; nothing was changed.",
                'Such as --by "Wren Aldous" --why "kept under the wrong horse".')
        for option, said, what in (("--by", by, "who says so"), ("--why", why, "why")) if not said.strip()
    ]  # fmt: skip


def _said(by: str, why: str) -> tuple[str, str]:
    if missing := said_in_full(by, why):
        raise BadInput(missing)
    return plain(by), why.strip()


def _as_chosen(connection: Connection, visit: KnownVisit, store: Store, *, withdrawn: bool = False) -> KnownVisit:
    """The visit as it is now that it is our turn to write; somebody may have been quicker. Raises BadInput (ST49)."""
    now = here(withdrawn=True)
    row = connection.execute(select(now.c.horse, now.c.withdrawn).where(now.c.uid == visit.uid)).one()
    if row.horse != visit.horse or bool(row.withdrawn) != withdrawn:
        raise BadInput([Problem(store.place.shown, 0, "ST49", "somebody moved or withdrew this visit a moment ago; nothing was "
                                "changed.", "Look at it with `reasoner records list` and say it again.")])  # fmt: skip
    return visit_of(connection, visit.uid)


def _place(
    connection: Connection, visit: str, horse: str, *, withdrawn: bool, wanted: int, by: str, why: str
) -> str:  # fmt: skip
    p, now = t.placed.c, here()
    last = connection.execute(select(func.max(p.number)).where(p.visit == visit)).scalar() or 0
    day = select(t.visit.c.day).where(t.visit.c.uid == visit).scalar_subquery()
    query = select(now.c.part).where(now.c.horse == horse, now.c.day == day, now.c.uid != visit)
    taken = set(connection.execute(query).scalars())
    part = wanted if withdrawn or wanted not in taken else min(n for n in range(1, len(taken) + 2) if n not in taken)
    uid = new_uid()
    add(connection, t.placed, uid=uid, visit=visit, number=last + 1, horse=horse, part=part, withdrawn=withdrawn, who=by,
        why=why, saved_at=now_utc())  # fmt: skip
    return uid


def _consents_of(connection: Connection, visit: KnownVisit) -> list[str]:
    """The agreements that belong to a visit, as its horse stood before it went."""
    from reasoner.store.consents import where_said

    said, cp = where_said(), t.consent_placed.c
    mine = select(t.placed.c.uid).where(t.placed.c.visit == visit.uid)
    query = select(said.c.uid).where(said.c.horse == visit.horse)
    kept_here = connection.execute(select(t.visit.c.horse).where(t.visit.c.uid == visit.uid)).scalar() == visit.horse
    if not kept_here:  # it was brought here: what came with it goes with it, and what was said of this horse stays
        query = query.where(said.c.uid.in_(select(cp.consent).where(cp.placed.in_(mine))))
        return list(connection.execute(query.order_by(said.c.uid)).scalars())
    now = here()
    others = (
        connection.execute(select(now.c.day).where(now.c.horse == visit.horse, now.c.uid != visit.uid)).scalars().all()
    )
    if others:
        query = query.where(said.c.on == visit.day.isoformat())
    if visit.day.isoformat() in others:
        return []
    return list(connection.execute(query.order_by(said.c.uid)).scalars())


def _place_consent(connection: Connection, consent: str, horse: str, placed: str) -> None:
    cp = t.consent_placed.c
    last = connection.execute(select(func.max(cp.number)).where(cp.consent == consent)).scalar() or 0
    add(connection, t.consent_placed, uid=new_uid(), consent=consent, number=last + 1, horse=horse, placed=placed)
