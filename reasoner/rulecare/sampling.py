"""Small visits close to the limits of one page: what it asks, answered just so, just not so, or left out.

In: the conditions of a page, the words of the rulebook, a source of chance. Out: `recorded`, as an example writes it.
Not here: what the page answers to it (fences.py). Nothing here says how often anything is so in horses.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import timedelta
from random import Random
from typing import Any

from reasoner.inference.from_rulebook import SPACES as SPINOUS
from reasoner.quantities import BASE_UNIT, dimension_of, finest_step
from reasoner.rulebook.conditions import Condition, Leaf, leaves
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Observation, Vocabulary, canonical
from reasoner.rulecare.examples import DAY
from reasoner.visit.steps import STEPS
from reasoner.visit.touches import PALPATION, SPACES

Recorded = dict[str, Any]
SIDES = ("left", "right")
_SORE = (0, 1, 2, 3, 4, 5, 6, 7)
#: How a later reading of the same place is written beside the first one.
_LATER = {"settled": "once settled", "after_work": "after work"}
_QUALITIES = {"response": "responses", "felt": "felt", "depth": "depth", "touch": "touch"}


class Sampler:
    """Draws visits for one page. `earlier` gives, for an earlier page, recorded examples of it that can stand in."""

    def __init__(
        self, book: Rulebook, conditions: Sequence[Condition], earlier: Mapping[str, Sequence[Recorded]], seed: int,
        place: str = "",
    ) -> None:  # fmt: skip
        self.words = book.vocabulary
        self.leaves = [leaf for condition in conditions for leaf in leaves(condition)]
        self.earlier = earlier
        self.place = place
        self.chance = Random(seed)

    def beside(self, bases: Sequence[Recorded], *asked: Sequence[Leaf]) -> Recorded:
        """One of the bases, with some of what is asked answered by chance; of each list a few, many, or nearly all."""
        out: Recorded = _copied(self.chance.choice(bases))
        if self.chance.random() < 0.3:
            self._left_out(out)
        for some in asked:
            keep = self.chance.choice((0.15, 0.5, 0.95))
            for leaf in some:
                if self.chance.random() < keep:
                    _merge(out, self._answered(leaf))
        return out

    def _left_out(self, recorded: Recorded) -> None:
        """One entry taken out, as if nobody had looked."""
        at: Any = recorded
        while isinstance(at, dict) and at:
            key = self.chance.choice(sorted(at))
            if not isinstance(at[key], dict) or not at[key] or self.chance.random() < 0.3:
                del at[key]
                return
            at = at[key]

    def _answered(self, leaf: Leaf) -> Recorded:
        if leaf.of == "conclusion":
            some = self.earlier.get(leaf.subject, ())
            out: Recorded = {}
            for _ in range(self.chance.choice((1, 1, 2)) if some else 0):  # two together reach bands between
                _merge(out, self.chance.choice(some))
            return out
        if leaf.of == "places":
            members = self.words.group(leaf.subject)
            many = self.chance.choice((leaf.how_many - 1, leaf.how_many, leaf.how_many + 1))
            out = {}
            for place in self.chance.sample(members, min(max(many, 1), len(members))):
                _merge(out, self._felt(place, leaf))
            return out
        if leaf.of == "place":
            return self._felt(self.place if leaf.subject == "this_place" else leaf.subject, leaf)
        return self._seen(self.words.observations[leaf.subject], leaf)

    # -- by hand -----------------------------------------------------------------------------------------------------

    def _felt(self, key: str, leaf: Leaf) -> Recorded:
        place = self.words.places[key]
        heading = SPACES if key in self.words.group(SPINOUS) else PALPATION
        if place.sides == "midline":
            return {heading: {key: self._touch(leaf)}}
        some = self.chance.choice((SIDES, SIDES, SIDES, ("left",), ("right",)))
        return {heading: {key: {side: self._touch(leaf) for side in some}}}

    def _touch(self, leaf: Leaf) -> Any:
        later = _LATER.get(leaf.reading)
        if leaf.reading == "worst" and self.chance.random() < 0.4:
            later = self.chance.choice(tuple(_LATER.values()))  # the worst may well be a later one
        if later:
            return {"soreness": f"{self.chance.choice(_SORE)}", later: self._graded(leaf)}
        return self._graded(leaf)

    def _graded(self, leaf: Leaf) -> dict[str, Any]:
        """One reading of one place, near the limit that the leaf asks of it."""
        if leaf.test == "guarded":
            guarded = {"response": "would not allow touch"}
            number = str(self.chance.choice(_SORE))
            later = {"soreness": number, self.chance.choice(tuple(_LATER.values())): "would not allow touch"}
            return self.chance.choice((guarded, later, {"soreness": number}))
        near = _SORE if leaf.value is None else (leaf.value - 0.5, leaf.value, leaf.value + 0.5, leaf.value - 1, 0)
        touch: dict[str, Any] = {"soreness": f"{min(max(self.chance.choice(near), 0), 10):g}"}
        if leaf.test in _QUALITIES:
            known = [word.key for word in self.words.qualities[_QUALITIES[leaf.test]]]
            told = self.chance.choice((*leaf.words, *leaf.words, self.chance.choice(known)))
            touch[leaf.test] = told.replace("_", " ")
            if leaf.test == "response" and told == "would_not_allow":
                return {"response": "would not allow touch"}
            if leaf.test == "response" and self.chance.random() < 0.3:
                del touch["soreness"]  # an answer written down without a number
        return touch

    # -- seen and told -----------------------------------------------------------------------------------------------

    def _seen(self, seen: Observation, leaf: Leaf) -> Recorded:
        if seen.sides == "each":
            some = self.chance.choice((SIDES, SIDES, ("left",), ("right",)))
            written: Any = {side: self._value(seen, leaf) for side in some}
        else:
            written = self._value(seen, leaf)
        if seen.section == STEPS and seen.sides == "each":
            limb = seen.key.partition("_")[0]
            return {STEPS: {f"{side}_{limb}": value for side, value in written.items()}}
        if seen.section == "top":
            return {seen.key: written}
        out: Recorded = {seen.key: written}
        for heading in reversed(seen.section.split("/")):
            out = {heading: out}
        return out

    def _value(self, seen: Observation, leaf: Leaf) -> str:
        if seen.kind == "date":
            limit = int(leaf.value or 0)
            days = self.chance.choice((limit - 1, limit, limit + 1, max(limit // 2, 1)))
            return (DAY - timedelta(days=max(days, 0))).isoformat()
        if seen.kind in ("number", "count"):
            limit_at = leaf.value or 0.0
            step = finest_step(seen.unit)
            low, high = seen.range or (0.0, limit_at + step)
            near = [x for x in (limit_at - step, limit_at, limit_at + step) if low <= x <= high]
            value = round(self.chance.choice(near or [low, (low + high) / 2]), 6)
            return f"{max(value, 0):g} {BASE_UNIT[dimension_of(seen.unit)]}".strip()
        readings = [word.key for word in seen.readings]
        if seen.kind == "side":
            return self.chance.choice(("left", "right", *readings)).replace("_", " ")
        return self.chance.choice((*leaf.words, *readings)).replace("_", " ")


def _merge(into: Recorded, more: Mapping[str, Any]) -> None:
    """What is written later wins, except that a place's sides are put together."""
    for key, value in more.items():
        if isinstance(value, Mapping) and isinstance(into.get(key), dict):
            _merge(into[key], value)
        else:
            into[key] = _copied(value)


