"""What was agreed about a horse: by whom, from when, for how long.

In: an opened store, a horse, what was said. Out: rows, and what stands on a day.
Not here: what follows from it. Nothing said is taken back: the newest word stands, the older ones stay readable.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from sqlalchemy import Connection, Subquery, exists, func, select

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.store import tables as t
from reasoner.store.fresh import new_uid, now_utc
from reasoner.store.names import folded
from reasoner.store.opening import Store
from reasoner.store.reading import KnownHorse
from reasoner.store.sealing import add
from reasoner.store.standing import stays_of

register({"ST38": "an agreement that cannot be one"})

WHAT = {
    "owner agreed": "the owner agrees to the work",
    "veterinary practice": "the veterinary practice that looks after this horse",
    "veterinarian aware": "a veterinarian knows of the work",
    "report may go to": "somebody whom a report may go to; each name for itself",
}
"""What can be agreed, and what it means."""
OWNER_AGREED, MAY_GO_TO = "owner agreed", "report may go to"
#: What is an owner's word and no other owner's; which practice looks after the horse is so whoever owns it.
OF_THE_OWNER = (OWNER_AGREED, MAY_GO_TO)
#: Of these each name has a word of its own; of the others the newest word replaces whoever said the older one.
BY_NAME = (MAY_GO_TO,)


@frozen(kw_only=True)
class Agreed:
    """One thing agreed or refused. `who`: who said so, or whom it names; `until` the last day it holds; `another_since`: from
    which day on the horse is another owner's than when it was said."""

    what: str
    given: bool
    who: str
    on: date
    until: date | None
    note: str
    another_since: date | None = None

    def holds(self, day: date) -> bool:
        """Whether it still holds on a day."""
        return (self.until is None or day <= self.until) and (self.another_since is None or day < self.another_since)


def agree(store: Store, horse: KnownHorse, agreed: Agreed) -> bool:
    """Keep what was agreed or refused; False where these very words were the last already, and nothing was added. Raises BadInput
    (ST38)."""
    known = _what(agreed.what)
    who = " ".join(agreed.who.split())
    if not who:
        raise BadInput([Problem("--who", 0, "ST38", "a name was expected: who said so, or whom it names.")])
    if agreed.until is not None and agreed.until < agreed.on:
        raise BadInput([Problem("--until", 0, "ST38", f"{agreed.until.isoformat()} is before {agreed.on.isoformat()}, "
                                "the day it was said.", "Write the last day on which it holds.")])  # fmt: skip
    words = replace(agreed, what=known, who=who, note=agreed.note.strip(), another_since=None)
    with store.writing() as connection:
        before = [one for one in said_of(connection, horse.uid) if _about(one) == _about(words)]
        if before and replace(before[-1], another_since=None) == words:
            return False
        add(
            connection, t.consent, uid=new_uid(), horse=horse.uid, what=known, given=agreed.given, who=who,
            on=agreed.on.isoformat(), until=agreed.until.isoformat() if agreed.until else None, note=words.note,
            saved_at=now_utc(),
        )  # fmt: skip
    return True


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
        newest.setdefault(row.horse, {})[_about(row)] = row
    order, whose = {what: n for n, what in enumerate(WHAT)}, _Whose(connection)
    return {
        uid: tuple(
            _agreed(row, whose)
            for _, row in sorted(rows.items(), key=lambda one: (order.get(one[0][0], 99), one[0][1]))
        )
        for uid, rows in newest.items()
    }


def said_of(connection: Connection, horse: str) -> tuple[Agreed, ...]:
    """Everything that was ever said about a horse, the newest word last."""
    said = where_said()
    query = select(said).where(said.c.horse == horse).order_by(said.c.on, said.c.saved_at, said.c.uid)
    whose = _Whose(connection)
    return tuple(_agreed(row, whose) for row in connection.execute(query))


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
    said, whose = where_said(), _Whose(connection)
    query = select(said).where(said.c.uid.in_(uids)).order_by(said.c.on, said.c.saved_at, said.c.uid)
    return tuple(_agreed(row, whose) for row in connection.execute(query))


def _what(text: str) -> str:
    word = " ".join(text.split()).casefold()
    if word in WHAT:
        return word
    hint = near_hint(text, WHAT) or f"Known: {', '.join(WHAT)}."
    raise BadInput([Problem("--what", 0, "ST38", f'"{text}" is nothing that is agreed about a horse.', hint)])


def _about(said: Any) -> tuple[str, str]:
    """Which word one of agreement is: a later one about the same stands in its place."""
    return said.what, folded(said.who) if said.what in BY_NAME else ""


class _Whose:
    """Since when each horse is another owner's than on some day."""

    def __init__(self, connection: Connection) -> None:
        self.stays = stays_of(connection)
        query = select(t.horse.c.uid, t.owner.c.name).join(t.owner, t.horse.c.owner == t.owner.c.uid)
        changed = [uid for uid, some in self.stays.by_horse.items() if any(one.owner for one in some)]
        rows = connection.execute(query.where(t.horse.c.uid.in_(changed))).all() if changed else ()
        self.first = {row.uid: row.name for row in rows}

    def another_since(self, horse: str, day: date) -> date | None:
        return self.stays.passed_on(horse, self.first.get(horse, ""), day)


def _agreed(row: Any, whose: _Whose) -> Agreed:
    on, of_the_owner = date.fromisoformat(row.on), row.given and row.what in OF_THE_OWNER
    return Agreed(
        what=row.what, given=row.given, who=row.who, on=on,
        until=date.fromisoformat(row.until) if row.until else None, note=row.note,
        another_since=whose.another_since(row.horse, on) if of_the_owner else None,
    )  # fmt: skip
