"""The answers of `reasoner why-not`, `suppose` and `which-of` for machines.

In: what was found, and the answer it came from. Out: dicts ready for json.dumps.
Not here: their shapes (asked_schema), sentences.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reasoner.explanation.model import Finding
from reasoner.inference.record import Applied
from reasoner.questions.suppose import Supposed
from reasoner.questions.which_of import WhichOf
from reasoner.questions.why_not import Missing, Silenced, WhyNot
from reasoner.rendering.answer_head import head
from reasoner.rendering.answer_json import concluded_json, finding_json, item_json, key_json
from reasoner.rendering.answered import Answered
from reasoner.rendering.differences_text import difference_json
from reasoner.rendering.numbers import number
from reasoner.rendering.why_not_text import wanted_words


def why_not_json(told: WhyNot, answer: Answered) -> dict[str, Any]:
    """Why a conclusion was not drawn."""
    return {
        **head(answer),
        "referral": answer.referral.level,
        "conclusion": concluded_json(answer.explanation.concluded[told.key]),
        "speaking": told.speaking,
        "silent": [_silenced(one) for one in told.silenced],
        "against": None if told.against is None else item_json(told.against),
    }


def _silenced(one: Silenced) -> dict[str, Any]:
    return {
        "rule": one.rule.id,
        "name": one.name,
        "strength": number(one.rule.strength),
        "because": one.because,
        "basis": list(one.basis),
        "file": one.file,
        "line": one.line,
        "missing": [_missing(missing) for missing in one.missing],
        "then": number(one.then),
        "band": one.band,
    }


def _missing(missing: Missing) -> dict[str, Any]:
    return {
        "state": missing.state,
        "where": missing.where,
        "side": missing.side or None,
        "wanted": wanted_words(missing.wanted),
        "support": number(missing.support),
        "needs": number(missing.needs),
        "found": [finding_json(found) for found in missing.found],
        "lessened_by": list(missing.lessened_by),
        "short": None if missing.short is None else number(missing.short),
    }


def suppose_json(told: Supposed, lines: Sequence[str]) -> dict[str, Any]:
    """Before and after."""
    return {
        **head(told.before),
        "supposed": list(lines),
        "before": _state(told.before),
        "after": _state(told.after),
        "changes": [difference_json(change) for change in told.differences],
        "started": [_rule(rule) for rule in told.started],
        "stopped": [_rule(rule) for rule in told.stopped],
    }


def _state(answer: Answered) -> dict[str, Any]:
    return {
        "referral": answer.referral.level,
        "riding": answer.plan.riding.answer,
        "conclusions": [
            {**key_json((c.key, c.side)), "certainty": number(c.certainty), "band": c.band}
            for c in answer.explanation.concluded.values()
        ],
        "steps": [key_json((step.key, step.side)) for step in answer.plan.steps],
    }


def _rule(rule: Applied) -> dict[str, Any]:
    return {"rule": rule.id, "side": rule.side or None, "strength": number(rule.strength)}


def which_of_json(told: WhichOf, answer: Answered) -> dict[str, Any]:
    """Two conclusions side by side."""

    def findings(found: tuple[Finding, ...]) -> list[dict[str, Any]]:
        return [finding_json(one) for one in found]

    return {
        **head(answer),
        "referral": answer.referral.level,
        "stop": told.stop,
        "one": concluded_json(told.one),
        "two": concluded_json(told.two),
        "both": findings(told.both),
        "only_one": findings(told.only_one),
        "only_two": findings(told.only_two),
        "partings": [
            {
                "check": p.check.key,
                "name": p.check.name,
                "question": p.check.question,
                "minutes": p.check.minutes,
                "parts": number(p.parts),
                "towards_one": p.towards_one and p.towards_one.words,
                "towards_two": p.towards_two and p.towards_two.words,
            }
            for p in told.partings
        ],
    }
