"""What the long cases of back and legs read out of an answer.

In: an answer. Out: the sentences of its plan, and the bodywork it takes.
Not here: expectations.
"""

from __future__ import annotations

from tests.asking import Asked


def said(answer: Asked) -> str:
    """Every sentence of the plan, taken and withheld."""
    plan = answer.answer.plan
    held = [reason for step in plan.withheld for reason in step.because]
    return "\n".join([*(f"{s.words} {s.dose} {s.reason}" for s in plan.steps), *held])


def hands(answer: Asked) -> set[tuple[str, str]]:
    """Key and side of every step of bodywork taken."""
    return {(s.key, answer.side(s.side)) for s in answer.answer.plan.steps if s.kind == "bodywork"}
