"""Which single differing reading moved which conclusion: both visits judged, and readings exchanged one by one and together.

In: two visits to one horse on one day, the rules. Out: a `Trace`: what the two answers differ in, and for each difference the
readings that move it.
Not here: what differs between answers (differences), sentences.

A reading moves a difference if the first answer, with that one reading taken from the second file, says what the second says.
Where no single reading does, the fewest found by leaving out what is not needed are named: none of them can be left out, though
another set might be smaller.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

from reasoner.consult import judge
from reasoner.differences import Change, changes_between
from reasoner.frozen import frozen
from reasoner.rules_cache import Ready
from reasoner.teaching.exchange import Differing, differing, exchanged
from reasoner.visit.model import Visit

if TYPE_CHECKING:
    from reasoner.consult import Answer

RUNS = 600  # how often a visit is judged anew at most: some twenty seconds
What = tuple[str, str, str]


@frozen(kw_only=True)
class Moved:
    """One difference between the answers, from the first to the second, and what moves it.

    `alone`: each of these readings by itself, taken from the second file into the first. `back`: each of these by itself, taken
    from the first file into the second, takes it away again. `groups`: regions or headings that move it as a whole, told where
    no reading does it alone. `together`: where none does alone, readings that do together, none of which can be left out; empty
    where `whole` is False, because the search was cut short.
    """

    change: Change
    alone: tuple[Differing, ...]
    back: tuple[Differing, ...]
    groups: tuple[str, ...]
    together: tuple[Differing, ...]
    whole: bool = True


@frozen(kw_only=True)
class Trace:
    """Both answers, every reading that differs, every difference of the answers with its movers, and how often was judged."""

    one: Answer
    two: Answer
    readings: tuple[Differing, ...]
    moved: tuple[Moved, ...]
    runs: int

    @property
    def idle(self) -> tuple[Differing, ...]:
        """Readings that differ and move nothing, alone or with others."""
        some = {id(r) for m in self.moved for r in (*m.alone, *m.back, *m.together)}
        return tuple(reading for reading in self.readings if id(reading) not in some)


def trace_of(
    one: Visit, two: Visit, ready: Ready, runs: int = RUNS, heard: Callable[[Visit], Visit] = lambda visit: visit
) -> Trace:
    """Judge both, and follow every difference of the answers to the readings behind it. `heard` is the visit with what earlier
    visits say of it, asked anew for every exchange: what they say may hang on today's readings."""
    first, second = judge(heard(one), ready), judge(heard(two), ready)
    readings = differing(one, two, ready.book)
    changes = changes_between(first, second)
    if not changes:
        return Trace(one=first, two=second, readings=readings, moved=(), runs=2)
    forth, back = _Way(first, second, ready, heard), _Way(second, first, ready, heard)
    alone = {n: forth.reaches((reading,), changes) for n, reading in enumerate(readings)}
    # The other way round only what moved something, unless something was moved by no single reading.
    searched = {_what(c) for c in changes} - {what for found in alone.values() for what in found}
    turned = [_turned(c) for c in changes]
    away = {n: back.reaches((r,), turned) for n, r in enumerate(readings) if alone[n] or searched}
    groups = {name: [r for r in readings if r.group == name] for name in dict.fromkeys(r.group for r in readings)}
    moved = []
    for change in changes:
        key = _what(change)
        single = tuple(r for n, r in enumerate(readings) if key in alone[n])
        backwards = tuple(r for n, r in enumerate(readings) if key in away.get(n, ()))
        whole, some, together = True, (), ()  # type: tuple[bool, tuple[str, ...], tuple[Differing, ...]]
        if not single:
            some = tuple(name for name, inside in groups.items() if key in forth.reaches(inside, [change]))
            whole, together = _fewest(forth, readings, groups, change, runs - back.runs)
        moved.append(Moved(change=change, alone=single, back=backwards, groups=some, together=together, whole=whole))
    return Trace(one=first, two=second, readings=readings, moved=tuple(moved), runs=forth.runs + back.runs + 2)


class _Way:
    """From one answer towards the other, with any set of readings exchanged; each set is judged once."""

    def __init__(self, here: Answer, there: Answer, ready: Ready, heard: Callable[[Visit], Visit]) -> None:
        self.here, self.there, self.ready, self.heard = here, there, ready, heard
        self.known: dict[frozenset[tuple[str, str, str]], dict[What, Change]] = {}
        self.runs = 0

    def reaches(self, some: Iterable[Differing], changes: Iterable[Change]) -> set[What]:
        """Which of these differences the visit shows in full once the readings are exchanged."""
        found = self._told(list(some))
        return {_what(c) for c in changes if _what(c) in found and found[_what(c)].after.value == c.after.value}

    def _told(self, some: Sequence[Differing]) -> dict[What, Change]:
        key = frozenset((*one.spot, one.part) for one in some)
        if key not in self.known:
            self.runs += 1
            visit = exchanged(self.here.visit, self.there.visit, some)
            self.known[key] = {_what(c): c for c in changes_between(self.here, judge(self.heard(visit), self.ready))}
        return self.known[key]


def _fewest(
    way: _Way, readings: Sequence[Differing], groups: dict[str, list[Differing]], change: Change, runs: int
) -> tuple[bool, tuple[Differing, ...]]:
    """(whether the search came to its end, readings none of which can be left out): whole groups are left out first."""
    key, kept = _what(change), list(readings)
    if key not in way.reaches(kept, [change]):
        return False, ()  # what no exchange of readings brings, such as what the records say
    for inside in (*groups.values(), *([reading] for reading in readings)):
        without = [reading for reading in kept if reading not in inside]
        if len(without) == len(kept):
            continue
        if way.runs >= runs:
            return False, ()
        if key in way.reaches(without, [change]):
            kept = without
    return True, tuple(kept)


def _what(change: Change) -> What:
    return change.kind, change.key, change.side


def _turned(change: Change) -> Change:
    return Change(change.kind, change.key, change.side, change.name, change.after, change.before)
