"""An examination as a telephone keeps it: what may be written, in the order of one walk round the horse, and where places lie.

In: the rulebook. Out: plain data, the same for every horse.
Not here: what was found, drawing on the screen.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel

from reasoner.rendering.body_map import drawing
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Place, Vocabulary, canonical
from reasoner.visit.reader import plain
from reasoner.visit.touches import PALPATION, SPACES, is_space
from reasoner.visit.walk import Heading, walk_round

SCHEMA_VERSION = "1"
#: The heading of the first sixty seconds, where the rulebook names none.
_FIRST = "at_first_sight"
_WORDS = {"responses": "responses", "felt": "felt", "depth": "depth", "not_examined": "not_examined_reasons"}


class AskedLine(BaseModel):
    """One thing to write: what it is called, what may be written, how it is found out."""

    key: str
    name: str
    kind: str
    sides: Literal["none", "each", "midline"]
    words: list[str]
    unit: str
    ask: str
    how: str
    safety: str
    side: str
    region: str


class AskedHeading(BaseModel):
    """A heading and what stands under it."""

    key: str
    name: str
    says: str
    lines: list[AskedLine]
    inner: list[AskedHeading]


class Region(BaseModel):
    """A part of the body: its places in walking order, and those of them that a mark of quiet covers."""

    key: str
    name: str
    places: list[str]
    round: list[str]


class AskedPlace(BaseModel):
    """A place: where it lies on the LEFT view (the right one is its mirror), how it is pressed, what to take care of."""

    name: str
    sides: str
    region: str
    heading: str
    view: str | None
    at: tuple[float, float] | None
    how: str
    safety: str


class Examination(BaseModel):
    """Everything a telephone shows without asking again. `stamp` is that of the rulebook."""

    schema_version: str
    stamp: str
    first: str
    headings: list[AskedHeading]
    regions: list[Region]
    places: dict[str, AskedPlace]
    drawings: dict[str, str]
    sizes: dict[str, tuple[int, int]]
    words: dict[str, list[str]]


def examination(book: Rulebook) -> Examination:
    """What a rulebook asks for."""
    words = book.vocabulary
    checking = book.scales.checking
    return Examination(
        schema_version=SCHEMA_VERSION, stamp=book.stamp,
        first=canonical(checking.first) if checking is not None else _FIRST,
        headings=[_heading(one) for one in walk_round(words)], regions=_regions(words),
        places={key: _place(place) for key, place in words.places.items()},
        drawings={"side": drawing("horse_side"), "above": drawing("horse_above")},
        sizes={"side": (800, 560), "above": (800, 260)},
        words={name: [plain(one.key) for one in words.qualities.get(quality, ())] for name, quality in _WORDS.items()},
    )  # fmt: skip


def _heading(heading: Heading) -> AskedHeading:
    return AskedHeading(
        key=heading.key, name=heading.name, says=heading.says, inner=[_heading(one) for one in heading.inner],
        lines=[
            AskedLine(
                key=one.key, name=one.name, kind=one.kind, sides=one.sides, words=list(one.words), unit=one.unit,
                ask=one.ask, how=one.how, safety=one.safety, side=one.side, region=one.region,
            )
            for one in heading.lines if not one.from_records
        ],
    )  # fmt: skip


def _regions(words: Vocabulary) -> list[Region]:
    """Each region once, by the first of its places on the walk; places of several regions stand in the first that names them."""
    round_ = set(words.round)
    found = []
    for key, places in words.regions.items():
        inside = sorted((words.places[one] for one in places), key=lambda place: (place.walk, place.key))
        if inside:
            covered = [place.key for place in inside if place.key in round_]
            found.append(
                (inside[0].walk, Region(key=key, name=plain(key), places=[p.key for p in inside], round=covered))
            )
    return [region for _, region in sorted(found, key=lambda one: one[0])]


def _place(place: Place) -> AskedPlace:
    return AskedPlace(
        name=place.name, sides=place.sides, region=place.region, heading=SPACES if is_space(place) else PALPATION,
        view=place.view if place.at is not None else None, at=place.at, how=place.hand, safety=place.safety,
    )  # fmt: skip
