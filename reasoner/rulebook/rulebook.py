"""A whole rulebook: words, scales, pages, and the stamp of the bytes it was read from.

In: nothing. Out: `Rulebook`.
Not here: reading (loading.py), checks, evaluation.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field
from typing import TYPE_CHECKING, Any

from reasoner.frozen import frozen
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion, Evidence, Source
from reasoner.rulebook.scales import Scales
from reasoner.rulebook.vocabulary import Vocabulary, canonical

if TYPE_CHECKING:
    from reasoner.rulebook.conditions import (
        Condition,  # the grammar is not needed where a rulebook comes from the cache
    )


@frozen(kw_only=True)
class Rulebook:
    """Pages by id, in the order of their ids.

    `stamp` is a short hash of every file's bytes in order. `measures` holds the tables
    behind measurements by the name of their file. `parsed` maps a page id and the place of a condition on it,
    such as ("withers_pinch", "evidence 0 when"), to the parsed condition; it is empty when read back from the cache.
    """

    vocabulary: Vocabulary
    scales: Scales
    conclusions: Mapping[str, Conclusion]
    concerns: Mapping[str, Concern]
    actions: Mapping[str, Action]
    circumstances: Mapping[str, Circumstance]
    sources: Mapping[str, Source]
    stamp: str
    folders: tuple[str, ...]
    measures: Mapping[str, Any] = field(default_factory=dict)
    parsed: Mapping[tuple[str, str], Condition] = field(default_factory=dict, compare=False)

    def rules(self) -> Iterator[tuple[str, Conclusion, Evidence]]:
        """(rule id, page, evidence) of every rule as written, in the order of pages and of their lines."""
        for page in self.conclusions.values():
            for evidence in page.evidence:
                yield rule_id(page.id, evidence.rule), page, evidence


def rule_id(page: str, rule: str) -> str:
    """The id of a rule: its page and the canonical form of its name.

    >>> rule_id("withers_pinch", "sore on this side")
    'withers_pinch/sore_on_this_side'
    """
    return f"{page}/{canonical(rule)}"