def _copied(value: Any) -> Any:
    return {key: _copied(one) for key, one in value.items()} if isinstance(value, Mapping) else value


def mirrored(recorded: Mapping[str, Any]) -> Recorded:
    """The same with left and right exchanged, in keys and words.

    >>> mirrored({"rests": "left", "palpation": {"loin": {"right": 3}}})
    {'rests': 'right', 'palpation': {'loin': {'left': 3}}}
    """
    return {_swapped(key): mirrored(v) if isinstance(v, Mapping) else _swapped(v) for key, v in recorded.items()}


def _swapped(word: Any) -> Any:
    if isinstance(word, (list, tuple)):
        return [mirrored(w) if isinstance(w, Mapping) else _swapped(w) for w in word]
    if not isinstance(word, str):
        return word
    parts = word.replace("left", "\0").replace("right", "left").replace("\0", "right")
    return parts


def told_by(examples: Sequence[Any], words: Vocabulary) -> Iterator[Recorded]:
    """What the examples of a page record, without line numbers and by the vocabulary's keys, as written and in the mirror."""
    for example in examples:
        if isinstance(example.recorded, Mapping):
            tidy = _tidied(example.recorded, words, "")
            yield tidy
            yield mirrored(tidy)


def _tidied(recorded: Mapping[str, Any], words: Vocabulary, section: str) -> Recorded:
    """By keys, so that what is drawn is laid over it and never beside it."""
    out: Recorded = {}
    for key, value in recorded.items():
        word = canonical(key)
        if word == "line":
            continue
        inner = f"{section}/{word}" if section else word
        known = words.within(section) if section else {}
        word = known.get(
            word, words.section_of.get(inner, inner).rpartition("/")[2] if section != "palpation" else word
        )
        word = words.place_of.get(word, word) if section in (PALPATION, SPACES) else word
        told: Any = _tidied(value, words, inner) if isinstance(value, Mapping) else _plain(value, words)
        sides = {"both": SIDES, "left": ("left",), "right": ("right",)}.get(words.side_of.get(word, ""))
        for name in sides or (word,):
            out[name] = _copied(told)
    return out


def _plain(value: Any, words: Vocabulary) -> Any:
    if isinstance(value, (list, tuple)):
        return [_tidied(one, words, "-") if isinstance(one, Mapping) else one for one in value]
    return value
