"""Lists of words, as the files of the scales write them, into one pattern that finds any of them in a sentence.

In: words; one with a stroke at its end stands for all that begins so. Out: a compiled pattern.
Not here: which words (rules/scales/), what is done about a hit.
"""

from __future__ import annotations

import re
from collections.abc import Iterable


def pattern_of(words: Iterable[str]) -> re.Pattern[str]:
    """One pattern for a list of words as wording.yaml writes them.

    >>> bool(pattern_of(["arthrit-"]).search("Arthritis is likely"))
    True
    >>> bool(pattern_of(["lame"]).search("a lamella"))
    False
    """
    return re.compile(rf"(?<![a-z])(?:{'|'.join(map(_one, sorted(set(words))))})", re.IGNORECASE)


def _one(word: str) -> str:
    open_ended = word.endswith("-")
    parts = re.split(r"([\s-]+|'|<number>)", word.rstrip("-").lower())
    shown = {"'": "['’]", "<number>": r"\d+"}
    text = "".join(shown.get(part, r"[\s-]*" if re.fullmatch(r"[\s-]+", part) else re.escape(part)) for part in parts)
    return text if open_ended else text + r"(?![a-z])"
