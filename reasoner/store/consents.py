"""What was agreed about a horse: by whom, from when, for how long.

In: an opened store, a horse, what was said. Out: rows, and what stands on a day.
Not here: what follows from it. Nothing said is taken back: the newest word stands, the older ones stay readable.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from sqlalchemy import Connection, Subquery, exists, func, select

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.store import tables as t
from reasoner.store.fresh import new_uid, now_utc
from reasoner.store.opening import Store
from reasoner.store.reading import KnownHorse
from reasoner.store.sealing import add

register({"ST38": "an agreement that cannot be one"})

WHAT = {
    "owner agreed": "the owner agrees to the work",
    "veterinary practice": "the veterinary practice that looks after this horse",
    "veterinarian aware": "a veterinarian knows of the work",
    "report may go to": "somebody whom a report may go to; each name for itself",
}
"""What can be agreed, and what it means."""
OWNER_AGREED, MAY_GO_TO = "owner agreed", "report may go to"
#: Of these each name has a word of its own; of the others the newest word replaces whoever said the older one.
BY_NAME = (MAY_GO_TO,)


@frozen(kw_only=True)
class Agreed:
    """One thing agreed or refused. `who`: who said so, or whom it names; `until` the last day it holds."""

    what: str
    given: bool
    who: str
    on: date
    until: date | None
    note: str

    def holds(self, day: date) -> bool:
        """Whether it still holds on a day."""
        return self.until is None or day <= self.until


def agree(store: Store, horse: KnownHorse, agreed: Agreed) -> None:
    """Keep what was agreed or refused. Raises BadInput (ST38)."""
    known = _what(agreed.what)
    who = " ".join(agreed.who.split())
    if not who:
        raise BadInput([Problem("--who", 0, "ST38", "a name was expected: who said so, or whom it names.")])
    if agreed.until is not None and agreed.until < agreed.on:
        raise BadInput([Problem("--until", 0, "ST38", f"{agreed.until.isoformat()} is before {agreed.on.isoformat()}, "
                                "the day it was said.", "Write the last day on which it holds.")])  # fmt: skip
    with store.writing() as connection:
        add(
            connection, t.consent, uid=new_uid(), horse=horse.uid, what=known, given=agreed.given, who=who,
            on=agreed.on.isoformat(), until=agreed.until.isoformat() if agreed.until else None, note=agreed.note.strip(),
            saved_at=now_utc(),
        )  # fmt: skip


def standing(
    connection: Connection, horse: str | None = None, *, day: date | None = None
) -> dict[str, tuple[Agreed, ...]]:
    """What stands, by horse (one, or all that have something said): the newest word of each kind, in the order of WHAT.

    With `day` what stands on that day: a refusal counts as soon as it is kept, a consent from the day it was given.
    """
    said = where_said()
    query = select(said).order_by(said.c.on, said.c.saved_at, said.c.uid)
    newest: dict[str, dict[tuple[str, str], Any]] = {}
    for row in connection.execute(query if horse is None else query.where(said.c.horse == horse)):
        if day is not None and row.given and date.fromisoformat(row.on) > day:
            continue
        key = (row.what, row.who.casefold() if row.what in BY_NAME else "")
        newest.setdefault(row.horse, {})[key] = row
    order = {what: n for n, what in enumerate(WHAT)}
    return {
        uid: tuple(
            _agreed(row) for _, row in sorted(rows.items(), key=lambda one: (order.get(one[0][0], 99), one[0][1]))
        )
        for uid, rows in newest.items()
    }


def said_of(connection: Connection, horse: str) -> tuple[Agreed, ...]:
    """Everything that was ever said about a horse, the newest word last."""
    said = where_said()
    query = select(said).where(said.c.horse == horse).order_by(said.c.on, said.c.saved_at, said.c.uid)
    return tuple(map(_agreed, connection.execute(query)))


def where_said() -> Subquery:
    """Every agreement, with the horse of which it stands now: one that went with a moved visit stands of that visit's horse."""
    p, later, c = t.consent_placed.alias("p"), t.consent_placed.alias("later"), t.consent.c
    after = exists(select(later.c.uid).where(later.c.consent == p.c.consent, later.c.number > p.c.number))
    last = select(p.c.consent, p.c.horse).where(~after).subquery("last_said")
    told = [column for column in c if column.name != "horse"]
    return (
        select(func.coalesce(last.c.horse, c.horse).label("horse"), *told)
        .select_from(t.consent.outerjoin(last, last.c.consent == c.uid)).subquery("said")
    )  # fmt: skip


def agreements(connection: Connection, uids: Sequence[str]) -> tuple[Agreed, ...]:
    """These agreements, in the order said."""
    c = t.consent.c
    query = select(t.consent).where(c.uid.in_(uids)).order_by(c.on, c.saved_at, c.uid)
    return tuple(_agreed(row) for row in connection.execute(query))


def _what(text: str) -> str:
    word = " ".join(text.split()).casefold()
    if word in WHAT:
        return word
    hint = near_hint(text, WHAT) or f"Known: {', '.join(WHAT)}."
    raise BadInput([Problem("--what", 0, "ST38", f'"{text}" is nothing that is agreed about a horse.', hint)])


def _agreed(row: Any) -> Agreed:
    return Agreed(
        what=row.what, given=row.given, who=row.who, on=date.fromisoformat(row.on),
        until=date.fromisoformat(row.until) if row.until else None, note=row.note,
    )  # fmt: skip
