"""One step of a plan for machines, in a fixed order of keys.

In: a step. Out: a dict ready for json.dumps.
Not here: the plan and the answer (answer_json.py), the shapes (step_schema.py).
"""

from __future__ import annotations

from typing import Any

from reasoner.plan.model import Expected, StepOf
from reasoner.rendering.numbers import number


def step_json(step: StepOf) -> dict[str, Any]:
    """One step of the plan."""
    return {
        "key": step.key,
        "kind": step.kind,
        "side": step.side or None,
        "words": step.words,
        "plain": step.plain,
        "dose": step.dose,
        "reckoned": list(step.reckoned),
        "done_before": list(step.done_before),
        "because": [{"key": key, "words": words} for key, words in step.because],
        "reason": step.reason,
        "basis": list(step.basis),
        "sure": step.sure,
        "expects": [_expected(expected) for expected in step.expects],
        "looks_for": [
            {
                "entry": one.entry,
                "name": one.name,
                "side": one.side or None,
                "was": one.was,
                "to": list(one.to),
                "by_days": one.by_days,
            }
            for one in step.looks_for
        ],
        "recheck_days": step.recheck_days,
        "can_mislead": step.can_mislead,
        "folds": [
            {"key": f.key, "side": f.side or None, "words": f.words, "reason": f.reason, "file": f.file}
            for f in step.folds
        ],
        "file": step.file,
    }


def _expected(expected: Expected) -> dict[str, Any]:
    return {
        "place": expected.place,
        "name": expected.name,
        "side": expected.side or None,
        "from": None if expected.from_ is None else number(expected.from_),
        "to": number(expected.to),
        "by_days": expected.by_days,
    }
