"""What one measure says, the same for the terminal, a report and JSON.

In: a visit and the rulebook. Out: `Told`, one for each measure of which enough was written down.
Not here: the arithmetic (measures/), the sentences of one measure (its own module beside this one).
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import field, replace
from importlib import import_module
from typing import Any

from reasoner.frozen import frozen
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

#: For each table of measures the module of this room that tells it: `told(visit, book)` yields `Told`.
TELLERS: dict[str, str] = {
    "sides": "reasoner.rendering.measured_sides",
    "feet_and_gait": "reasoner.rendering.measured_feet_and_gait",
    "tracing": "reasoner.rendering.measured_tracing",
    "tree": "reasoner.rendering.measured_tree",
    "load": "reasoner.rendering.measured_load",
    "pressure": "reasoner.rendering.measured_pressure",
    "shims": "reasoner.rendering.measured_shims",
    "stirrups": "reasoner.rendering.measured_stirrups",
}


@frozen(kw_only=True)
class Told:
    """One measure, told.

    `lines` are sentences: the result first, then what it was worked out from and how far it may be off. `more` are details
    that a short page folds away; what they come to stands in `lines` too. `picture` is a
    whole SVG or empty, `picture_says` the same in words for who cannot see it. `rests_on` are bases (source ids, "common
    practice", "own setting"), `not_measured` what would have made it surer, `cautions` what it does not say. `numbers` are
    the same results for programs, by name with the unit in the name.
    """

    key: str
    title: str
    lines: tuple[str, ...]
    rests_on: tuple[str, ...]
    more: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    not_measured: tuple[str, ...] = ()
    picture: str = ""
    picture_says: str = ""
    numbers: Mapping[str, Any] = field(default_factory=dict)


def measured(visit: Visit, book: Rulebook, tables: Container[str] | None = None) -> tuple[Told, ...]:
    """Everything that was measured on this visit and can be told, in the order of `TELLERS`; of `tables` only, if given."""
    graded = any(word.grades for word in visit.vets_words)
    if not visit.outlines and not graded and not any(noted.key in book.vocabulary.measured for noted in visit.noted):
        return ()
    tellers = [m for table, m in TELLERS.items() if table in book.measures and (tables is None or table in tables)]
    return tuple(told for module in tellers for told in import_module(module).told(visit, book))


def said_once(every: Iterable[Told]) -> tuple[Told, ...]:
    """The same, each caution and each thing not measured at the first measure that has it: a page is read from the top."""
    said: set[str] = set()
    found = []
    for told in every:
        cautions = tuple(one for one in told.cautions if one not in said)
        missing = tuple(one for one in told.not_measured if one not in said)
        said.update(cautions, missing)
        found.append(replace(told, cautions=cautions, not_measured=missing))
    return tuple(found)
