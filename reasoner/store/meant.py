"""Which kept horse a visit file means: by its name, the yard where it stood that day, and its year of birth.

In: what a file says of its horse. Out: every kept horse that fits.
Not here: horses that are merely alike (records/newcomers.py), horses that a person names on the command line (reading.py).
"""

from __future__ import annotations

from datetime import date

from sqlalchemy import Connection, select

from reasoner.frozen import frozen
from reasoner.store import tables as t
from reasoner.store.names import same_name
from reasoner.store.reading import KnownHorse, horses
from reasoner.store.standing import here, stays_of


@frozen(kw_only=True)
class Meant:
    """What a file says of its horse, without blanks too many; `sha256` is that of the file's bytes ("" where not asked)."""

    name: str
    yard: str
    born: str
    day: date
    sha256: str = ""


def horse_meant(connection: Connection, meant: Meant) -> list[KnownHorse]:
    """Every kept horse of this name that stood at this yard that day and may be of this year; written in the same capitals, where
    there is one. Where there is none, the horse of which these very words are kept."""
    stays = stays_of(connection)
    every = [horse for horse in horses(connection) if same_name(horse.name, meant.name)]
    there = [horse for horse in every if same_name(stays.yard(horse.uid, horse.first, meant.day), meant.yard)]
    there = [horse for horse in there if horse.name == meant.name] or there
    fitting = [horse for horse in there if fits(horse, meant.born)]
    if meant.born:  # two of one year are told apart by what is written the same
        fitting = [horse for horse in fitting if horse.born == meant.born] or fitting
    if fitting or not meant.sha256:
        return fitting
    now = here(withdrawn=True)
    query = (
        select(now.c.horse).join(t.version, t.version.c.visit == now.c.uid).where(t.version.c.sha256 == meant.sha256)
    )
    kept = set(connection.execute(query).scalars())
    return [horse for horse in every if horse.uid in kept]


def fits(horse: KnownHorse, born: str) -> bool:
    """Whether a horse may be born then; what nobody wrote says nothing, and a year holds every day in it."""
    return horse.born.startswith(born) or born.startswith(horse.born)


def is_of(connection: Connection, meant: Meant, horse: str) -> bool:
    """Whether a file's words are of this very horse: its name, a yard where it ever stood (or none), a year that fits."""
    known = next((one for one in horses(connection) if one.uid == horse), None)
    if known is None or not same_name(known.name, meant.name) or not fits(known, meant.born):
        return False
    return any(same_name(yard, meant.yard) for yard in ("", *known.yards))
