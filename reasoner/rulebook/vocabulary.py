"""The only words a visit may record, and how each is looked up.

In: the frozen entries below, read from rules/vocabulary/. Out: `Vocabulary`, lookups by any spelling.
Not here: the words themselves (they are data), reading of files, judgement.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field
from functools import cached_property
from typing import Literal

from reasoner.frozen import frozen

Kind = Literal["choice", "side", "number", "date", "text", "count"]

_GAPS = re.compile(r"[\s_\-‐-―]+")


def canonical(word: str) -> str:
    """The key form of a written word: lower case, one underscore between words.

    >>> canonical("  Girth-Line ")
    'girth_line'
    """
    return _GAPS.sub("_", word.strip().casefold()).strip("_")


@frozen(kw_only=True)
class Word:
    """One permitted reading or quality: its key, other spellings, what it tells, whether it asks for an explanation."""

    key: str
    also: tuple[str, ...] = ()
    says: str = ""
    notable: bool = False


@frozen(kw_only=True)
class Place:
    """A palpation site. `walk` orders the one walk round the horse; `at` is a point on the drawing named by `view`."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    key: str
    name: str
    region: str
    sides: Literal["each", "midline"]
    walk: int
    latin: str = ""
    also: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    origin: str = ""
    insertion: str = ""
    action: str = ""
    anatomy_seen: str = ""
    anatomy_basis: tuple[str, ...] = ()
    hand: str = ""
    safety: str = ""
    view: str = ""
    at: tuple[float, float] | None = None
    file: str = ""
    line: int = 0


@frozen(kw_only=True)
class Observation:
    """Something looked at, measured or asked. `unit` and `range` (base units) are for numbers; `earliest` for dates.

    `measure` names the table of measures from which, with this entry, other entries are worked out. `measure_with` names one
    that leans on this entry too, where something was measured. `from_records`: the records of earlier visits fill it in;
    nobody is asked for it, and left out it is no gap.
    """

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    key: str
    name: str
    section: str
    kind: Kind
    sides: Literal["each", "none"] = "none"
    also: tuple[str, ...] = ()
    readings: tuple[Word, ...] = ()
    unit: str = ""
    range: tuple[float, float] | None = None
    earliest: str = ""
    measure: str = ""
    measure_with: str = ""
    none_word: str = ""
    from_records: bool = False
    question: str = ""
    how: str = ""
    safety: str = ""
    walk: int = 0
    minutes: float = 1.0
    file: str = ""
    line: int = 0

    @cached_property
    def reading_of(self) -> Mapping[str, str]:
        """Every accepted spelling (canonical) of a reading, to its key."""
        return _spellings((w.key, (w.key, *w.also)) for w in self.readings)


@frozen(kw_only=True)
class Section:
    """A heading of the visit file."""

    key: str
    name: str
    walk: int = 0
    says: str = ""
    also: tuple[str, ...] = ()


@frozen(kw_only=True)
class Refused:
    """Words that are refused because they mean opposite things, with the sentence why."""

    words: tuple[str, ...]
    because: str


