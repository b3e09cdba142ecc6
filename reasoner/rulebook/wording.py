"""The words no page may use, and what counts as saying nothing: the lists of rules/scales/wording.yaml, ready to search.

In: parsed files of scales, the shipped ones first. Out: `Wording`, with `forbidden_in` and `says_nothing`.
Not here: the words (they are data), where they are looked for (checks).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from reasoner.frozen import frozen
from reasoner.problems import nearest
from reasoner.rulebook.filling import plain
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import canonical
from reasoner.rulebook.word_patterns import pattern_of

TABLE = "wording"


@frozen(kw_only=True)
class Wording:
    """`never` pairs a reason with the pattern of its words; `allowed` are phrases no word is looked for in. `instead` holds, by
    reason, what may be written in place of a word; `veterinary` finds what only a veterinarian's line says.

    `empty` holds whole sentences that say nothing, in canonical form; `unwritten` marks what a skeleton leaves open.
    `sided` finds a side named in a sentence, as in "left hind".
    """

    never: tuple[tuple[str, re.Pattern[str]], ...]
    allowed: Mapping[str, str]
    empty: frozenset[str]
    unwritten: str
    fewest_words: Mapping[str, int]
    repeated_from: int
    sided: re.Pattern[str]
    instead: Mapping[str, Mapping[str, str]]
    veterinary: re.Pattern[str]

    def instead_of(self, word: str, because: str) -> str:
        """What may be written in place of a forbidden word: that of the word most like it under the same reason, or an empty
        string where nothing is offered."""
        offered = self.instead.get(because, {})
        return offered.get(nearest(word.lower(), offered, at_least=0.0), "")

    def forbidden_in(self, text: str) -> Iterator[tuple[str, str]]:
        """(the word, why it is not ours to say) of each forbidden word in a text."""
        for phrase in self.allowed:
            text = text.replace(phrase, "")
        for because, pattern in self.never:
            for hit in pattern.finditer(text):
                yield hit[0] + re.match(r"[a-z]*", text[hit.end() :], re.IGNORECASE)[0], because  # type: ignore[index]

    def is_unwritten(self, text: str) -> bool:
        """Whether a skeleton's text still stands where its author's belongs."""
        return text.strip().lower().startswith(self.unwritten.lower())

    def says_nothing(self, key: str, text: str) -> str:
        """Why a text under `key` is filler, or an empty string."""
        if self.is_unwritten(text):
            return f'it still begins with "{self.unwritten}"'
        if canonical(text.strip(" .!")) in self.empty or not re.search(r"\w\w", text):
            return f'"{" ".join(text.split())[:40]}" says nothing'
        words, least = len(text.split()), self.fewest_words.get(key, 0)
        return f"{words} word{'s' if words != 1 else ''} tell a colleague nothing" if words < least else ""


def wording_from(files: Iterable[Node]) -> Wording:
    """The lists of all files in order. Words and empty sentences add up; the other settings are the first file's.

    Raises KeyError or ValueError where the first file with a `wording:` table lacks one of its lists.
    """
    tables: list[dict[str, Any]] = [plain(node, lines=False) for f in files if (node := f.get(TABLE)) is not None]
    first = tables[0]
    never: dict[str, list[str]] = {}
    instead: dict[str, dict[str, str]] = {}
    for table in tables:
        for entry in table.get("never", ()):
            never.setdefault(entry["because"], []).extend(_flat(entry["words"]))
            instead.setdefault(entry["because"], {}).update(entry.get("instead", {}))
    return Wording(
        never=tuple((because, pattern_of(words)) for because, words in never.items()),
        allowed={entry["phrase"]: entry["because"] for entry in first["allowed"]},
        empty=frozenset(canonical(w.strip(" .!")) for table in tables for w in _flat(table.get("empty", ()))),
        unwritten=first["unwritten"],
        fewest_words={key: int(least) for key, least in first["fewest_words"].items()},
        repeated_from=int(first["repeated_from"]),
        sided=re.compile(
            rf"\b(left|right) (?:{'|'.join(re.escape(w) for w in _flat(first['sided']))})\b", re.IGNORECASE
        ),
        instead=instead,
        veterinary=pattern_of(_flat(first["veterinary"])),
    )


def _flat(rows: Iterable[Any]) -> Iterator[str]:
    for row in rows:
        yield from [row] if isinstance(row, str) else row
