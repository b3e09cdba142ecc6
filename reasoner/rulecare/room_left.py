"""What the slots of a visit can still hold, while one requirement after another is put to them.

In: one atom of a network and how it must come out. Out: the room left, or None where there is none.
Not here: how requirements join (possible). Where two slots depend on each other the answer errs towards "there is room".
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reasoner.frozen import frozen
from reasoner.inference.slots import split

_AT_LEAST, _ABOVE, _AT_MOST, _BELOW = range(4)
_CONTRARY = {_AT_LEAST: _BELOW, _BELOW: _AT_LEAST, _ABOVE: _AT_MOST, _AT_MOST: _ABOVE}
_ENDLESS = float("inf")


@frozen
class Span:
    """The numbers left: from `low` to `high`, the ends themselves left out where they are `open`."""

    low: float = -_ENDLESS
    high: float = _ENDLESS
    low_open: bool = False
    high_open: bool = False

    def within(self, operator: int, at: float) -> Span | None:
        """What is left of this span under one more limit."""
        low, high, low_open, high_open = self.low, self.high, self.low_open, self.high_open
        if operator in (_AT_LEAST, _ABOVE):
            low, low_open = max((low, low_open), (at, operator == _ABOVE))
        else:
            high, shut = min((high, not high_open), (at, operator != _BELOW))
            high_open = not shut
        if low > high or (low == high and (low_open or high_open)):
            return None
        return Span(low, high, low_open, high_open)


@frozen
class Words:
    """The words left: all of `banned` are out, and of each mask in `wanted` one must be there."""

    banned: int = 0
    wanted: tuple[int, ...] = ()


@frozen
class Room:
    """The room left in every slot that something was asked of; `ranges` are the numbers a slot can hold at all."""

    ranges: Mapping[str, tuple[float, float]]
    numbers: Mapping[str, Span]
    words: Mapping[str, Words]
    gaps: tuple[tuple[str, str, int, float], ...] = ()

    def after(self, spec: tuple[Any, ...], turned: bool, above: float) -> Room | None:
        """The room left once an atom's support (`turned`: its opposition) is above `above`; None if none is."""
        if spec[0] == "limit":
            operator = _CONTRARY[spec[3]] if turned else spec[3]
            return self._limited(spec[1], operator, spec[4])
        if spec[0] == "member":
            return self._worded(spec[1], spec[2], turned)
        _, one, other, low, high, _ = spec
        at = low + ((1.0 - above) if turned else above) * (high - low)
        operator = _BELOW if turned else _ABOVE
        return self._apart(one, other, operator, at) if other else self._limited(one, operator, at)

    def _span(self, name: str) -> Span:
        return self.numbers.get(name) or Span(*self.ranges.get(name, (-_ENDLESS, _ENDLESS)))

    def _limited(self, name: str, operator: int, at: float) -> Room | None:
        name = name.replace("days_most", "days").replace(
            "days_least", "days"
        )  # one day, however roughly it was written
        left = self._span(name).within(operator, at)
        if left is None:
            return None
        return Room(self.ranges, {**self.numbers, name: left}, self.words, self.gaps)._if_gaps_fit()

    def _worded(self, name: str, mask: int, turned: bool) -> Room | None:
        before = self.words.get(name, Words())
        after = Words(before.banned | mask, before.wanted) if turned else Words(before.banned, (*before.wanted, mask))
        if any(not wanted & ~after.banned for wanted in after.wanted):
            return None
        if split(name)[2] == "value" and after.wanted:  # an observation holds one word; a place may have felt several
            common = ~after.banned
            for wanted in after.wanted:
                common &= wanted
            if not common:
                return None
        return Room(self.ranges, self.numbers, {**self.words, name: after}, self.gaps)

    def _apart(self, one: str, other: str, operator: int, at: float) -> Room | None:
        gaps = (*self.gaps, (one, other, operator, at))
        return Room(self.ranges, self.numbers, self.words, gaps)._if_gaps_fit()

    def _if_gaps_fit(self) -> Room | None:
        for one, other, operator, at in self.gaps:
            first, second = self._span(one), self._span(other)
            if operator == _ABOVE and not first.high - second.low > at:
                return None
            if operator == _BELOW and not first.low - second.high < at:
                return None
        return self


def ranges_of(network_slots: Mapping[str, tuple[float, float]]) -> Room:
    """Room for everything: nothing has been asked yet."""
    return Room(network_slots, {}, {})
