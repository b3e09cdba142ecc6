"""The answer as the records keep it: what was said, without the rules that had nothing to say.

In: an answer. Out: JSON-ready data, a part of `answer_json`.
Not here: keeping it. What is left out follows from the kept words of the visit and the kept rulebook.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reasoner.explanation.model import Concluded
from reasoner.rendering.answer_json import item_json, told_json
from reasoner.rendering.answered import Answered
from reasoner.rendering.numbers import number

#: What the records know of a visit stands there by itself, and may change after the answer was kept.
_OF_THE_RECORDS = ("signing", "visit_of_the_day")


def kept_json(answer: Answered) -> dict[str, Any]:
    """The answer; of its conclusions only those that something spoke for or against, and of each only what spoke."""
    spoken = (one for one in answer.explanation.concluded.values() if one.supporting or one.opposing)
    told = {key: value for key, value in told_json(answer).items() if key not in _OF_THE_RECORDS}
    return {**told, "conclusions": [concluded_kept(one) for one in spoken]}


def concluded_kept(one: Concluded) -> Mapping[str, Any]:
    """A conclusion and what spoke for and against it."""
    return {
        "key": one.key, "side": one.side or None, "kind": one.kind, "words": one.words,
        "certainty": number(one.certainty), "band": one.band, "lower": number(one.lower), "upper": number(one.upper),
        "supporting": [item_json(item) for item in one.supporting],
        "opposing": [item_json(item) for item in one.opposing],
    }  # fmt: skip