@frozen(kw_only=True)
class Vocabulary:
    """All words of the rulebook in use.

    `qualities` maps a quality ("responses", "felt", "depth", "touch", "not_examined_reasons") to its words; `sides` and
    `limbs` map "left"/"right"/"both" and "fore"/"hind" to their spellings; `round` holds the places of the examiner's own
    round in walking order; `facts` holds tables such as the vertebral formula as plain data.
    """

    places: Mapping[str, Place]
    observations: Mapping[str, Observation]
    sections: Mapping[str, Section]
    sides: Mapping[str, tuple[str, ...]]
    limbs: Mapping[str, tuple[str, ...]]
    qualities: Mapping[str, tuple[Word, ...]]
    refused: tuple[Refused, ...] = ()
    round: tuple[str, ...] = ()
    facts: Mapping[str, object] = field(default_factory=dict)

    @cached_property
    def measured(self) -> frozenset[str]:
        """The observations from which others are worked out: a change of one of them reaches further than itself."""
        return frozenset(key for key, seen in self.observations.items() if seen.measure)

    @cached_property
    def measured_with_others(self) -> frozenset[str]:
        """Of the observations from which others are worked out those whose table leans on further entries, as on a weight."""
        leaning = {seen.measure_with for seen in self.observations.values()} - {""}
        return frozenset(key for key in self.measured if self.observations[key].measure in leaning)

    @cached_property
    def place_of(self) -> Mapping[str, str]:
        """Every spelling of a place (name, key, Latin, synonym), canonical, to its key."""
        return _spellings((p.key, (p.key, p.name, p.latin, *p.also)) for p in self.places.values())

    @cached_property
    def side_of(self) -> Mapping[str, str]:
        """Every spelling of a side, canonical, to "left", "right" or "both"."""
        return _spellings((key, (key, *words)) for key, words in self.sides.items())

    @cached_property
    def limb_of(self) -> Mapping[str, str]:
        """Every spelling of a limb pair, canonical, to "fore" or "hind"."""
        return _spellings((key, (key, *words)) for key, words in self.limbs.items())

    @cached_property
    def section_of(self) -> Mapping[str, str]:
        """Every spelling of a section heading, canonical, to its key."""
        return _spellings((s.key, (s.key, s.name, *s.also)) for s in self.sections.values())

    @cached_property
    def regions(self) -> Mapping[str, tuple[str, ...]]:
        """Region to the keys of its places, in walking order."""
        out: dict[str, list[str]] = {}
        for place in sorted(self.places.values(), key=lambda p: (p.walk, p.key)):
            out.setdefault(canonical(place.region), []).append(place.key)
        return {region: tuple(keys) for region, keys in out.items()}

    def within(self, section: str) -> Mapping[str, str]:
        """Every spelling of an observation written in `section`, canonical, to its key."""
        return self.spellings_by_section.get(section, {})

    @cached_property
    def spellings_by_section(self) -> Mapping[str, Mapping[str, str]]:
        """Section to its spellings of observations."""
        grouped: dict[str, list[Observation]] = {}
        for observation in self.observations.values():
            grouped.setdefault(observation.section, []).append(observation)
        return {s: _spellings((o.key, (o.key, o.name, *o.also)) for o in group) for s, group in grouped.items()}

    def quality(self, quality: str) -> Mapping[str, str]:
        """Every spelling of a word of `quality`, canonical, to its key."""
        return self.quality_spellings[quality]

    @cached_property
    def quality_spellings(self) -> Mapping[str, Mapping[str, str]]:
        """Quality to its spellings of words."""
        return {q: _spellings((w.key, (w.key, *w.also)) for w in words) for q, words in self.qualities.items()}

    def group(self, name: str) -> tuple[str, ...]:
        """The places of a group or region, in walking order; empty if there is none of that name."""
        key = canonical(name)
        return self._groups.get(key) or self.regions.get(key, ())

    @cached_property
    def _groups(self) -> Mapping[str, tuple[str, ...]]:
        found: dict[str, list[str]] = {}
        for place in sorted(self.places.values(), key=lambda p: (p.walk, p.key)):
            for group in dict.fromkeys(map(canonical, place.groups)):
                found.setdefault(group, []).append(place.key)
        return {group: tuple(keys) for group, keys in found.items()}


def _spellings(entries: Iterable[tuple[str, Iterable[str]]]) -> dict[str, str]:
    """Canonical spelling to key. A key always wins over another entry's synonym; clashes are found by the checks."""
    pairs = list(entries)
    out: dict[str, str] = {}
    for key, words in pairs:
        for word in words:
            if word:
                out.setdefault(canonical(word), key)
    for key, _ in pairs:
        out[canonical(key)] = key
    return out


def clashes(entries: Iterable[tuple[str, Iterable[str]]]) -> Iterator[tuple[str, str, str]]:
    """(spelling, first key, second key) wherever one spelling names two entries."""
    seen: dict[str, str] = {}
    for key, words in entries:
        for word in words:
            spelling = canonical(word)
            if spelling and seen.setdefault(spelling, key) != key:
                yield spelling, seen[spelling], key
