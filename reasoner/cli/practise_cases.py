"""Which case `reasoner practise` begins with, and the record it leans on.

In: options of the command. Out: a `Case`, a `Record`.
Not here: making cases, keeping records (teaching).
"""

from __future__ import annotations

import random
from datetime import datetime
from pathlib import Path

from reasoner.problems import BadInput, Problem
from reasoner.rules_cache import Ready
from reasoner.teaching.making import Case
from reasoner.teaching.practice_record import Record, record_from


def record_of(place: Path | None) -> Record:
    """The record of a file; an empty one where there is no such file yet. Raises BadInput (TE55)."""
    if place is None or not place.exists():
        return Record()
    from reasoner.rulebook.strict_yaml import read_bytes

    return record_from(read_bytes(place), str(place))


def kept_case_for(rules: Ready, store_at: str, horse: str, chance: random.Random) -> Case:
    """A visit kept in the records, without its names. Raises BadInput (of the records; TE56)."""
    from reasoner.cli.records.common import opened
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called
    from reasoner.teaching.unnamed import kept_case

    place = place_of(store_at)
    with opened(place).reading() as connection:
        known = horse_called(connection, horse, shown=place.shown).uid if horse else ""
        return kept_case(connection, known, rules.book, chance, place)


def case_for(
    rules: Ready, record: Record, visit: Path | None, difficulty: str, chance: random.Random, at: datetime
) -> Case:
    """The visit named, or one of a folder by chance, without its names; else a case made from what the record asks for. Raises
    BadInput."""
    if visit is not None:
        from reasoner.rulebook.strict_yaml import read_bytes
        from reasoner.teaching.unnamed import case_from

        file = _one_of(visit, chance) if visit.is_dir() else visit
        return case_from(read_bytes(file), str(file), rules.book, "visit")
    from reasoner.teaching.next_case import made_case

    return made_case(rules, record, difficulty, chance, at)


def _one_of(folder: Path, chance: random.Random) -> Path:
    files = sorted(folder.glob("*.yaml"))
    if not files:
        raise BadInput([Problem(str(folder), 0, "TE56", "no visit file (*.yaml) lies in this folder.")])
    return files[int(chance.random() * len(files))]
