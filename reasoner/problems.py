"""What is wrong with something a person wrote, in that person's words.

In: a code, a place (file and line), a sentence, a hint. Out: `Problem` records and the `BadInput` they travel in.
Not here: how a problem is found, and any wording about horses.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from reasoner.frozen import frozen

#: First letters say where a problem comes from: YM the YAML layer, VF a visit file, RB a rule page, BT a table, CL a command,
#: LN a spoken line, PG the page.
CODES: dict[str, str] = {
    "YM01": "the file cannot be read",
    "YM02": "the file is too large",
    "YM03": "the file is not text",
    "YM04": "the YAML does not parse",
    "YM05": "a key stands twice",
    "YM06": "an anchor, alias or tag",
    "YM07": "nested too deep",
    "YM08": "a tab where blanks belong",
    "YM09": "the file is not UTF-8",
    "YM10": "a mapping was expected",
}


@frozen
class Problem:
    """One thing wrong: where, what was read, what was expected.

    `line` counts from 1; 0 means the whole file. `hint` is the nearest valid word or the repair, or empty.
    """

    file: str
    line: int
    code: str
    sentence: str
    hint: str = ""
    severity: Literal["error", "warning"] = "error"

    def __lt__(self, other: Problem) -> bool:
        return self._place() < other._place()

    def _place(self) -> tuple[str, int, str, str, str]:
        """What problems are sorted by: file and line first."""
        return self.file, self.line, self.code, self.sentence, self.hint

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{self.code} {place}: {self.sentence}" + (f" {self.hint}" if self.hint else "")


class BadInput(Exception):
    """Raised once with everything that is wrong; carries `problems`, sorted by file and line."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(p) for p in self.problems))

    def __reduce__(self) -> tuple[type[BadInput], tuple[tuple[Problem, ...]]]:
        return type(self), (self.problems,)  # whole also where it comes from another process


def register(codes: dict[str, str]) -> None:
    """Add a room's codes to the registry. Raises ValueError where a code is taken."""
    for code, meaning in codes.items():
        if CODES.get(code, meaning) != meaning:
            raise ValueError(f"problem code {code} already means {CODES[code]!r}")
        CODES[code] = meaning


def nearest(word: str, known: Iterable[str], *, at_least: float = 62.0) -> str:
    """The known word most like `word` (0-100 likeness, ties by alphabet), or an empty string if none is near.

    >>> nearest("girth lien", ["girth", "girth line", "loin"])
    'girth line'
    >>> nearest("xyz", ["girth line", "loin"])
    ''
    >>> nearest("all", ["ascending pectoral", "loin"])
    ''
    """
    from rapidfuzz import fuzz, process  # imported late: only a mistake needs it

    words = sorted(set(known))
    if not word or not words:
        return ""
    word = word.lower()[:200]
    # Likeness of the whole words first: a part of the word ("girth") is always like it, and seldom what was meant.
    found = process.extractOne(word, words, scorer=fuzz.ratio, score_cutoff=75.0)
    if not found and len(word) > 3:  # three letters stand inside many words that nobody meant
        found = process.extractOne(word, words, scorer=fuzz.WRatio, score_cutoff=at_least)
    return found[0] if found else ""


def near_hint(word: str, known: Iterable[str]) -> str:
    """`Near: "girth line".` or an empty string."""
    near = nearest(word, known)
    return f'Near: "{near}".' if near else ""
