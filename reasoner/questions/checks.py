"""The checks that can still be made on a visit: a place felt on both sides, a look, a question, a measurement.

In: an `Answer`. Out: `Check`s, each with the readings it is tried with, as changes of the visit.
Not here: what a reading would do, which check is worth making, what a standing sign forbids.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta
from decimal import Decimal
from itertools import product
from typing import TYPE_CHECKING

from reasoner.frozen import frozen
from reasoner.inference.slots import split
from reasoner.quantities import finest_step
from reasoner.questions.changes import Change, spot_of
from reasoner.rulebook.checking import PALPATION, SPACES
from reasoner.rulebook.scales import Checking
from reasoner.rulebook.vocabulary import Observation, Place
from reasoner.visit.model import DateSpan, Noted, Side, Touch
from reasoner.visit.touches import is_space

if TYPE_CHECKING:
    from reasoner.consult import Answer

SIDES: tuple[Side, Side] = ("left", "right")
HOW_PLACE = "Press this place and write a number, or that it was quiet."
FULL_ROUND = 16  # more readings than this of one check tell nothing new
NEVER = 100 * 365.25
Limits = Mapping[tuple[str, str], set[float]]
"""The limits that something reads, by entry and quality."""


@frozen
class Reading:
    """One reading a check may have: in words, and what it writes into the visit."""

    words: str
    change: Change


@frozen
class Check:
    """Something not yet looked at. `heading` is that of the visit file; `minutes` its effort; `sides` those not yet examined,
    ("",) where there are none."""

    key: str
    name: str
    heading: str
    region: str
    sides: tuple[str, ...]
    walk: int
    minutes: float
    question: str
    how: str
    safety: str
    readings: tuple[Reading, ...]

    @property
    def pressing(self) -> bool:
        """Whether the hand presses for it."""
        return self.heading in (PALPATION, SPACES)


def checks_of(answer: Answer) -> tuple[Check, ...]:
    """Every check not yet made that anything in the rulebook listens to, in walking order."""
    book, checking = answer.ready.book, answer.ready.book.scales.checking
    if checking is None:
        return ()
    unknown: dict[str, set[str]] = {}
    # Once a place has been worked on, it can no longer be felt as it was before.
    known: set[tuple[str, str]] = {
        spot_of(t) for t in answer.visit.touches if t.not_examined not in checking.asked_again
    }
    known |= {(n.key, n.side or "") for n in (*answer.visit.noted, *answer.facts.worked_out)}
    for name in answer.ready.program.slots:
        key, side, _ = split(name)
        if (key, side) not in known:
            unknown.setdefault(key, set()).add(side)
    limits = _limits_of(answer)
    found = []
    spaces = [key for key in unknown if key in book.vocabulary.places and is_space(book.vocabulary.places[key])]
    if spaces:
        found.append(_spaces([book.vocabulary.places[key] for key in spaces], checking))
    for key, sides in unknown.items():
        asked = tuple(sorted(sides))
        if key in book.vocabulary.places:
            if key not in spaces:
                found.append(_place(book.vocabulary.places[key], asked, checking))
        elif (
            (seen := book.vocabulary.observations.get(key)) is not None
            and not seen.from_records
            and not _idle(key, answer, checking)
            and (readings := _said(seen, asked, limits, answer))
        ):
            found.append(_observation(seen, asked, readings))
    return tuple(sorted(found, key=lambda check: (check.walk, check.key)))


def _idle(key: str, answer: Answer, checking: Checking) -> bool:
    """Whether what is written of something else leaves nothing to ask, as whether a gelding is in foal."""
    after = checking.not_asked_after.get(key, {})
    return any(noted.value in after.get(noted.key, ()) for noted in answer.visit.noted)


def _place(place: Place, sides: tuple[str, ...], checking: Checking) -> Check:
    return Check(
        key=place.key, name=place.name, heading=PALPATION, region=place.region, sides=sides,
        walk=place.walk, minutes=checking.minutes_a_side * len(sides), question="", how=place.hand or HOW_PLACE,
        safety=place.safety, readings=tuple(_felt(place, sides, checking)),
    )  # fmt: skip


def _spaces(places: list[Place], checking: Checking) -> Check:
    """The spaces between the spines are felt in one light stroke: all quiet, or one of them answers."""
    least, *louder = sorted(map(_exact, checking.scores))
    quiet = {place.key: Touch(place=place.key, side=None, soreness=least) for place in places}
    readings = [Reading("none answers", _stroke(quiet, None, least))]
    for place in places:
        readings += [Reading(f"{place.name} {score:f}", _stroke(quiet, place, score)) for score in louder]
    first = min(places, key=lambda place: (place.walk, place.key))
    return Check(
        key=SPACES, name=SPACES.replace("_", " "), heading=SPACES, region=first.region, sides=("",), walk=first.walk,
        minutes=checking.minutes_for_the_spaces, question="",
        how=checking.how_the_spaces or first.hand or HOW_PLACE, safety=first.safety,
        readings=tuple(readings),
    )  # fmt: skip


def _stroke(quiet: Mapping[str, Touch], place: Place | None, score: Decimal) -> Change:
    answers = {} if place is None else {place.key: Touch(place=place.key, side=None, soreness=score)}
    return Change(tuple({**quiet, **answers}.values()))


def _felt(place: Place, sides: tuple[str, ...], checking: Checking) -> Iterator[Reading]:
    """Every score on every side, and a side that will not be touched while the other is quiet."""
    answers: list[tuple[Decimal | None, ...]] = list(product(map(_exact, checking.scores), repeat=len(sides)))
    quiet = _exact(min(checking.scores))
    answers += [tuple(None if at == side else quiet for at in sides) for side in sides]
    touched = {
        (side, score): Touch(place=place.key, side=_side(side), soreness=score, refused=score is None)
        for side in sides
        for score in (*map(_exact, checking.scores), None)
    }
    for scores in answers:
        touches = tuple(touched[key] for key in zip(sides, scores, strict=True))
        yield Reading(
            _sided_words(sides, ["would not allow touch" if s is None else f"{s:f}" for s in scores]), Change(touches)
        )


def _exact(score: float) -> Decimal:
    return Decimal(str(score)).normalize() + 0


def _observation(seen: Observation, sides: tuple[str, ...], readings: tuple[Reading, ...]) -> Check:
    return Check(
        key=seen.key, name=seen.name, heading=seen.section.partition("/")[0], region="", sides=sides, walk=seen.walk,
        minutes=seen.minutes, question=seen.question, how=seen.how, safety=seen.safety, readings=readings,
    )  # fmt: skip


def _said(seen: Observation, sides: tuple[str, ...], limits: Limits, answer: Answer) -> tuple[Reading, ...]:
    """The listed readings of an entry; of a number or a date one on either side of every limit that something reads."""
    if seen.kind in ("choice", "side"):
        words = [(word.key, word.key.replace("_", " ")) for word in seen.readings]
        values: list[tuple[str | Decimal | DateSpan, str]] = [*words]
        if seen.kind == "side":
            values += [(side, side) for side in SIDES if side not in dict(words)]
    elif seen.kind in ("number", "count"):
        values = [(number, f"{_exact(float(number)):f} {seen.unit}".strip()) for number in _either_side(seen, limits)]
    elif seen.kind == "date":
        values = list(_days(seen, limits, answer))
    else:
        return ()
    both = list(product(values, repeat=len(sides)))
    if len(both) > FULL_ROUND:  # one side at a time, and all alike
        first = values[0]
        both = [tuple(value if at == side else first for at in sides) for value in values for side in sides]
        both += [(value,) * len(sides) for value in values]
    return tuple(
        Reading(
            _sided_words(sides, [words for _, words in some]),
            Change(noted=tuple(
                Noted(key=seen.key, side=_side(side), value=value, written=words, kind=seen.kind)
                for side, (value, words) in zip(sides, some, strict=True)
            )),
        )
        for some in dict.fromkeys(both)
    )  # fmt: skip


def _limits_of(answer: Answer) -> Mapping[tuple[str, str], set[float]]:
    """Every limit that something reads, by entry and quality."""
    found: dict[tuple[str, str], set[float]] = {}
    for entry in answer.ready.program.meta["columns"]:
        if entry[0] == "limit":
            key, _, quality = split(entry[1] or entry[2])
            found.setdefault((key, quality), set()).add(float(entry[4]))
    return found


def _either_side(seen: Observation, limits_of: Limits) -> Iterator[Decimal]:
    """The limits that something reads, and the nearest numbers on either side of them, within what is possible."""
    step = Decimal(str(finest_step(seen.unit)))
    low, high = seen.range or (0.0, float("inf"))
    limits = {Decimal(str(limit)) for limit in limits_of.get((seen.key, "value"), ())}
    numbers = {number for limit in limits for number in (limit - step, limit, limit + step)}
    yield from sorted(number for number in numbers if low <= number <= high)


def _days(seen: Observation, limits_of: Limits, answer: Answer) -> Iterator[tuple[DateSpan, str]]:
    """Dates on either side of every limit in days, the newest first, and that it has never happened if that can be said."""
    limits = {limit for quality in ("days_least", "days_most") for limit in limits_of.get((seen.key, quality), ())}
    for days in sorted({max(int(limit) + more, 0) for limit in limits if limit < NEVER for more in (-1, 0, 1)}):
        day = answer.visit.day - timedelta(days=days)
        yield DateSpan(first=day, last=day), f"{days} days ago"
    if seen.none_word:
        yield DateSpan(first=answer.visit.day, last=answer.visit.day, never=True), seen.none_word


def _sided_words(sides: tuple[str, ...], words: list[str]) -> str:
    if len(set(words)) == 1:
        return words[0] if len(words) == 1 else f"both {words[0]}"
    return ", ".join(f"{side} {word}" for side, word in zip(sides, words, strict=True))


def _side(side: str) -> Side | None:
    return SIDES[SIDES.index(side)] if side in SIDES else None
