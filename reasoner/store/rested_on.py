"""On which visits a kept answer rested that count otherwise by now: withdrawn since, moved, brought back, or corrected.

In: a connection and a horse. Out: a `Rested` for each such pair of visits.
Not here: saying it, what the answer would be now. A kept answer stays as it was given; this tells which were given with others.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any, Literal

from sqlalchemy import Connection, func, or_, select

from reasoner.frozen import frozen
from reasoner.store import tables as t
from reasoner.store.placing import Placed, placings
from reasoner.store.standing import HELD_BACK

What = Literal["withdrawn", "moved_away", "came", "corrected"]


@frozen(kw_only=True)
class Rested:
    """The answer to the visit of `day` was given when the one of `of_day` counted, did not count, or read otherwise: it was
    withdrawn or moved away since, it came since (moved here or brought back), or it was corrected; `who` and `why` say so."""

    day: date
    part: int
    of_day: date
    of_part: int
    what: What
    who: str
    why: str


@frozen(kw_only=True)
class _Visit:
    """A visit that ever counted at the horse: its versions as (saved_at, saved_by, why), and every word on where it counts."""

    day: str
    horse: str
    part: int
    versions: tuple[tuple[str, str, str], ...]
    placed: tuple[Placed, ...]

    def at(self, moment: str | None) -> tuple[str, int, bool]:
        """(horse, number of its day, whether it counts) at a moment, or now."""
        if moment is not None and self.versions[0][0] > moment:
            return self.horse, self.part, False
        said = [one for one in self.placed if moment is None or one.saved_at <= moment]
        return (said[-1].uid_of_horse, said[-1].part, not said[-1].withdrawn) if said else (self.horse, self.part, True)

    def after(self, moment: str) -> Placed | None:
        """The last word on where it counts that was said after a moment."""
        return next((one for one in reversed(self.placed) if one.saved_at > moment), None)


def rested_on(connection: Connection, horse: str) -> tuple[Rested, ...]:
    """Every visit to the horse whose newest answer was given with other earlier visits than count now, by day. A visit that was
    kept only after the answer is not among them."""
    every = _every(connection, horse)
    found: list[Rested] = []
    for one in every:
        where, part, counts = one.at(None)
        if counts and where == horse:
            found += _differing(one, (one.day, part), horse, every)
    return tuple(sorted(found, key=lambda pair: (pair.day, pair.part, pair.of_day, pair.of_part)))


def _differing(one: _Visit, now: tuple[str, int], horse: str, every: Sequence[_Visit]) -> Iterator[Rested]:
    judged = one.versions[-1][0]
    for other in every:
        if other is one or other.versions[0][0] > judged:
            continue
        (was_at, was_part, was), (is_at, is_part, is_) = other.at(judged), other.at(None)
        counted = was and was_at == horse and (other.day, was_part) < now
        counts = is_ and is_at == horse and (other.day, is_part) < now
        what: What | None = None
        if counted and not counts:
            what = "withdrawn" if not is_ else "moved_away"
        elif counts and not counted:
            what = "came"
        elif counts and other.versions[-1][0] > judged:
            what = "corrected"
        if what is None:
            continue
        word = other.after(judged)
        _, by, because = other.versions[-1]
        who, why = (word.who, word.why) if word is not None and what != "corrected" else (by, because)
        yield Rested(
            day=date.fromisoformat(one.day), part=now[1], of_day=date.fromisoformat(other.day), of_part=is_part, what=what,
            who=who, why=why,
        )  # fmt: skip


def _every(connection: Connection, horse: str) -> list[_Visit]:
    p, v, w = t.placed.c, t.visit.c, t.version.c
    query = select(v.uid, v.day, v.horse, func.coalesce(v.told_part, v.part).label("part")).where(
        or_(v.horse == horse, v.uid.in_(select(p.visit).where(p.horse == horse))),
        v.uid.not_in(sorted(HELD_BACK.get())),  # withdrawn ones count here, so that `here` cannot leave them out
    )
    rows = connection.execute(query.order_by(v.day, v.uid)).all()
    uids = [row.uid for row in rows]
    versions: dict[str, list[Any]] = {}
    kept = select(w.visit, w.saved_at, w.saved_by, w.why).where(w.visit.in_(uids)).order_by(w.visit, w.number)
    for row in connection.execute(kept):
        versions.setdefault(row.visit, []).append((row.saved_at, row.saved_by, row.why))
    placed: dict[str, list[Placed]] = {}
    for one in placings(connection, *uids) if uids else ():
        placed.setdefault(one.visit, []).append(one)
    return [
        _Visit(day=row.day, horse=row.horse, part=row.part, versions=tuple(versions[row.uid]),
               placed=tuple(placed.get(row.uid, ())))
        for row in rows
    ]  # fmt: skip
