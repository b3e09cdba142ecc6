"""What one measure says, the same for the terminal, a report and JSON.

In: a visit and the rulebook. Out: `Told`, one for each measure of which enough was written down.
Not here: the arithmetic (measures/), the sentences of one measure (its own module beside this one).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from importlib import import_module
from typing import Any

from reasoner.frozen import frozen
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

#: For each table of measures the module of this room that tells it: `told(visit, book)` yields `Told`.
TELLERS: dict[str, str] = {
    "tracing": "reasoner.rendering.measured_tracing",
    "tree": "reasoner.rendering.measured_tree",
}


@frozen(kw_only=True)
class Told:
    """One measure, told.

    `lines` are sentences: the result first, then what it was worked out from and how far it may be off. `picture` is a
    whole SVG or empty, `picture_says` the same in words for who cannot see it. `rests_on` are bases (source ids, "common
    practice", "own setting"), `not_measured` what would have made it surer, `cautions` what it does not say. `numbers` are
    the same results for programs, by name with the unit in the name.
    """

    key: str
    title: str
    lines: tuple[str, ...]
    rests_on: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    not_measured: tuple[str, ...] = ()
    picture: str = ""
    picture_says: str = ""
    numbers: Mapping[str, Any] = field(default_factory=dict)


def measured(visit: Visit, book: Rulebook) -> tuple[Told, ...]:
    """Everything that was measured on this visit and can be told, in the order of `TELLERS`."""
    if not visit.outlines and not any(noted.key in book.vocabulary.measured for noted in visit.noted):
        return ()
    tellers = [module for table, module in TELLERS.items() if table in book.measures]
    return tuple(told for module in tellers for told in import_module(module).told(visit, book))
