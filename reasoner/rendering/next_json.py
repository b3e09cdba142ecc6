"""The answers of `reasoner next` for machines.

In: an answer and what was found to tell. Out: dicts ready for json.dumps.
Not here: their shapes (asked_schema), sentences.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reasoner.explanation.model import Key
from reasoner.questions.minutes import Planned
from reasoner.questions.next_check import Next
from reasoner.questions.telephone import Question
from reasoner.questions.telling import EITHER, Call, Effect
from reasoner.rendering.answer_head import head
from reasoner.rendering.answer_json import key_json
from reasoner.rendering.answered import Answered
from reasoner.rendering.numbers import number


def next_json(told: Next, answer: Answered) -> dict[str, Any]:
    """What to look at next."""
    return {
        **head(answer),
        "referral": answer.referral.level,
        "stop": told.stop,
        "first_look": [_effect(effect, answer) for effect in told.first_look],
        "proposed": [_effect(effect, answer) for effect in told.proposed],
        "others": told.others,
        "not_proposed": [{"check": one.check.key, "because": one.because} for one in told.left],
    }


def planned_json(planned: Planned, answer: Answered) -> dict[str, Any]:
    """An examination by the clock."""
    return {
        **head(answer),
        "referral": answer.referral.level,
        "stop": planned.stop,
        "steps": [_effect(effect, answer) for effect in planned.steps],
        "minutes": planned.minutes,
        "narrows": number(planned.narrows),
        "of": number(planned.of),
        "seed": planned.seed,
    }


def telephone_json(questions: Sequence[Question], answer: Answered) -> dict[str, Any]:
    """The questions before a visit."""
    return {
        **head(answer),
        "referral": answer.referral.level,
        "questions": [
            {
                "check": q.effect.check.key,
                "question": q.effect.check.question,
                "veterinarian_if": [_call(call, answer) for call in q.flags],
                "changes_plan": q.effect.plan,
                "narrows": number(q.effect.narrows),
            }
            for q in questions
        ],
    }


def _effect(effect: Effect, answer: Answered) -> dict[str, Any]:
    check = effect.check
    return {
        "check": check.key,
        "name": check.name,
        "sides": [side for side in check.sides if side],
        "heading": check.heading,
        "minutes": check.minutes,
        "question": check.question,
        "how": check.how,
        "safety": check.safety,
        "readings": [reading.words for reading in check.readings],
        "calls": [_call(call, answer) for call in effect.calls],
        "changes_plan": effect.plan,
        "narrows": number(effect.narrows),
        "raises": _key(effect.raises),
        "tells_from": _key(effect.tells_from),
    }


def _call(call: Call, answer: Answered) -> dict[str, Any]:
    return {
        "reading": call.reading.words,
        "level": list(answer.ready.book.scales.calls)[call.level - 1],
        "concerns": [{"key": key, "side": side or None, "place": place or None} for key, side, place in call.concerns],
    }


def _key(key: Key | None) -> dict[str, Any] | None:
    return None if key is None else key_json((key[0], "" if key[1] == EITHER else key[1]))
