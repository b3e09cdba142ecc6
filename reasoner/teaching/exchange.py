"""What differs between two visit files, reading by reading, and a visit with some of the other's readings in place of its own.

In: two visits to one horse on one day. Out: `Differing` entries, and visits with any set of them exchanged.
Not here: judging, what an exchange moves (moved).

INVARIANT: with every difference exchanged, the first visit holds what the second does.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from reasoner.frozen import frozen
from reasoner.questions.changes import Spot, by_spot
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Noted, Touch, Visit

#: What no rule hears, or what says who wrote rather than what was found.
UNHEARD = ("examined_by", "checked_by", "graded_blind_beside")
#: Whole parts of a visit that are exchanged as one, and their names; what stands beside a tracing goes with it.
PARTS: Mapping[str, tuple[str, ...]] = {
    "tracings": ("outlines", "beside"), "word of the veterinarian": ("vets_words",), "work done": ("worked",),
}  # fmt: skip


@frozen(kw_only=True)
class Differing:
    """One thing the two files say otherwise. `group` is the region of a place, or the heading of an entry; `one` and `two` what
    each wrote, None where it wrote nothing; `line_one`, `line_two` where (0: nowhere); `points` how far two scores differ."""

    spot: Spot
    group: str
    part: str
    one: tuple[Touch | Noted, ...]
    two: tuple[Touch | Noted, ...]

    @property
    def points(self) -> float | None:
        """The difference of the scores that count before work, second less first; None where one has none."""
        ends = [_score(entries) for entries in (self.one, self.two)]
        return None if ends[0] is None or ends[1] is None else ends[1] - ends[0]

    @property
    def line_one(self) -> int:
        """Where the first file says it; 0: nowhere."""
        return self.one[0].line if self.one else 0

    @property
    def line_two(self) -> int:
        """Where the second file says it; 0: nowhere."""
        return self.two[0].line if self.two else 0


def differing(one: Visit, two: Visit, book: Rulebook) -> tuple[Differing, ...]:
    """Every place and entry that the two say otherwise, in walking order, then entries in the order written, then parts."""
    words = book.vocabulary
    touched, noted = ({**by_spot(visit.touches)} for visit in (one, two)), (by_spot(_heard(v)) for v in (one, two))
    (ta, tb), (na, nb) = touched, noted
    walk = {key: (place.walk, place.key) for key, place in words.places.items()}
    found: list[Differing] = []
    for spot in sorted({*ta, *tb}, key=lambda s: (walk.get(s[0], (0, s[0])), s[1])):
        place = words.places.get(spot[0])
        found += _where(spot, place.region if place else "", ta.get(spot, []), tb.get(spot, []))
    for spot in dict.fromkeys([*na, *nb]):
        entry = words.observations.get(spot[0])
        found += _where(spot, entry.section if entry else "", na.get(spot, []), nb.get(spot, []))
    found += [
        Differing(spot=(name, ""), group=name, part=name, one=(), two=())
        for name, fields in PARTS.items() if any(_plain(getattr(one, f)) != _plain(getattr(two, f)) for f in fields)
    ]  # fmt: skip
    return tuple(found)


def exchanged(visit: Visit, other: Visit, some: Iterable[Differing]) -> Visit:
    """The visit with what the other says in place of its own, for these differences; whichever of the two visits is first."""
    every = list(some)
    spots = {one.spot for one in every if not one.part}
    parts: dict[str, Any] = {
        field: getattr(other, field) for one in every if one.part for field in PARTS[one.part]
    }  # fmt: skip

    def of(mine: Sequence[Any], theirs: Sequence[Any]) -> tuple[Any, ...]:
        kept = [entry for entry in mine if _spot(entry) not in spots]
        return (*kept, *(entry for entry in theirs if _spot(entry) in spots))

    return replace(visit, touches=of(visit.touches, other.touches), noted=of(visit.noted, other.noted), **parts)


def _heard(visit: Visit) -> list[Noted]:
    return [noted for noted in visit.noted if noted.key not in UNHEARD]


def _where(spot: Spot, group: str, one: Sequence[Touch | Noted], two: Sequence[Touch | Noted]) -> Iterator[Differing]:
    if _plain(one) != _plain(two):
        yield Differing(spot=spot, group=group, part="", one=tuple(one), two=tuple(two))


def _plain(entries: Sequence[Any]) -> list[Any]:
    """Entries without where they stand, remarks, and how a 0 or a word came to be written."""
    return sorted((_bare(entry) for entry in entries), key=repr)


def _bare(entry: Any) -> Any:
    if isinstance(entry, Touch):
        return replace(entry, line=0, note="", quiet_list=False)
    if isinstance(entry, Noted):
        return replace(entry, line=0, note="", written="", file="")
    return replace(entry, line=0, note="") if hasattr(entry, "line") else entry


def _spot(entry: Touch | Noted) -> Spot:
    return (entry.place if isinstance(entry, Touch) else entry.key), entry.side or ""


def _score(entries: Sequence[Touch | Noted]) -> float | None:
    before = {t.when: t for t in entries if isinstance(t, Touch) and t.when != "after_work" and t.not_examined is None}
    touch = before.get("settled") or before.get("first")
    return None if touch is None or touch.soreness is None else float(touch.soreness)
