"""The plain reference: what a rulebase answers on one visit, by direct recursion over its parsed conditions.

In: a `Rulebook` and the values of one visit by slot. Out: certainties, which rules fired, concerns, actions, levels.
Not here: grounding, layers, arrays, integer weights: nothing of the engine but the names of slots.

Certainties are joined two by two in van Melle's form (Buchanan and Shortliffe 1984): a + b - ab for two of one sign, and
(a + b) / (1 - min(|a|, |b|)) for two of different signs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from functools import cache

from reasoner.inference.slots import FELT, RESPONSES, SORENESS, slot
from reasoner.rulebook.conditions import All, AtLeast, Condition, Leaf, Not
from reasoner.rulebook.pages import Circumstance, Concern
from reasoner.rulebook.rulebook import Rulebook, rule_id
from reasoner.rulebook.vocabulary import canonical

Pair = tuple[float, float]
Key = tuple[str, str]
UNKNOWN: Pair = (0.0, 0.0)
OTHER = {"left": "right", "right": "left", "": ""}


def rounded(x: float) -> float:
    """To nine decimals, halves to the even neighbour."""
    return round(x * 1e9) / 1e9


def combined(a: float, b: float) -> float:
    """Two certainty factors as one.

    >>> round(combined(0.42, 0.7), 9), round(combined(0.8, -0.6), 9)
    (0.826, 0.5)
    """
    if a * b >= 0:
        return math.copysign(abs(a) + abs(b) - abs(a) * abs(b), a + b)
    return (a + b) / (1 - min(abs(a), abs(b)))


class Plain:
    """One rulebase judging one visit."""

    def __init__(self, book: Rulebook, values: Mapping[str, float]) -> None:
        self.book, self.values = book, values
        # Remembered within one visit only; what is remembered is worked out exactly as it stands below.
        self.certainty, self.raising = cache(self._certainty), cache(self._raised_at)
        self.degree, self.contributions = cache(self._degree), cache(self._contributed)

    # -- what is asked for -------------------------------------------------------------------------------------------

    def conclusions(self) -> dict[Key, float]:
        """The certainty of every conclusion and side."""
        pages = self.book.conclusions.values()
        return {(page.id, side): self.certainty(page.id, side) for page in pages for side in _sides(page.sides)}

    def fired(self) -> set[Key]:
        """(rule id, side) of every rule that contributes."""
        pages = self.book.conclusions.values()
        return {(rule, side) for page in pages for side in _sides(page.sides)
                for rule, _, contribution in self.contributions(page.id, side) if contribution}  # fmt: skip

    def raised(self) -> set[tuple[str, str, str]]:
        """(concern, side, place) of every concern raised."""
        return {(page.id, side, place) for page in self.book.concerns.values() for place, side in self._spots(page)
                if self._holds(self.raising(page.id, side, place))}  # fmt: skip

    def levels(self) -> set[str]:
        """The calls of the concerns raised."""
        return {self.book.concerns[key].call for key, _, _ in self.raised()}

    def actions(self) -> dict[Key, tuple[bool, bool]]:
        """Action and side to (wanted, held back)."""
        out = {}
        for page in self.book.actions.values():
            for side in _sides(page.sides):

                def holds(what: str, count: int, page_id: str = page.id, side: str = side) -> list[bool]:
                    parsed = [self.book.parsed[page_id, f"{what} {n}"] for n in range(count)]
                    return [self._holds(self.pair(condition, side)) for condition in parsed]

                ready = all(holds("need", len(page.only_after)))
                forbidden = any(holds("forbid", len(page.forbidden_by)))
                out[page.id, side] = any(holds("wanted", len(page.wanted_by))), forbidden or not ready
        return out

    # -- conditions --------------------------------------------------------------------------------------------------

    def pair(self, condition: Condition, side: str = "", place: str = "", lessened: bool = False) -> Pair:
        """(support, opposition) of a condition; `lessened` where circumstances reach its readings."""
        if isinstance(condition, Not):
            support, opposition = self.pair(condition.part, side, place, lessened)
            return opposition, support
        if isinstance(condition, All):
            return _of_them(len(condition.parts), [self.pair(p, side, place, lessened) for p in condition.parts])
        if isinstance(condition, AtLeast):
            return _of_them(condition.k, [self.pair(p, side, place, lessened) for p in condition.parts])
        if condition.of == "places":
            members = self.book.vocabulary.group(condition.subject)
            return _of_them(condition.how_many, [self._sided(condition, m, side, lessened) for m in members])
        subject = place if condition.subject == "this_place" else condition.subject
        return self._sided(condition, subject, side, lessened)

    def _sided(self, leaf: Leaf, subject: str, here: str, lessened: bool) -> Pair:
        if leaf.of in ("place", "places") and self.book.vocabulary.places[subject].sides == "midline":
            return self._one(leaf, subject, "", here, lessened)
        if leaf.side in ("both", "either"):
            pairs = [self._one(leaf, subject, side, here, lessened) for side in ("left", "right")]
            return _of_them(2 if leaf.side == "both" else 1, pairs)
        unsaid = "this" if leaf.subject == "this_place" else ""
        side = leaf.side or unsaid
        return self._one(leaf, subject, {"this": here, "other": OTHER[here]}.get(side, side), here, lessened)

    def _one(self, leaf: Leaf, subject: str, side: str, here: str, lessened: bool) -> Pair:
        if leaf.of == "conclusion":
            return self._conclusion(leaf, subject, side)
        support, opposition = self._recorded(leaf, subject, side, here)
        discounted = leaf.of in ("place", "places") and leaf.test in (
            "ramp", "at_least", "more_than_other", "response", "guarded")  # fmt: skip
        if not (lessened and discounted):
            return support, opposition
        sides = {side, OTHER[side]} if leaf.test == "ramp" and self._differs(leaf) else {side}
        for_support = for_opposition = 1.0
        for page in self.book.circumstances.values():
            if self._reaches(page, subject):
                degree = max(
                    self.degree(page.id, s, subject) if page.for_each else self.degree(page.id, "", "") for s in sides
                )
                if page.lessens == "soreness":
                    for_support *= 1 - page.by * degree
                else:
                    for_opposition *= 1 - page.by * degree
        return rounded(support * for_support), rounded(opposition * for_opposition)

    def _degree(self, circumstance: str, side: str, place: str) -> float:
        return self.pair(self.book.parsed[circumstance, "when"], side, place)[0]

    def _conclusion(self, leaf: Leaf, subject: str, side: str) -> Pair:
        if subject in self.book.concerns:
            return self.raising(subject, side, "")
        c = self.certainty(subject, side)
        if leaf.test == "certainty":
            assert leaf.value is not None
            lowest = min(self.book.scales.bands.values())  # the lowest band is entered above its value
            return tuple(float(x > leaf.value if leaf.value == lowest else x >= leaf.value) for x in (c, -c))  # type: ignore[return-value]
        return max(c, 0.0), max(-c, 0.0)

    def _differs(self, leaf: Leaf) -> bool:
        return self.book.scales.ramps[leaf.words[0]].of == "difference"

    def _reaches(self, page: Circumstance, place: str) -> bool:
        return _reached(page.of, place, self.book.vocabulary.places[place].region)

    def _recorded(self, leaf: Leaf, subject: str, side: str, here: str) -> Pair:
        """The pair of one recorded thing; (0, 0) where nothing is recorded."""

        def value(quality: str, of: str = side) -> float | None:
            return self.values.get(slot(subject, of, quality))

        if leaf.of == "date":
            least, most = value("days_least"), value("days_most")
            if least is None or most is None or leaf.value is None:
                return UNKNOWN
            surely_within, surely_longer = most <= leaf.value, least > leaf.value
            yes, no = (surely_within, surely_longer) if leaf.test == "within" else (surely_longer, surely_within)
            return float(yes), float(no)
        if leaf.test == "ramp":
            ramp, x = self.book.scales.ramps[leaf.words[0]], value(SORENESS[leaf.reading])
            over = value(SORENESS[leaf.reading], OTHER[side]) if self._differs(leaf) else 0.0
            if x is None or over is None:
                return UNKNOWN
            degree = rounded(min(max((x - over - ramp.none_at) / (ramp.full_at - ramp.none_at), 0.0), 1.0))
            return degree, rounded(1 - degree)
        if leaf.test in ("is", "response", "felt", "depth", "touch"):
            quality = {"is": "value", "response": RESPONSES[leaf.reading], "felt": FELT[leaf.reading]}.get(
                leaf.test, leaf.test
            )
            held = value(quality)
            meant = {{"this": here, "other": OTHER[here]}.get(w, w) for w in leaf.words}
            return _truth(None if held is None else bool(meant & set(self._words(leaf, subject, int(held)))))
        quality = {"guarded": "guarded", "unsettled": "unsettled"}.get(leaf.test) or (
            SORENESS[leaf.reading] if leaf.of in ("place", "places") else "value")  # fmt: skip
        x, limit = value(quality), 1.0 if leaf.value is None else leaf.value
        if x is None:
            return UNKNOWN
        return _truth({"above": x > limit, "at_most": x <= limit, "below": x < limit}.get(leaf.test, x >= limit))

    def _words(self, leaf: Leaf, subject: str, code: int) -> Iterable[str]:
        if leaf.test == "is":
            words = [word.key for word in self.book.vocabulary.observations[subject].readings]
            if leaf.of == "side":
                words = ["left", "right", *(w for w in words if w not in ("left", "right"))]
        else:
            words = [
                w.key for w in self.book.vocabulary.qualities["responses" if leaf.test == "response" else leaf.test]
            ]
        return (word for n, word in enumerate(words) if code >> n & 1)

    # -- conclusions and concerns ------------------------------------------------------------------------------------

    def _certainty(self, key: str, side: str) -> float:
        voices: dict[tuple[bool, str], float] = {}
        for rule, group, contribution in self.contributions(key, side):
            voice = contribution < 0, group or rule
            voices[voice] = max(voices.get(voice, 0.0), contribution, key=abs)
        whole = 0.0
        for contribution in voices.values():
            whole = combined(whole, contribution)
        return rounded(whole)

    def _contributed(self, key: str, side: str) -> list[tuple[str, str, float]]:
        return list(self._contributions(key, side))

    def _contributions(self, key: str, side: str) -> Iterable[tuple[str, str, float]]:
        page = self.book.conclusions[key]
        for number, evidence in enumerate(page.evidence):
            degree, _ = self.pair(self.book.parsed[key, f"evidence {number} when"], side, lessened=True)
            degree = degree if degree > self.book.scales.fires_above else 0.0
            if evidence.only_if is not None:
                degree = min(degree, self.pair(self.book.parsed[key, f"evidence {number} only_if"], side)[0])
            strength = self.book.scales.strengths[canonical(evidence.points or evidence.against or "")]
            sign = 1 if evidence.points else -1
            yield rule_id(key, evidence.rule), evidence.group, sign * strength * degree

    def _holds(self, pair: Pair) -> bool:
        return pair[0] > self.book.scales.fires_above

    def _raised_at(self, key: str, side: str, place: str) -> Pair:
        page = self.book.concerns[key]
        return _of_them(
            1, [self.pair(self.book.parsed[page.id, f"sign {n}"], side, place) for n in range(len(page.signs))]
        )

    def _spots(self, page: Concern) -> Iterable[Key]:
        if not page.for_each:
            return [("", side) for side in _sides(page.sides)]
        places = self.book.vocabulary.places
        group = {"spinous_space": "spinous_spaces"}.get(page.for_each, page.for_each)
        keys = places if group == "place" else self.book.vocabulary.group(group)
        return [(key, side) for key in keys for side in _sides(places[key].sides)]


@cache
def _reached(of: str | tuple[str, ...], place: str, region: str) -> bool:
    named = {canonical(word) for word in ([of] if isinstance(of, str) else of)}
    return bool(named & {"every_place", place, canonical(region)})


def _sides(sides: str) -> tuple[str, ...]:
    return ("left", "right") if sides == "each" else ("",)


def _of_them(k: int, pairs: list[Pair]) -> Pair:
    """At least k of several: the k-th largest support, the (n - k + 1)-th largest opposition."""
    supports, oppositions = (sorted(column, reverse=True) for column in zip(*pairs, strict=True))
    return supports[k - 1], oppositions[len(pairs) - k]


def _truth(met: bool | None) -> Pair:
    return UNKNOWN if met is None else (float(met), float(not met))
