"""Saying once what stands for both sides in otherwise equal words.

In: sentences of two sides. Out: one sentence for both, or none where they say different things.
Not here: choosing what is said. No side comes first by default: the order is that of what was given.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import TypeVar

_SIDE = re.compile(r"\b(?:left|right)\b")
_ON_A_SIDE = re.compile(r"\bon the (?:left|right)\b(?! \w)")
_SWAP = {"left": "right", "right": "left"}
Sided = TypeVar("Sided")


def turned(text: str) -> str:
    """The same text for the other side.

    >>> turned("under the right bar and none under the left")
    'under the left bar and none under the right'
    """
    return _SIDE.sub(lambda word: _SWAP[word[0]], text)


def same_of_both(one: str, other: str) -> bool:
    """Whether two texts say the same of the two sides, or plainly the same."""
    return other in (one, turned(one))


def of_both(text: str) -> str:
    """One sentence for both sides, from that of one side.

    >>> of_both("The loin answers to the hand on the left.")
    'The loin answers to the hand on both sides.'
    >>> of_both("Lay a flat hand along the left withers.")
    'Lay a flat hand along the left withers. The same on the right: both sides.'
    >>> of_both("The left hind pushes off less than the right.")
    'The left hind pushes off less than the right. The same the other way round: both sides.'
    """
    sides = _SIDE.findall(text)
    if not sides:
        return text
    if len(sides) == 1 and _ON_A_SIDE.search(text):
        return _ON_A_SIDE.sub("on both sides", text)
    if len(set(sides)) == 1:
        return f"{text.rstrip('.')}. The same on the {_SWAP[sides[0]]}: both sides."
    return f"{text.rstrip('.')}. The same the other way round: both sides."


def paired(every: Iterable[Sided], same: Callable[[Sided, Sided], bool]) -> list[tuple[Sided, ...]]:
    """Neighbours that say the same of both sides stand together; everything else stands alone, in the order given."""
    out: list[tuple[Sided, ...]] = []
    for one in every:
        if out and len(out[-1]) == 1 and same(out[-1][0], one):
            out[-1] = (out[-1][0], one)
        else:
            out.append((one,))
    return out
