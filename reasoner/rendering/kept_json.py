"""The answer as the records keep it: what was said, without the rules that had nothing to say.

In: an answer. Out: JSON-ready data, a part of `answer_json`.
Not here: keeping it. What is left out follows from the kept words of the visit and the kept rulebook.
"""

from __future__ import annotations

from typing import Any

from reasoner.rendering.answer_json import answer_json
from reasoner.rendering.answered import Answered

#: What of a conclusion is in the rulebook word for word, or only tells what did not speak.
_LEFT_OUT = ("silent", "not_checked", "can_mislead", "plain", "accounts_for", "leads_to", "file")


def kept_json(answer: Answered) -> dict[str, Any]:
    """The answer less the conclusions that nothing spoke for or against, and less each one's silent rules."""
    whole = answer_json(answer)
    spoken = (one for one in whole["conclusions"] if one["supporting"] or one["opposing"])
    conclusions = [{key: held for key, held in one.items() if key not in _LEFT_OUT} for one in spoken]
    return {**whole, "conclusions": conclusions}
