"""One way to make choices, two sources of them: a seeded generator for speed, hypothesis where a failure must shrink.

In: a seed, or hypothesis's `draw`. Out: `Chooser` objects that the generators of rulebases and visits ask.
Not here: what is made with the choices.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from typing import Any, Protocol, TypeVar

from hypothesis import strategies as st

Thing = TypeVar("Thing")


class Chooser(Protocol):
    """A source of choices. Small numbers and early entries are the plain ones: hypothesis shrinks towards them."""

    def integer(self, low: int, high: int) -> int:
        """A whole number from `low` to `high`, both included."""
        ...


class Drawn:
    """Choices drawn from hypothesis."""

    def __init__(self, draw: Callable[[st.SearchStrategy[int]], int]) -> None:
        self._draw = draw

    def integer(self, low: int, high: int) -> int:
        return self._draw(_integers(low, high))


class Seeded:
    """Choices of a seeded generator: the same seed, the same choices."""

    def __init__(self, seed: int) -> None:
        self._random = random.Random(seed)

    def integer(self, low: int, high: int) -> int:
        return self._random.randint(low, high)


_CACHE: dict[tuple[int, int], st.SearchStrategy[int]] = {}


def _integers(low: int, high: int) -> st.SearchStrategy[int]:
    if (low, high) not in _CACHE:
        _CACHE[low, high] = st.integers(low, high)
    return _CACHE[low, high]


def pick(chooser: Chooser, things: Sequence[Thing]) -> Thing:
    """One of `things`."""
    return things[chooser.integer(0, len(things) - 1)]


def happens(chooser: Chooser, percent: int) -> bool:
    """True in about `percent` of a hundred cases; the plain case is False."""
    return chooser.integer(0, 99) >= 100 - percent


def some(chooser: Chooser, things: Sequence[Thing], least: int, most: int) -> list[Thing]:
    """From `least` to `most` different ones of `things`, in their order."""
    wanted = chooser.integer(least, min(most, len(things)))
    left = list(range(len(things)))
    chosen = [left.pop(chooser.integer(0, len(left) - 1)) for _ in range(wanted)]
    return [things[n] for n in sorted(chosen)]


def shuffled(chooser: Chooser, things: Sequence[Thing]) -> list[Thing]:
    """All of `things` in some order."""
    left: list[Any] = list(things)
    return [left.pop(chooser.integer(0, len(left) - 1)) for _ in range(len(left))]
