"""Who is given a report of their own, and which of the things written down concern that person.

In: the tables of rules/scales/readers.yaml. Out: one `Reader` for each.
Not here: how a report looks, and the words of any finding. Keys that a rulebook does not have are simply never met.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from reasoner.frozen import frozen
from reasoner.rulebook.vocabulary import Observation, Place, canonical


@frozen(kw_only=True)
class Reader:
    """A reader. `sections` are the headings whose entries concern them, `keys` single entries from other headings; `head`
    stands at the top of every report and nowhere else. `regions` and `groups` are the places. `trade` is the word by which a
    step of the plan speaks of them, `kinds` the kinds of steps that always do. `conclusions`: whether they are told any;
    `measures` the tables whose measurements concern them, `measures_in_short` that the result is enough; `judgements`: whether
    they are told what practitioners judge of the conclusions themselves; `photographs` what those they are shown show, in
    the order they stand in. `consent`: whether their report waits for the owner's consent, which may name them as `called` or
    as `also`, or name a person known for them by the agreements `known_by`; at the call `not_held_up_at` it waits for
    nothing."""

    key: str
    called: str
    head: tuple[str, ...] = ()
    sections: tuple[str, ...] = ()
    keys: tuple[str, ...] = ()
    regions: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    all_places: bool = False
    conclusions: bool = True
    judgements: bool = False
    trade: str = ""
    kinds: tuple[str, ...] = ()
    measures: tuple[str, ...] = ()
    measures_in_short: bool = False
    consent: bool = True
    also: tuple[str, ...] = ()
    known_by: tuple[str, ...] = ()
    not_held_up_at: str = ""
    photographs: tuple[str, ...] = ()

    def hears_of(self, observation: Observation) -> bool:
        """Whether an entry concerns this reader."""
        return observation.key not in self.head and (
            observation.section in self.sections or observation.key in self.keys
        )

    def sees(self, place: Place) -> bool:
        """Whether a place concerns this reader."""
        return self.all_places or place.region in self.regions or bool({*self.groups} & {*place.groups})


_LISTS = ("keys", "regions", "groups", "kinds", "measures")


def readers_from(head: Iterable[str], tables: Mapping[str, Mapping[str, Any]]) -> dict[str, Reader]:
    """The readers by key. Raises KeyError or TypeError where a table lacks a name or holds an unknown key."""
    return {key: _reader(key, tuple(map(canonical, head)), dict(table)) for key, table in tables.items()}


def _reader(key: str, head: tuple[str, ...], table: dict[str, Any]) -> Reader:
    lists: dict[str, Any] = {name: tuple(map(canonical, table.pop(name, ()))) for name in _LISTS}
    sections = tuple("/".join(map(canonical, one.split("/"))) for one in table.pop("sections", ()))
    photographs = tuple(" ".join(one.split()).casefold() for one in table.pop("photographs", ()))
    return Reader(
        key=key, head=head, called=table.pop("called"), sections=sections, photographs=photographs, **lists,
        all_places=table.pop("all_places", "no") in ("yes", "true"),
        conclusions=table.pop("conclusions", "yes") in ("yes", "true"),
        measures_in_short=table.pop("measures_in_short", "no") in ("yes", "true"),
        judgements=table.pop("judgements", "no") in ("yes", "true"),
        consent=table.pop("consent", "yes") in ("yes", "true"),
        also=tuple(table.pop("also", ())), known_by=tuple(table.pop("known_by", ())), **table,
    )  # fmt: skip
