"""The examples of the shipped pages, each once as written and once in the mirror, and what is wrong with one.

In: the shipped rules. Out: `cases()`, `answer_of(case)`, `complaints(case)`.
Not here: how an example is judged (reasoner/rulecare).
"""

from __future__ import annotations

from functools import cache

from reasoner.consult import Answer
from reasoner.rulecare import examples
from reasoner.rulecare.example_check import Case
from reasoner.rulecare.examples import pages as pages
from tests.asking import shipped


@cache
def cases() -> tuple[Case, ...]:
    """Every example of the shipped rules."""
    return examples.cases(shipped().book)


def answer_of(case: Case) -> Answer:
    """The whole answer to what an example records."""
    return examples.answer_of(case, shipped())


def complaints(case: Case) -> list[str]:
    """What is wrong with an example."""
    return examples.complaints(case, answer_of(case))
