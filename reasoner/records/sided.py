"""What each horse showed of each side on one visit, as answers to many small questions.

In: versions of visits, the words and scales of the rules. Out: for each version, question by question: left, right or neither.
Not here: which horses are laid side by side (yard.py), counting.

A question is an observation whose word is a side ("saddle comes to"), one that is looked at on each side and found on one, a
place felt on both sides, or a conclusion that has sides.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Table, select

from reasoner.frozen import frozen
from reasoner.records.cases import BEFORE_WORK
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store import tables as t

OBSERVED, FELT, CONCLUDED = "observed", "felt", "concluded"
NEITHER = ""
SIDES = ("left", "right")
#: How many versions one query names: well below what any database takes.
_AT_ONCE = 500
Question = tuple[str, str]
"""What kind of question it is (OBSERVED, FELT or CONCLUDED), and the observation, place or conclusion."""


@frozen(kw_only=True)
class Seen:
    """The answer to one question on one visit: `side` is left, right or neither (""), `words` what was written or said, `line`
    where in the visit file (0: it was worked out)."""

    side: str
    words: str
    line: int


@frozen(kw_only=True)
class Sided:
    """Every answer of some versions, and the conclusions each had in any band but the lowest."""

    seen: Mapping[str, Mapping[Question, Seen]]
    concluded: Mapping[str, Mapping[str, Seen]]


def sided(connection: Connection, versions: Sequence[str], book: Rulebook) -> Sided:
    """The answers of these versions."""
    seen: dict[str, dict[Question, Seen]] = {version: {} for version in versions}
    concluded: dict[str, dict[str, Seen]] = {version: {} for version in versions}
    for version, key, found in _observed(connection, versions, book):
        seen[version][OBSERVED, key] = found
    for version, place, found in _felt(connection, versions, book):
        seen[version][FELT, place] = found
    for version, key, sides in _concluded(connection, versions, book):
        concluded[version][key] = Seen(side=NEITHER, words="; ".join(sides.values()), line=0)
        known = [side for side in sides if side]
        if known:
            side = known[0] if len(known) == 1 else NEITHER
            seen[version][CONCLUDED, key] = Seen(side=side, words="; ".join(sides.values()), line=0)
    return Sided(seen=seen, concluded=concluded)


def _observed(connection: Connection, versions: Sequence[str], book: Rulebook) -> Iterator[tuple[str, str, Seen]]:
    known = book.vocabulary.observations
    of_a_side = {key for key, one in known.items() if one.kind == "side" and one.sides == "none"}
    notable = {
        key: {word.key for word in one.readings if word.notable}
        for key, one in known.items() if one.sides == "each" and any(word.notable for word in one.readings)
    }  # fmt: skip
    c = t.noted.c
    columns = (c.version, c.key, c.side, c.value, c.written, c.line)
    pairs: dict[tuple[str, str], dict[str, Any]] = {}
    for row in _rows(
        connection, t.noted, columns, versions, c.key.in_(sorted(of_a_side | notable.keys())), c.about == ""
    ):
        if row.key in of_a_side and not row.side:
            side = row.value if row.value in SIDES else NEITHER
            yield row.version, row.key, Seen(side=side, words=row.written or row.value, line=row.line)
        elif row.side:
            pairs.setdefault((row.version, row.key), {})[row.side] = row
    for (version, key), found in pairs.items():
        if len(found) == len(SIDES):
            asks = [side for side in SIDES if found[side].value in notable[key]]
            words = ", ".join(f"{side} {found[side].written or found[side].value}" for side in SIDES)
            line = found[asks[0]].line if asks else found[SIDES[0]].line
            yield version, key, Seen(side=asks[0] if len(asks) == 1 else NEITHER, words=words, line=line)


def _felt(connection: Connection, versions: Sequence[str], book: Rulebook) -> Iterator[tuple[str, str, Seen]]:
    """Places with a number on both sides; sorer on one by more than the scale calls no difference."""
    least = min(ramp.none_at for ramp in book.scales.ramps.values() if ramp.of == "difference")
    c = t.touch.c
    columns = (c.version, c.place, c.side, c.time, c.soreness, c.line)
    held: dict[tuple[str, str], dict[str, tuple[float, int]]] = {}
    asked = (c.side != "", c.soreness.is_not(None), c.time.in_(BEFORE_WORK))
    for version, place, side, time, soreness, line in _rows(connection, t.touch, columns, versions, *asked):
        both = held.setdefault((version, place), {})
        if side not in both or time == BEFORE_WORK[0]:
            both[side] = (float(soreness), line)
    for (version, place), both in held.items():
        if len(both) == len(SIDES):
            (left, line), (right, _) = (both[side] for side in SIDES)
            side = NEITHER if abs(left - right) <= least else "left" if left > right else "right"
            yield version, place, Seen(side=side, words=f"left {left:g}, right {right:g}", line=line)


def _concluded(
    connection: Connection, versions: Sequence[str], book: Rulebook
) -> Iterator[tuple[str, str, dict[str, str]]]:
    """(version, conclusion, side to words) of every conclusion above the lowest band."""
    bands = list(book.scales.bands)[1:]
    c = t.conclusion.c
    held: dict[tuple[str, str], dict[str, str]] = {}
    for row in _rows(connection, t.conclusion, (c.version, c.key, c.side, c.words), versions, c.band.in_(bands)):
        held.setdefault((row.version, row.key), {})[row.side] = row.words
    for (version, key), sides in held.items():
        yield version, key, dict(sorted(sides.items()))


def _rows(
    connection: Connection, table: Table, columns: Iterable[Any], versions: Sequence[str], *asked: Any
) -> Iterator[Any]:
    wanted = list(columns)
    for start in range(0, len(versions), _AT_ONCE):
        some = versions[start : start + _AT_ONCE]
        query = select(*wanted).where(table.c.version.in_(some), *asked).order_by(table.c.version, table.c.at)
        yield from connection.execute(query).all()
