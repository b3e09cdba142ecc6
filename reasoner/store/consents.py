"""What was agreed about a horse: by whom, from when, for how long.

In: an opened store, a horse, what was said. Out: rows, and what stands on a day.
Not here: what follows from it. Nothing said is taken back: the newest word stands, the older ones stay readable.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy import Connection, insert, select

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.store import tables as t
from reasoner.store.opening import Store
from reasoner.store.reading import KnownHorse
from reasoner.store.saving import new_uid, now_utc

register({"ST38": "an agreement that cannot be one"})

WHAT = {
    "owner agreed": "the owner agrees to the work",
    "veterinary practice": "the veterinary practice that looks after this horse",
    "veterinarian aware": "a veterinarian knows of the work",
    "report may go to": "somebody whom a report may go to; each name for itself",
}
"""What can be agreed, and what it means."""
#: Of these each name has a word of its own; of the others the newest word replaces whoever said the older one.
BY_NAME = ("report may go to",)


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
        connection.execute(
            insert(t.consent).values(
                uid=new_uid(), horse=horse.uid, what=known, given=agreed.given, who=who, on=agreed.on.isoformat(),
                until=agreed.until.isoformat() if agreed.until else None, note=agreed.note.strip(), saved_at=now_utc(),
            )
        )  # fmt: skip


def standing(connection: Connection, horse: str | None = None) -> dict[str, tuple[Agreed, ...]]:
    """What stands, by horse (one, or all that have something said): the newest word of each kind, in the order of WHAT."""
    query = select(t.consent).order_by(t.consent.c.on, t.consent.c.saved_at, t.consent.c.uid)
    newest: dict[str, dict[tuple[str, str], Any]] = {}
    for row in connection.execute(query if horse is None else query.where(t.consent.c.horse == horse)):
        key = (row.what, row.who.casefold() if row.what in BY_NAME else "")
        newest.setdefault(row.horse, {})[key] = row
    order = {what: n for n, what in enumerate(WHAT)}
    return {
        uid: tuple(
            _agreed(row) for _, row in sorted(rows.items(), key=lambda one: (order.get(one[0][0], 99), one[0][1]))
        )
        for uid, rows in newest.items()
    }


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
