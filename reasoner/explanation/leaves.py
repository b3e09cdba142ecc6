"""From the leaves of a premise to the findings they stand for, and to what was not checked.

In: a `Record`, the facts and the rulebook. Out: `Finding` and `Unchecked` for columns and literals.
Not here: which rules there are, whole conclusions.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from reasoner.explanation.model import Finding, Key, Unchecked
from reasoner.facts.from_visit import SETTLED
from reasoner.facts.table import Facts
from reasoner.inference.record import Record
from reasoner.inference.slots import split
from reasoner.rulebook.rulebook import Rulebook

ATOMS = ("ramp", "limit", "member")
_HOW_PLACE = "Press this place and write a number, or that it was quiet."


class Leaves:
    """Looks up what stands below a literal of one record."""

    def __init__(self, record: Record, facts: Facts, book: Rulebook) -> None:
        self.record = record
        self.facts = facts
        self.vocabulary = book.vocabulary

    def speaking(self, literal: int) -> Iterator[int]:
        """The literals of the leaves that carry this literal's support: of an any-of only the parts that hold."""
        entry = self.record.entry(literal >> 1)
        if entry[0] in ("all", "any", "kth"):
            turned = literal & 1
            for part in entry[2]:
                if self.record.support(part ^ turned) > 0.0:
                    yield from self.speaking(part ^ turned)
        elif entry[0] == "lessened":
            yield (entry[1] << 1) | (literal & 1)
        else:
            yield literal

    def circumstances(self, literal: int) -> tuple[set[str], set[int]]:
        """(names at work, literals unknown): the circumstances that discount, or might, a leaf below this literal."""
        at_work: set[str] = set()
        unknown: set[int] = set()
        stack = [literal >> 1]
        while stack:
            entry = self.record.entry(stack.pop())
            if entry[0] in ("all", "any", "kth"):
                stack += [part >> 1 for part in entry[2]]
            elif entry[0] == "lessened" and self.record.pair(entry[1] << 1) != (0.0, 0.0):
                for name, _, _, circumstance in entry[2]:
                    pair = self.record.pair(circumstance)
                    if pair[0] > 0.0:
                        at_work.add(name)
                    elif pair == (0.0, 0.0):
                        unknown.add(circumstance)
        return at_work, unknown

    def findings(self, literals: Iterable[int]) -> tuple[Finding, ...]:
        """What was recorded for these leaf literals, each place or observation once, in the order of the visit."""
        found: dict[tuple[str, str], Finding] = {}
        for literal in literals:
            for name in self.slots(literal >> 1):
                if name in self.facts.values:
                    finding = self.finding(name, self.record.support(literal))
                    found.setdefault((finding.where, finding.side), finding)
        return tuple(sorted(found.values(), key=lambda f: (f.line, f.where, f.side)))

    def via(self, literals: Iterable[int]) -> tuple[Key, ...]:
        """The earlier conclusions among these leaf literals."""
        out = []
        for literal in literals:
            entry = self.record.entry(literal >> 1)
            if entry[0] in ("conclusion", "certainty"):
                out.append((entry[1], entry[2]))
        return tuple(sorted(set(out)))

    def slots(self, column: int) -> list[str]:
        """The slots an atom reads; none for anything else."""
        entry = self.record.entry(column)
        if entry[0] not in ATOMS:
            return []
        return list(dict.fromkeys(n for n in entry[1:3] if isinstance(n, str) and n))

    def finding(self, name: str, degree: float) -> Finding:
        """The finding in a slot."""
        key, side, quality = split(name)
        origin = self.facts.origins[name]
        if quality == "unsettled" and self.facts.values[name] > 0.0:
            key, side = SETTLED, ""  # read place by place, and written once for the whole visit
        return Finding(key, self.name(key), side, origin.written, origin.file, origin.line, degree)

    def name(self, key: str) -> str:
        """A place's or observation's name for people."""
        if key in self.vocabulary.places:
            return self.vocabulary.places[key].name
        return self.vocabulary.observations[key].name

    def unchecked(self, literal: int, tells: tuple[str, ...] = ()) -> Iterator[Unchecked]:
        """What is not recorded below this literal."""
        for column in self.record.unknown_leaves(literal):
            for name in self.slots(column):
                if name not in self.facts.values and not self._from_records(name):
                    yield self._unchecked(name, tells)

    def _from_records(self, name: str) -> bool:
        seen = self.vocabulary.observations.get(split(name)[0])
        return seen is not None and seen.from_records

    def _unchecked(self, name: str, tells: tuple[str, ...]) -> Unchecked:
        key, side, quality = split(name)
        if quality == "unsettled" and SETTLED in self.vocabulary.observations:
            key, side = SETTLED, ""  # read place by place, and asked once for the whole visit
        place = self.vocabulary.places.get(key)
        if place is not None:
            how = place.hand or _HOW_PLACE
            return Unchecked(key, place.name, side, "", how, place.safety, place.walk, tells)
        seen = self.vocabulary.observations[key]
        return Unchecked(key, seen.name, side, seen.question, seen.how, seen.safety, seen.walk, tells)


def merged(unchecked: Iterable[Unchecked]) -> tuple[Unchecked, ...]:
    """Each thing once, with all the rules it tells, in walking order."""
    found: dict[tuple[str, str], Unchecked] = {}
    for one in unchecked:
        key = (one.where, one.side)
        tells = tuple(sorted({*one.tells, *(found[key].tells if key in found else ())}))
        found[key] = Unchecked(one.where, one.name, one.side, one.question, one.how, one.safety, one.walk, tells)
    return tuple(sorted(found.values(), key=lambda u: (u.walk, u.where, u.side)))
