"""What of the first sixty seconds nobody looked at, in words.

In: an answer. Out: its entries in walking order; the group that stands first wherever a page tells what was not checked.
Not here: what the first sixty seconds are (rules/scales/checking.yaml), whether it may be ridden.
"""

from __future__ import annotations

from collections.abc import Iterable

from reasoner.explanation.model import Unchecked
from reasoner.rendering import phrases
from reasoner.rendering.answered import Answered
from reasoner.rulebook.vocabulary import Observation, canonical

#: So many things not looked at are named, and the rest counted: the answer stays a sentence.
MOST_NAMED = 6


def first(answer: Answered) -> list[Observation]:
    """What is looked at in the first sixty seconds, in walking order."""
    words, checking = answer.ready.book.vocabulary, answer.ready.book.scales.checking
    heading = canonical(checking.first) if checking is not None else ""
    return sorted(
        (o for o in words.observations.values() if heading and o.section == heading), key=lambda o: (o.walk, o.key)
    )


def unseen_first(answer: Answered) -> list[Observation]:
    """Those of them that nothing was written of."""
    seen = {noted.key for noted in answer.visit.noted}
    return [one for one in first(answer) if one.key not in seen]


def unseen_names(answer: Answered) -> list[str]:
    """Their names, the rest counted."""
    names = [one.name for one in unseen_first(answer)]
    if len(names) > MOST_NAMED:
        names[MOST_NAMED - 1 :] = [phrases.counted(len(names) - MOST_NAMED + 1, "more look")]
    return names


def later(answer: Answered, left_out: Iterable[Unchecked]) -> list[Unchecked]:
    """What was not checked, without what belongs to the first sixty seconds: that is told by `unseen_group`."""
    before = {one.key for one in first(answer)}
    return [one for one in left_out if one.where not in before]


def unseen_line(answer: Answered) -> str:
    """The same in one sentence; empty where all of it was looked at."""
    return "".join(f"{group}, before anything else: {names}" for group, names in unseen_group(answer))


def unseen_group(answer: Answered) -> list[tuple[str, str]]:
    """(heading, names): one group where something of it was not looked at, none where all was. It comes before whatever else was
    not checked, because a reason to call the veterinarian may stand among it."""
    unseen = unseen_first(answer)
    if not unseen:
        return []
    every = len(unseen) == len(first(answer))
    return [(phrases.FIRST_SECONDS, phrases.NOTHING_OF_IT if every else phrases.listed(unseen_names(answer)))]
