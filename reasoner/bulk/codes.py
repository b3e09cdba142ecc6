"""Each distinct reading once: what it writes, as a small number, and what that number stands for in every slot.

In: entries of the reader. Out: `Codes`: cells (what can be written once in a visit), and tables from code to value.
Not here: rows of tables (fill), the reading itself (rows), the meaning of a value (facts).

INVARIANT: every value comes from `facts_of`, asked of a visit that holds the reading alone; readings of one place at several
times, and of one thing on several legs, are asked together. Only two things reach across: the day of the visit, from which
days are counted, and whether the horse had settled.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from reasoner.bulk.rows import AFTER, FIRST, SETTLED, Entry
from reasoner.facts.from_visit import SETTLED as UNDER_THE_HAND
from reasoner.facts.from_visit import Words, facts_of
from reasoner.frozen import frozen
from reasoner.inference.program import Floats, Ints
from reasoner.inference.slots import split
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.model import Noted, Touch, Visit
from reasoner.visit.steps import STEPS

TIMES = (FIRST, SETTLED, AFTER)
QUIET_CELL = len(TIMES)
LEGS = tuple((f"{limb}_step", side) for limb in ("fore", "hind") for side in ("left", "right"))
#: Days are counted back from the day of the visit; a table holds the day that is so many days before this one.
REFERENCE = date.max
DAYS = ("days_least", "days_most")
UNSETTLED = "unsettled"
_NOTHING: Floats = np.zeros(0)
SIDES: dict[str, tuple[str, ...]] = {"each": ("left", "right"), "midline": ("",), "none": ("",)}


class Domain:
    """The readings one kind of thing can have: all places share one, each entry has its own. Code 0: nothing is written."""

    def __init__(self, words: Words, states: Sequence[str] = ()) -> None:
        self.words, self.states = words, states
        self._codes: dict[tuple[Entry, ...], int] = {}
        self._entries: list[tuple[Entry, ...]] = [()]
        self._values: list[dict[str, float]] = [{}]
        self._unsettled: list[list[float]] = [[float("nan")] * (1 + len(states))]
        self._tables: dict[str, Floats] = {}
        self._together: dict[tuple[int, ...], int] = {}

    def code(self, entries: Iterable[Entry]) -> int:
        """The number of these entries, which are of one place or thing. Raises BadInput where they contradict each other."""
        bare = tuple(_bare(entry) for entry in entries)
        known = self._codes.get(bare)
        if known is None:
            known = self._codes[bare] = len(self._values)
            self._entries.append(bare)
            self._values.append(self._facts(bare, ()))
            settled = (Noted(key=UNDER_THE_HAND, value=word) for word in self.states)
            given = [self._facts(bare, (noted,)) for noted in settled]
            self._unsettled.append([f.get(UNSETTLED, float("nan")) for f in (self._values[-1], *given)])
        return known

    @property
    def size(self) -> int:
        """How many codes there are so far, 0 among them."""
        return len(self._values)

    def together(self, codes: tuple[int, ...]) -> int:
        """The number of several readings of one thing, each at its own time or of its own leg."""
        known = self._together.get(codes)
        if known is None:
            known = self._together[codes] = self.code(entry for code in codes for entry in self._entries[code])
        return known

    def _facts(self, entries: tuple[Entry, ...], more: tuple[Noted, ...]) -> dict[str, float]:
        visit = Visit(
            file="", day=REFERENCE, touches=tuple(e for e in entries if isinstance(e, Touch)),
            noted=(*(e for e in entries if isinstance(e, Noted)), *more),
        )  # fmt: skip
        values = facts_of(visit, self.words).values
        apart = {UNDER_THE_HAND} if more else set()
        return {split(name)[2]: value for name, value in values.items() if split(name)[0] not in apart}

    def table(self, quality: str) -> Floats:
        """The value of each code, NaN where it writes none; for days, the day itself as an ordinal, never being -inf."""
        known = self._tables.get(quality, _NOTHING)
        if len(known) < self.size:
            values = np.array([v.get(quality, np.nan) for v in self._values[len(known) :]])
            new = REFERENCE.toordinal() - values if quality in DAYS else values
            known = self._tables[quality] = np.concatenate([known, new])
        return known

    def unsettled(self) -> Floats:
        """Whether each code was read before the horse had settled, by state of the visit: shape (codes, states + 1)."""
        known = self._tables.get(UNSETTLED, _NOTHING)
        if len(known) < self.size:
            known = self._tables[UNSETTLED] = np.array(self._unsettled)
        return known


@frozen
class Group:
    """A place or entry on one side: its cells begin at `cell` and count `cells`; `slots` are (row of the readings, quality);
    `dated`: what stands there is a date, which must not lie after the day of the visit."""

    domain: int
    cell: int
    cells: int
    slots: tuple[tuple[int, str], ...]
    dated: bool = False


class Codes:
    """Every cell of a vocabulary, and the domains of what may stand in them. Domain 0 is that of all places."""

    def __init__(self, vocabulary: Vocabulary, words: Words, slots: Sequence[str]) -> None:
        self.vocabulary = vocabulary
        self.states = tuple(words.get(UNDER_THE_HAND, ()))
        self.domains = [Domain(words, self.states)]
        self.domain_of: dict[str, int] = dict.fromkeys(vocabulary.places, 0)
        self.groups: list[Group] = []
        self.group_of: dict[tuple[str, str], int] = {}
        rows: dict[tuple[str, str], list[tuple[int, str]]] = {}
        for row, name in enumerate(slots):
            key, side, quality = split(name)
            rows.setdefault((key, side), []).append((row, quality))
        cell = 0
        for place in vocabulary.places.values():
            cell = self._add(place.key, SIDES[place.sides], 0, cell, QUIET_CELL + 1, rows)
        for one in vocabulary.observations.values():
            self.domain_of[one.key] = len(self.domains)
            self.domains.append(Domain(words))
            cells = 1 + len(LEGS) if one.section == STEPS and one.sides == "none" else 1
            cell = self._add(one.key, SIDES[one.sides], len(self.domains) - 1, cell, cells, rows, one.kind == "date")
        self.cells = cell
        self.others = [row for spot, found in rows.items() if spot not in self.group_of for row, _ in found]
        self.settled_cell = (
            self.groups[self.group_of[UNDER_THE_HAND, ""]].cell if (UNDER_THE_HAND, "") in self.group_of else -1
        )

    def _add(
        self, key: str, sides: tuple[str, ...], domain: int, cell: int, cells: int,
        rows: dict[tuple[str, str], list[tuple[int, str]]], dated: bool = False,
    ) -> int:  # fmt: skip
        for side in sides:
            self.group_of[key, side] = len(self.groups)
            self.groups.append(Group(domain, cell, cells, tuple(rows.get((key, side), ())), dated))
            cell += cells
        return cell

    def settled_state(self) -> Ints:
        """From the code of "settled under the hand" to the state of the visit: 0 not said, else which word."""
        if self.settled_cell < 0:
            return np.zeros(1, dtype=np.int64)
        bits = self.domains[self.domain_of[UNDER_THE_HAND]].table("value")
        return np.array([0 if b != b else int(b).bit_length() for b in bits.tolist()], dtype=np.int64)


def cell_in_group(entry: Entry) -> int:
    """Which of its group's cells an entry stands in."""
    if isinstance(entry, Touch):
        return QUIET_CELL if entry.quiet_list else TIMES.index(entry.when)
    return 1 + LEGS.index(entry.about) if entry.about else 0


def same_side(entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """The entries of one side; those of the other side say the same."""
    return tuple(e for e in entries if e.side == entries[0].side)


def contradicts(cells: Sequence[int]) -> bool:
    """Whether what is said of all legs stands beside what is said of one."""
    return len(cells) > 1 and 0 in cells


def _bare(entry: Entry) -> Entry:
    """The entry without where it stands: only what it says."""
    if isinstance(entry, Touch):
        return replace(entry, place="", side=None, line=0, note="")
    about = None if entry.about is None else ("", entry.about[1])
    return replace(entry, side=None, line=0, note="", written="", about=about)
