"""What a page says of causes and effects: what it accounts for, and what it leads to. Nothing else of the page is looked at.

In: a rulebook. Out: `Linked` for each conclusion, its sides still seen from the side of the conclusion.
Not here: premises, strengths, limits of rules; a case made from these links knows nothing of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from reasoner.frozen import frozen
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import canonical

LINE = "line"
EITHER = "either"


@frozen
class Shown:
    """Something a page accounts for: a place, or an entry with any of some words; sides are "this", "other", "both", "either"
    or none. A word that is a side is seen in the same way."""

    subject: str
    side: str = ""
    words: tuple[str, ...] = ()
    depth: str = ""


@frozen
class Linked:
    """One conclusion: whether it has sides, what it accounts for, and what it leads to, as (conclusion, side)."""

    sided: bool
    accounts_for: tuple[Shown, ...]
    leads_to: tuple[tuple[str, str], ...]


def linked(book: Rulebook) -> Mapping[str, Linked]:
    """The links of every conclusion."""
    return {
        key: Linked(
            sided=page.sides == "each",
            accounts_for=tuple(shown for entry in page.accounts_for for shown in _shown(entry)),
            leads_to=tuple(
                (canonical(k), str(side)) for entry in page.leads_to for k, side in entry.items() if k != LINE
            ),
        )
        for key, page in book.conclusions.items()
    }


def _shown(entry: Mapping[str, Any]) -> Iterator[Shown]:
    for subject, said in entry.items():
        if subject == LINE:
            continue
        key = canonical(subject)
        if isinstance(said, Mapping):
            yield Shown(key, str(said.get("side", "")), _words(said.get("is", ())), str(said.get("depth", "")))
        else:
            yield Shown(key, "", _words(said))


def _words(said: Any) -> tuple[str, ...]:
    words = (said,) if isinstance(said, str) else tuple(said)
    return (EITHER,) if set(words) == {"left", "right"} else tuple(map(canonical, words))
