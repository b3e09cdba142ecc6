"""Doses worked out from the measurements of a visit.

In: the name of a calculation on an action's page, the visit, a side. Out: sentences with numbers; none where too little was
measured. Not here: the arithmetic (measures/), whether the step stands.
"""

from __future__ import annotations

from importlib import import_module

from reasoner.explanation.from_record import filled
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

#: Each calculation an action may name, the table of measures it needs, and the module of this room with its
#: `reckoned(visit, side, book)`, which gives a tuple of sentences.
CALCULATIONS: dict[str, tuple[str, str]] = {
    "tracing": ("tracing", "reasoner.plan.dose_tracing"),
    "load": ("load", "reasoner.plan.dose_load"),
    "shim": ("shims", "reasoner.plan.dose_shim"),
    "stirrups": ("stirrups", "reasoner.plan.dose_stirrups"),
}


def reckoned(calculation: str, visit: Visit, side: str, book: Rulebook) -> tuple[str, ...]:
    """The dose in numbers, and what it rests on; empty where the table is not there or too little was measured."""
    table, module = CALCULATIONS.get(calculation, ("", ""))
    if table not in book.measures:
        return ()
    found: tuple[str, ...] = import_module(module).reckoned(visit, side, book)
    return found


def before_it(calculation: str, side: str, book: Rulebook) -> tuple[str, ...]:
    """What has to be out of the way before the step with this calculation may be done, in the sentences of its own page.

    `side` may be empty: the side is then the low one. Empty where no page of the rulebook has it: then nothing may be done.
    """
    page = next((page for page in book.actions.values() if page.calculation == calculation), None)
    if page is None:
        return ()
    said = (*(need.otherwise for need in page.only_after), *(forbid.because for forbid in page.forbidden_by))
    return tuple(_held(sentence, side) for sentence in said)


def _held(sentence: str, side: str) -> str:
    """What holds it back, without the opening "Not today, because"."""
    if not side:
        sentence = sentence.replace("{side}", "low").replace("{other}", "other")
    return filled(sentence, side).removeprefix("Not today, because").strip()
