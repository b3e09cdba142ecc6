"""Doses worked out from the measurements of a visit.

In: the name of a calculation on an action's page, the visit, a side. Out: sentences with numbers; none where too little was
measured. Not here: the arithmetic (measures/), whether the step stands.
"""

from __future__ import annotations

from importlib import import_module

from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

#: Each calculation an action may name, the table of measures it needs, and the module of this room with its
#: `reckoned(visit, side, book)`, which gives a tuple of sentences.
CALCULATIONS: dict[str, tuple[str, str]] = {
    "tracing": ("tracing", "reasoner.plan.dose_tracing"),
}


def reckoned(calculation: str, visit: Visit, side: str, book: Rulebook) -> tuple[str, ...]:
    """The dose in numbers, and what it rests on; empty where the table is not there or too little was measured."""
    table, module = CALCULATIONS.get(calculation, ("", ""))
    if table not in book.measures:
        return ()
    found: tuple[str, ...] = import_module(module).reckoned(visit, side, book)
    return found
