"""Say where a horse stands, or whose it is, from a day on.

In: an opened store, a horse, what was said. Out: a row more; the yard's view of an earlier day stays what it was.
Not here: what holds on a day (standing.py).
"""

from __future__ import annotations

from datetime import date

from sqlalchemy import Connection, select

from reasoner.problems import BadInput, Problem, register
from reasoner.store import tables as t
from reasoner.store.names import plain, same_name
from reasoner.store.naming import add_stay
from reasoner.store.opening import Store
from reasoner.store.reading import KnownHorse
from reasoner.store.standing import stays_of

register({"ST50": "where a horse stands, said in a way that cannot be kept"})


def stands(
    store: Store, horse: KnownHorse, *, yard: str, owner: str, since: date, today: date, who: str, why: str
) -> bool:
    """Keep it; False where it was so already on that day and nothing was added. Raises BadInput (ST50)."""
    yard, owner, who = plain(yard), plain(owner), plain(who)
    if not yard and not owner:
        raise BadInput([Problem("--moved-to", 0, "ST50", "where it stands, or whose it is, is missing.",
                                "Write --moved-to YARD, --owner NAME, or both.")])  # fmt: skip
    if not who:
        raise BadInput([Problem("--by", 0, "ST50", "a name was expected: who says so.")])
    if since > today:
        raise BadInput([Problem("--since", 0, "ST50", f"{since.isoformat()} is still to come (today is {today.isoformat()}).",
                                "Say it once it is so.")])  # fmt: skip
    with store.writing() as connection:
        known = stays_of(connection)
        whose = known.owner(horse.uid, _first_owner(connection, horse.uid), since)
        same_yard = not yard or same_name(known.yard(horse.uid, horse.first, since), yard)
        if same_yard and (not owner or same_name(whose, owner)):
            return False
        add_stay(connection, horse.uid, yard=yard, owner=owner, since=since, who=who, why=why.strip(), moment=None)
    return True


def _first_owner(connection: Connection, horse: str) -> str:
    query = select(t.owner.c.name).join(t.horse, t.horse.c.owner == t.owner.c.uid).where(t.horse.c.uid == horse)
    return connection.execute(query).scalar() or ""
