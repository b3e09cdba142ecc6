"""Random visits over any vocabulary: exact ties, readings once settled and after work, refusals, places passed over.

In: a `Chooser`, a rulebook. Out: `Visit` objects, as the reader of visit files would make them; single touches and things
noted, to be added to one. Not here: text files, and what a visit means.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from reasoner.rulebook.conditions import leaves
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Observation, Vocabulary
from reasoner.visit.model import DateSpan, Noted, Outline, Points, Side, Touch, Visit, When
from tests.chance import Chooser, happens, pick, some

DAY = date(2026, 4, 18)
SIDES: tuple[Side, Side] = ("left", "right")
WHEN: tuple[When, ...] = ("first", "settled", "after_work")
#: 2 gives a degree of exactly 0.2, which does not fire; neighbours differ by 1, which is no difference.
SORENESS = tuple(Decimal(s) for s in ("0", "2", "3", "1", "4", "2.5", "5", "6", "1.5", "7", "10", "2.2", "3.3"))
_LEG_BY_LEG = ("seen_at", "seen_by_a_veterinarian")


def spots(vocabulary: Vocabulary) -> list[tuple[str, Side | None]]:
    """Every place and side of a vocabulary."""
    out: list[tuple[str, Side | None]] = []
    for key, place in vocabulary.places.items():
        out += [(key, side) for side in SIDES] if place.sides == "each" else [(key, None)]
    return out


def random_touch(chooser: Chooser, vocabulary: Vocabulary, place: str, side: Side | None, when: When) -> Touch:
    """One touch of a place: mostly a bare number, or words, a refusal, a reason why it was passed over."""
    shape = chooser.integer(0, 9)
    if shape == 9:
        return Touch(place=place, side=side, when=when, refused=True)
    if shape == 8:
        reasons = [w.key for w in vocabulary.qualities["not_examined_reasons"]]
        return Touch(place=place, side=side, when=when, not_examined=pick(chooser, reasons))
    soreness = pick(chooser, SORENESS)
    if shape <= 5:
        return Touch(place=place, side=side, when=when, soreness=soreness)

    def words(quality: str, most: int) -> tuple[str, ...]:
        keys = [w.key for w in vocabulary.qualities[quality]]
        chosen = some(chooser, keys[1:], 0, most) if happens(chooser, 70) else []
        return tuple(w for w in chosen if w != "would_not_allow") or (keys[0],)

    return Touch(
        place=place, side=side, when=when,
        soreness=soreness if happens(chooser, 80) else None,
        responses=words("responses", 2) if happens(chooser, 70) else None,
        felt=words("felt", 2) if happens(chooser, 60) else None,
        depth=pick(chooser, ["surface", "deep"]) if happens(chooser, 40) else None,
        touch=pick(chooser, ["light", "firm"]) if happens(chooser, 40) else None,
    )  # fmt: skip


def _touches(chooser: Chooser, vocabulary: Vocabulary, place: str, side: Side | None, filled: int) -> Iterator[Touch]:
    if not happens(chooser, filled):
        return
    if happens(chooser, 6):
        yield Touch(place=place, side=side, soreness=Decimal(0), quiet_list=True)
        return
    for when, percent in zip(WHEN, (90, 15, 10), strict=True):
        if happens(chooser, percent):
            yield random_touch(chooser, vocabulary, place, side, when)


def limits_of(book: Rulebook) -> dict[str, tuple[float, ...]]:
    """The limits that rules set for each number or date, in base units or days: the values worth trying."""
    found: dict[str, set[float]] = {}
    for condition in book.parsed.values():
        for leaf in leaves(condition):
            if leaf.of in ("number", "date") and leaf.value is not None:
                found.setdefault(leaf.subject, set()).add(leaf.value)
    return {key: tuple(sorted(values)) for key, values in found.items()}


def random_noted(
    chooser: Chooser, observation: Observation, side: Side | None, limits: Sequence[float], about: Any = None
) -> Noted | None:
    """One thing noted, near a limit where rules set one; None for free text."""
    value: Any = None
    if observation.kind in ("choice", "side"):
        words = [w.key for w in observation.readings]
        words += [w for w in SIDES if observation.kind == "side" and w not in words]
        value = pick(chooser, words)
    elif observation.kind in ("number", "count"):
        low, high = observation.range or (0.0, 100.0)
        near = [Decimal(repr(at)) + step for at in limits for step in (0, Decimal("0.5"), Decimal("-0.5"))]
        value = pick(chooser, near or [Decimal(repr(low)), Decimal(repr(high))])
    elif observation.kind == "date":
        days = [int(at) + step for at in limits for step in (-1, 0, 1)] or [3, 40, 400]
        first = DAY - timedelta(days=max(pick(chooser, days), 0))
        last = min(DAY, first + timedelta(days=pick(chooser, [0, 0, 1, 30])))
        never = bool(observation.none_word) and happens(chooser, 20)
        value = DateSpan(first=first, last=last, never=never)
    if value is None:
        return None
    return Noted(key=observation.key, side=side, value=value, written=str(value), kind=observation.kind, about=about)


def _noted(chooser: Chooser, book: Rulebook, filled: int) -> Iterator[Noted | None]:
    limits = limits_of(book)
    for observation in book.vocabulary.observations.values():
        near = limits.get(observation.key, ())
        sides: tuple[Side | None, ...] = SIDES if observation.sides == "each" else (None,)
        for side in sides:
            if happens(chooser, filled):
                if observation.key in _LEG_BY_LEG and happens(chooser, 50):
                    for leg in some(chooser, SIDES, 1, 2):
                        yield random_noted(chooser, observation, None, near, ("hind_step", leg))
                else:
                    yield random_noted(chooser, observation, side, near)


def random_visit(chooser: Chooser, book: Rulebook, *, filled: int = 50) -> Visit:
    """A visit; about `filled` of a hundred places and things to note are written down."""
    touches = [t for place, side in spots(book.vocabulary)
               for t in _touches(chooser, book.vocabulary, place, side, filled)]  # fmt: skip
    noted = [n for n in _noted(chooser, book, filled) if n is not None]
    outlines = tuple(random_outlines(chooser)) if "tracing" in book.measures and happens(chooser, 25) else ()
    numbered = [dataclasses.replace(t, line=n + 1) for n, t in enumerate(touches)]
    rest = [dataclasses.replace(n, line=len(numbered) + at + 1) for at, n in enumerate(noted)]
    return Visit(file="made_up.yaml", day=DAY, touches=tuple(numbered), noted=tuple(rest), outlines=outlines)


def random_outlines(chooser: Chooser) -> Iterator[Outline]:
    """Tracings of some stations: sides of their own or alike, dips and flats, some that end early, some of one side alone."""
    for station in some(chooser, ["withers", "t8", "t10", "t13", "t18", "behind_the_girth"], 1, 4):
        left = random_side(chooser)
        right = left if happens(chooser, 30) else random_side(chooser)
        both = [left, right] if happens(chooser, 85) else pick(chooser, [[left, ()], [(), right]])
        yield Outline(of="back", station=station, left=tuple(both[0]), right=tuple(both[1]), line=1)


def random_side(chooser: Chooser) -> Points:
    """One side from the midline outwards, in tenths of a millimetre."""
    out, down = 0, 0
    points = [(Decimal(0), Decimal(0))]
    for _ in range(chooser.integer(2, 9)):
        out, down = out + chooser.integer(20, 500), max(0, down + chooser.integer(-60, 500))
        points.append((Decimal(out) / 10, Decimal(down) / 10))
    return tuple(points)


def one_more(chooser: Chooser, book: Rulebook, visit: Visit) -> Visit:
    """The same visit with one observation added: a place not yet touched, a place touched again, a thing not yet noted."""
    touched = {(t.place, t.side, t.when) for t in visit.touches}
    line = 1 + max([0, *(t.line for t in visit.touches), *(n.line for n in visit.noted)])
    if happens(chooser, 60):
        free = [(p, s, w) for p, s in spots(book.vocabulary) for w in WHEN if (p, s, w) not in touched]
        again = [f for f in free if any(f[:2] == t[:2] for t in touched)]
        spot: Any = pick(chooser, again if again and happens(chooser, 60) else free or [("withers", "left", "first")])
        place, side, when = spot
        if (place, side, when) not in touched:
            touch = dataclasses.replace(random_touch(chooser, book.vocabulary, place, side, when), line=line)
            return dataclasses.replace(visit, touches=(*visit.touches, touch))
    limits = limits_of(book)
    said = {(n.key, n.side) for n in visit.noted}
    unsaid: list[tuple[Observation, Side | None]] = []
    for observation in book.vocabulary.observations.values():
        sides: tuple[Side | None, ...] = SIDES if observation.sides == "each" else (None,)
        unsaid += [(observation, side) for side in sides if (observation.key, side) not in said]
    if not unsaid:
        return visit
    observation, side = pick(chooser, unsaid)
    noted = random_noted(chooser, observation, side, limits.get(observation.key, ()))
    if noted is None:
        return visit
    return dataclasses.replace(visit, noted=(*visit.noted, dataclasses.replace(noted, line=line)))
