"""Fill in sides and places: from a parsed condition to a literal over ground columns.

In: a condition and what "this" means. Out: literals (column number times two, plus one if turned round) of an interning
table of columns. Not here: which pages there are (from_rulebook), the order of evaluation (strata).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from reasoner.frozen import frozen
from reasoner.inference.interning import Interned
from reasoner.inference.program import DIGITS
from reasoner.inference.slots import FELT, RESPONSES, SORENESS, mask, slot
from reasoner.rulebook.conditions import All, AtLeast, Condition, Leaf, Not
from reasoner.rulebook.scales import Scales
from reasoner.rulebook.vocabulary import Vocabulary

OPERATORS = {"at_least": 0, "above": 1, "at_most": 2, "below": 3}
OPPOSITE = {"left": "right", "right": "left", "": ""}


@frozen
class Here:
    """What "this side", "the other side" and "this place" mean, and whether discounted columns are read."""

    side: str = ""
    place: str = ""
    lessened: bool = False


TRUE = 0  # the literal of column 0


class Grounder:
    """Grounds conditions over one rulebook's words and scales into one table of columns.

    from_rulebook sets `lessen` before it grounds a rule with `Here.lessened`, and `concern_literals` before the actions.
    """

    def __init__(self, vocabulary: Vocabulary, scales: Scales, concerns: frozenset[str]) -> None:
        self.vocabulary = vocabulary
        self.scales = scales
        self.concerns = concerns
        self.columns = Interned(("true",))  # column 0 is always true
        self.lessen: Callable[[int], int] | None = None  # from an atom's column to its discounted column
        self.concern_literals: dict[tuple[str, str], int] = {}

    def ground(self, condition: Condition, here: Here) -> int:
        """The literal of a condition."""
        if isinstance(condition, Not):
            return self.ground(condition.part, here) ^ 1
        if isinstance(condition, All):
            return self.every([self.ground(part, here) for part in condition.parts])
        if isinstance(condition, AtLeast):
            return self.at_least(condition.k, [self.ground(part, here) for part in condition.parts])
        return self._leaf(condition, here)

    def every(self, literals: Sequence[int]) -> int:
        """All of these: nested alls are one."""
        flat: set[int] = set()
        for literal in literals:
            spec = self.columns.specs[literal >> 1]
            flat.update(spec[1] if spec[0] == "all" and not literal & 1 else (literal,))
        flat.discard(TRUE)
        if not flat:
            return TRUE
        if len(flat) == 1:
            return flat.pop()
        return self.columns.intern(("all", tuple(sorted(flat)))) << 1

    def any(self, literals: Sequence[int]) -> int:
        """Any of these: nested anys are one."""
        flat: set[int] = set()
        for literal in literals:
            spec = self.columns.specs[literal >> 1]
            flat.update(spec[1] if spec[0] == "any" and not literal & 1 else (literal,))
        if len(flat) == 1:
            return flat.pop()
        return self.columns.intern(("any", tuple(sorted(flat)))) << 1

    def at_least(self, k: int, literals: Sequence[int]) -> int:
        """At least k of these."""
        if k == 1:
            return self.any(literals)
        if k == len(literals):
            return self.every(literals)
        return self.columns.intern(("kth", k, tuple(sorted(literals)))) << 1

    def _leaf(self, leaf: Leaf, here: Here) -> int:
        if leaf.of == "places":
            members = self.vocabulary.group(leaf.subject)
            grounded = [self._sided(leaf, here, member) for member in members]
            return self.at_least(leaf.how_many, grounded)
        subject = here.place if leaf.subject == "this_place" else leaf.subject
        return self._sided(leaf, here, subject)

    def _sided(self, leaf: Leaf, here: Here, subject: str) -> int:
        if leaf.of in ("place", "places") and self.vocabulary.places[subject].sides == "midline":
            return self._one(leaf, here, subject, "")
        if leaf.side in ("both", "either"):
            pair = [self._one(leaf, here, subject, side) for side in ("left", "right")]
            return self.every(pair) if leaf.side == "both" else self.any(pair)
        side = leaf.side
        if not side and leaf.subject == "this_place":
            side = "this"
        if side == "this":
            side = here.side
        elif side == "other":
            side = OPPOSITE[here.side]
        return self._one(leaf, here, subject, side)

    def _one(self, leaf: Leaf, here: Here, subject: str, side: str) -> int:
        if leaf.of == "conclusion":
            if subject in self.concerns:
                return self.concern_literals[subject, side]
            if leaf.test == "certainty":
                return self.columns.intern(("certainty", subject, side, self._entered_at(leaf.value or 0.0))) << 1
            return self.columns.intern(("conclusion", subject, side)) << 1
        column = self.columns.intern(self._atom(leaf, here, subject, side))
        if here.lessened and self.lessen is not None:
            column = self.lessen(column)
        return column << 1

    def _entered_at(self, certainty: float) -> float:
        """Where a band begins: the lowest one above its value, and certainties stand on a grid of 1e-9."""
        lowest = min(self.scales.bands.values())
        return certainty + 0.5 * 10.0**-DIGITS if certainty == lowest else certainty

    def _atom(self, leaf: Leaf, here: Here, subject: str, side: str) -> tuple[Any, ...]:
        if leaf.of in ("place", "places"):
            return self._touch(leaf, subject, side)
        observation = self.vocabulary.observations[subject]
        if leaf.test == "is":
            readings = [word.key for word in observation.readings]
            if leaf.of == "side":
                readings = side_readings(readings)
            words = {self._this_side(word, here) for word in leaf.words}
            return ("member", slot(subject, side, "value"), mask(readings, words))
        if leaf.of == "date":
            nearest, farthest = slot(subject, side, "days_least"), slot(subject, side, "days_most")
            if leaf.test == "within":
                return ("limit", farthest, nearest, OPERATORS["at_most"], leaf.value)
            return ("limit", nearest, farthest, OPERATORS["above"], leaf.value)
        value = slot(subject, side, "value")
        return ("limit", value, value, OPERATORS[leaf.test], leaf.value)

    def _this_side(self, word: str, here: Here) -> str:
        if word == "this":
            return here.side
        return OPPOSITE[here.side] if word == "other" else word

    def _touch(self, leaf: Leaf, place: str, side: str) -> tuple[Any, ...]:
        quality = SORENESS[leaf.reading]
        if leaf.test == "ramp":
            return self.ramp(place, side, leaf.words[0], quality)
        if leaf.test == "at_least":
            name = slot(place, side, quality)
            return ("limit", name, name, OPERATORS["at_least"], leaf.value)
        if leaf.test in ("guarded", "unsettled"):
            name = slot(place, side, leaf.test)
            return ("limit", name, name, OPERATORS["at_least"], 1.0)
        table = "responses" if leaf.test == "response" else leaf.test
        words = [word.key for word in self.vocabulary.qualities[table]]
        name = {"response": RESPONSES[leaf.reading], "felt": FELT[leaf.reading]}.get(leaf.test, leaf.test)
        return ("member", slot(place, side, name), mask(words, leaf.words))

    def ramp(self, place: str, side: str, word: str, quality: str = "soreness") -> tuple[Any, ...]:
        """The specification of a ramp atom: of one side's soreness, or of this side's less the other's."""
        ramp = self.scales.ramps[word]
        other = slot(place, OPPOSITE[side], quality) if ramp.of == "difference" else ""
        return ("ramp", slot(place, side, quality), other, ramp.none_at, ramp.full_at, word)


def side_readings(readings: Sequence[str]) -> list[str]:
    """The codes of a side-valued observation: left and right first, then the readings of its own."""
    return ["left", "right", *(r for r in readings if r not in ("left", "right"))]
