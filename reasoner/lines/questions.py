"""From one draft to a finding, or to the question that has to be asked first.

In: a draft. Out: `Finding`s, or one `Question`: the place before the side, the side before the reading.
Not here: how an answer is taken in (answers.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Literal, cast

from reasoner.lines.drafts import Draft, Values
from reasoner.lines.entry_readings import SEEN_OR_NONE
from reasoner.lines.model import Finding, Part, Question, Reading
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.model import Side

SideOrBoth = Literal["left", "right", "both"]
SIDES: tuple[Side, Side] = ("left", "right")
ALL_SIDES = ("left", "right", "both")
MIDDLE = "middle"
VERB_OFFERS = ("left side", "not examined")
_MOST, _STEP = Decimal(10), Decimal("0.5")
#: What a soreness may be answered with, where nothing nearer is offered.
SORENESS = tuple(str(number) for number in range(11))


def asked_of(draft: Draft, said: str, vocabulary: Vocabulary) -> Iterator[Finding | Question]:
    """Its findings, or its question."""
    side = cast("SideOrBoth | None", draft.side)
    if draft.entry:
        yield from _entry(draft, side, said, vocabulary)
        return
    part = Part(side=None if draft.asked else side, reading=draft.values.reading())
    if draft.spot is None:
        yield Question(ask="place", about=(said,), offers=(), words=said, parts=(part,))
        return
    keys = draft.spot.keys
    if quiet_region(draft, vocabulary):
        yield from _of_region(draft, part, said, vocabulary)
        return
    if draft.verb and draft.values.empty:
        about = keys[0] if len(keys) == 1 else draft.spot.said
        yield Question(ask="verb", about=(about,), offers=VERB_OFFERS, words=said, places=draft.spot.legs or keys)
        return
    if len(keys) != 1:
        offers = () if len(keys) > 8 and draft.spot.legs else keys
        yield Question(
            ask="place", about=(_with_side(draft, said),), offers=offers, words=said, places=keys, parts=(part,)
        )
        return
    doubtful = _doubtful(draft.values)
    for when, values in draft.values.later.items():
        later = Part(side=part.side, reading=replace(values.reading(), when=when))
        yield from of_place(keys[0], later, said, vocabulary, maybe=_maybe(values), doubtful=_doubtful(values))
    if draft.values.later and part.reading.empty and not doubtful:
        return
    if (draft.values.either and not part.reading.empty) or not draft.values.either:
        yield from of_place(keys[0], part, said, vocabulary, maybe=_maybe(draft.values), doubtful=doubtful)
    for word, meant in draft.values.either:
        yield Question(
            ask="reading", about=(word,), offers=meant, words=said, places=keys, parts=(Part(side=part.side),)
        )


def quiet_region(draft: Draft, vocabulary: Vocabulary) -> bool:
    """Whether a whole region is said to be quiet."""
    values = draft.values
    zero = (values.nothing and not values.numbers) or values.numbers == [0]
    words = bool(values.responses or values.felt or values.maybe or values.either or values.sore)
    region = draft.spot.region if draft.spot else ""
    known = draft.spot is not None and draft.spot.keys == vocabulary.regions.get(region)
    return bool(region and known and zero and not words and not draft.asked)


def _of_region(draft: Draft, part: Part, said: str, vocabulary: Vocabulary) -> Iterator[Finding | Question]:
    """The places of its round; where no side was said, one question for all of them."""
    name = draft.spot.said if draft.spot else said
    keys = tuple(key for key in (draft.spot.keys if draft.spot else ()) if key in vocabulary.round)
    if part.side is None:
        yield Question(ask="side", about=(name,), offers=ALL_SIDES, words=said, places=keys, parts=(part,))
    else:
        yield from of_places(keys, part, said, vocabulary)


def of_places(keys: Sequence[str], part: Part, said: str, vocabulary: Vocabulary) -> Iterator[Finding | Question]:
    """Findings of several places with one side; those on the middle line only where both sides were said."""
    for key in keys:
        midline = vocabulary.places[key].sides == "midline"
        if not midline or part.side == "both":
            yield from of_place(key, replace(part, side=None) if midline else part, said, vocabulary)


def of_place(
    key: str, part: Part, said: str, vocabulary: Vocabulary, *, maybe: tuple[str, ...] = (), doubtful: bool = False
) -> Iterator[Finding | Question]:
    """Findings of a known place, or the question what its side or its reading is."""
    midline = vocabulary.places[key].sides == "midline"
    if midline and part.side is not None:
        yield Question(ask="side", about=(key,), offers=(MIDDLE,), words=said, places=(key,), parts=(part,))
    elif not midline and part.side is None:
        yield Question(ask="side", about=(key,), offers=ALL_SIDES, words=said, places=(key,), parts=(part,))
    elif doubtful or part.reading.empty:
        yield Question(ask="reading", about=(key,), offers=maybe or SORENESS, words=said, places=(key,), parts=(part,))
    else:
        for side in (None,) if midline else SIDES if part.side == "both" else (part.side,):
            yield Finding(kind="place", key=key, side=side, reading=part.reading, words=said)


def _with_side(draft: Draft, said: str) -> str:
    """The words for a place that may be several: with the side before a leg, "left fore", which is no place by itself."""
    name = draft.spot.said if draft.spot else said
    before, found, _ = said.partition(name)
    if draft.spot and draft.spot.limb and found and draft.side and 0 < len(before.split()) <= 2:
        return f"{before}{name}"
    if draft.spot and draft.spot.limb and not found:
        return said.split()[0]  # "RH": side and leg in letters
    return name


def _maybe(values: Values) -> tuple[str, ...]:
    fine = [
        _STEP * (number // _STEP) + more for number in values.numbers if number % _STEP for more in (Decimal(0), _STEP)
    ]
    several = values.numbers if len(values.numbers) > 1 or values.maybe else ()
    numbers = sorted({*values.maybe, *several, *fine})
    return tuple(f"{n.normalize():f}" for n in numbers if possible(n))


def possible(number: Decimal) -> bool:
    """Whether a soreness may be written so: 0 to 10 in whole or half steps."""
    return 0 <= number <= _MOST and not number % _STEP


def _doubtful(values: Values) -> bool:
    """Whether what was said is not one possible number: several, out of the scale, or only that it hurts."""
    several = (
        len({*values.numbers, *values.maybe}) > 1
        or bool(values.maybe)
        or (values.nothing and bool(values.numbers) and not values.unanswered)
    )
    if several or any(not possible(number) for number in values.numbers):
        return True
    return values.sore and not values.counted and not (values.responses or values.felt)


def _entry(draft: Draft, side: SideOrBoth | None, said: str, vocabulary: Vocabulary) -> Iterator[Finding | Question]:
    entry = vocabulary.observations[draft.entry]
    value = draft.value
    if (
        not value
        and "seen" in entry.reading_of
        and {word.key for word in entry.readings} <= SEEN_OR_NONE
        and draft.unread
    ):
        value = "seen"  # an entry that is either there or not, and was named
    part = Part(side=None if draft.asked else side, reading=Reading(value=value))
    yield from of_entry(entry.key, part, said, vocabulary)


def of_entry(key: str, part: Part, said: str, vocabulary: Vocabulary) -> Iterator[Finding | Question]:
    """Findings of an entry, or the question what its side or its reading is."""
    entry = vocabulary.observations[key]
    if entry.sides == "each" and part.side is None:
        yield Question(ask="side", about=(key,), offers=ALL_SIDES, words=said, entry=key, parts=(part,))
    elif not part.reading.value:
        words = [word.key for word in entry.readings]
        offers = tuple(dict.fromkeys((*(SIDES if entry.kind == "side" else ()), *words)))
        yield Question(
            ask="side" if entry.kind == "side" else "reading",
            about=(key,),
            offers=offers,
            words=said,
            entry=key,
            parts=(part,),
        )
    else:
        for side in (None,) if entry.sides == "none" else SIDES if part.side == "both" else (part.side,):
            yield Finding(kind="entry", key=key, side=side, reading=part.reading, words=said)
