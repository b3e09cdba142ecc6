"""Which visits make pairs: two of one horse on one day, gathered by the two hands that wrote them.

In: visits, or the records. Out: `Gathered`: for each two hands their pairs of visits, and the visits that found no other.
Not here: reading files, laying a pair side by side (paired).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from itertools import combinations
from typing import TYPE_CHECKING

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.store.names import folded
from reasoner.teaching.paired import hand_of, horse_and_day
from reasoner.visit.model import Visit

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from reasoner.rulebook.vocabulary import Vocabulary
    from reasoner.store.history import Held
    from reasoner.store.place import Place
    from reasoner.store.reading import KnownVisit

register({"TE04": "no two visits to one horse on one day"})


@frozen(kw_only=True)
class Gathered:
    """Pairs of visits by the two hands (names folded, the first in the alphabet first), and visits without another."""

    pairs: Mapping[tuple[str, str], tuple[tuple[Visit, Visit], ...]]
    alone: tuple[Visit, ...]


def gathered(visits: Iterable[Visit], shown: str, looked_through: int | None = None) -> Gathered:
    """Every two visits of one horse and day among these. `shown` is where they were looked for, and `looked_through` how many
    horses and days, where these are not all. Raises BadInput (TE04)."""
    days: dict[tuple[str, str, str], list[Visit]] = {}
    for visit in visits:
        days.setdefault(horse_and_day(visit), []).append(visit)
    found: dict[tuple[str, str], list[tuple[Visit, Visit]]] = {}
    for same in days.values():
        for one, two in combinations(sorted(same, key=lambda v: (folded(hand_of(v)), v.file)), 2):
            found.setdefault((folded(hand_of(one)), folded(hand_of(two))), []).append((one, two))
    alone = tuple(visit for same in days.values() if len(same) == 1 for visit in same)
    return _checked(found, alone, len(days) if looked_through is None else looked_through, shown)


def across(ones: Sequence[Visit], twos: Sequence[Visit], shown: str) -> Gathered:
    """Every visit of the first with every one of the second of the same horse and day, first and second as given.

    Raises BadInput (TE04).
    """
    found: dict[tuple[str, str], list[tuple[Visit, Visit]]] = {}
    met: set[str] = set()
    for one in ones:
        for two in twos:
            if horse_and_day(one) == horse_and_day(two):
                found.setdefault((folded(hand_of(one)), folded(hand_of(two))), []).append((one, two))
                met |= {one.file, two.file}
    alone = tuple(visit for visit in (*ones, *twos) if visit.file not in met)
    return _checked(found, alone, len({horse_and_day(v) for v in (*ones, *twos)}), shown)


@frozen(kw_only=True)
class KeptTwice:
    """Visits of the records that share their horse and day with another, with the horse as it is called now; by each visit's file
    what is known of it and the visits before its day. `days` counts the horses and days that were looked through."""

    visits: tuple[Visit, ...]
    known: Mapping[str, KnownVisit]
    earlier: Mapping[str, tuple[Held, ...]]
    days: int


def kept_twice(connection: Connection, place: Place, words: Vocabulary, horse: str = "") -> KeptTwice:
    """The newest version of every visit that shares its horse and day with another: of one horse (its uid), or of all. Each is
    read from its bytes, tracings and all; one whose words no longer read comes back from its rows."""
    from reasoner.records.before import as_it_stands
    from reasoner.store.history import history
    from reasoner.store.reading import horse_called, visits

    days: dict[tuple[str, date], list[KnownVisit]] = {}
    for known in visits(connection, horse=horse or None):
        days.setdefault((known.horse, known.day), []).append(known)
    shared = [known for same in days.values() if len(same) > 1 for known in same]
    horses = {uid: horse_called(connection, uid) for uid in {known.horse for known in shared}}
    course = {uid: history(connection, visits(connection, horse=uid)) for uid in horses}
    found: dict[str, Held] = {}
    for held in history(connection, shared) if shared else ():
        part = held.known.part
        file = f"{held.known.name}, {held.known.day.isoformat()}{f', visit {part}' if part > 1 else ''}"
        name = file if file not in found else f"{file} ({held.known.uid[:6]})"
        found[name] = replace(held, visit=_whole(connection, place, held, words))
    return KeptTwice(
        visits=tuple(replace(as_it_stands(held, horses[held.known.horse]).visit, file=file) for file, held in found.items()),
        known={file: held.known for file, held in found.items()}, days=len(days),
        earlier={file: tuple(one for one in course[held.known.horse] if one.known.day < held.known.day)
                 for file, held in found.items()},
    )  # fmt: skip


def _whole(connection: Connection, place: Place, held: Held, words: Vocabulary) -> Visit:
    from reasoner.store.reading import beside_of, text_of
    from reasoner.visit.reading import visit_from_bytes

    version = held.known.version
    try:
        text = text_of(connection, version, shown=place.shown)
        return visit_from_bytes(text, held.visit.file, words, beside_of(connection, place, version))
    except BadInput:
        return held.visit


def _checked(
    found: Mapping[tuple[str, str], list[tuple[Visit, Visit]]], alone: tuple[Visit, ...], days: int, shown: str
) -> Gathered:
    if not found:
        said = f"no two visits to one horse on one day stand here ({days} horses and days were looked through)."
        hint = "A pair has the same horse, yard and day; each hand writes its name at `examined by`."
        raise BadInput([Problem(shown, 0, "TE04", said, hint)])
    return Gathered(pairs={hands: tuple(pairs) for hands, pairs in sorted(found.items())}, alone=alone)
