"""The names of what a visit can hold: one slot a number.

In: a place, observation, side and quality. Out: a slot's name, and how words are coded as bits.
Not here: filling slots from a visit (facts), reading them in rules (grounding).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

#: Slots of a place and side. The first five are soreness 0-10; `responses`, `felt`, `depth` and `touch` hold bits of words.
SORENESS = {
    "effective": "soreness",
    "first": "soreness_first",
    "settled": "soreness_settled",
    "worst": "soreness_worst",
    "after_work": "soreness_after_work",
}
RESPONSES = {
    "effective": "responses",
    "first": "responses_first",
    "settled": "responses_settled",
    "worst": "responses_any",
    "after_work": "responses_after_work",
}
#: Before work a place is felt as a whole, settled or not; the worst counts what was felt after work too.
FELT = {"worst": "felt_any", **dict.fromkeys(("effective", "first", "settled", "after_work"), "felt")}


def slot(key: str, side: str, quality: str) -> str:
    """The name of a slot. `side` is "left", "right", or "" for the midline and for things without sides."""
    return f"{key}|{side}|{quality}"


def split(name: str) -> tuple[str, str, str]:
    """(key, side, quality) of a slot's name."""
    key, side, quality = name.split("|")
    return key, side, quality


def bit(words: Sequence[str], word: str) -> int:
    """The bit of a word in its list. A slot of words holds the sum of the bits of the words recorded.

    >>> bit(["none", "flinches"], "flinches")
    2
    """
    return 1 << words.index(word)


def mask(words: Sequence[str], wanted: Iterable[str]) -> int:
    """The bits of several words together."""
    return sum(bit(words, word) for word in set(wanted))
