"""What was not checked, as a reader of a report is told of it: the first sixty seconds first.

In: an answer, a reader. Out: (heading or region, names) in the order told.
Not here: what was not checked, layout.
"""

from __future__ import annotations

from reasoner.rendering import first_seconds, short_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rulebook.readers import Reader

#: Of a region with more places than this left out, a report gives the number only.
MOST_NAMED = 6


def left_open(answer: Answered, reader: Reader) -> list[tuple[str, str]]:
    """What was not checked, as far as it concerns the reader; the veterinarian is told all of it."""
    words, every = answer.ready.book.vocabulary, answer.explanation.not_checked
    if reader.all_places:
        left_out = first_seconds.later(answer, every)
        before = first_seconds.unseen_group(answer)
    else:
        left_out = [u for u in every if _sees(reader, u.where, answer) or hears(reader, u.where, answer)]
        before = []
    return [*before, *wording.unchecked_by_region(left_out, words, wording.touched(answer.visit), most=MOST_NAMED)]


def looked_at_first(answer: Answered) -> list[tuple[str, str]]:
    """What to look at where too little is known, the first sixty seconds before it; empty where nothing more is to be."""
    look_at, words = answer.explanation.account.look_at, answer.ready.book.vocabulary
    told = wording.unchecked_by_region(look_at, words, wording.touched(answer.visit), most=MOST_NAMED)
    return [*first_seconds.unseen_group(answer), *told] if told else []


def few(answer: Answered) -> list[tuple[str, str]]:
    """What matters most of what was not checked, by name, and how much more there is, by heading or region."""
    words, felt = answer.ready.book.vocabulary, wording.touched(answer.visit)
    every = first_seconds.later(answer, short_text.by_weight(answer))
    names = list(dict.fromkeys(one.where for one in every))
    first = set(names[:MOST_NAMED])
    told = wording.unchecked_by_region([one for one in every if one.where in first], words, felt)
    if names[MOST_NAMED:]:
        groups = dict.fromkeys(wording.group_of(where, words) for where in names[MOST_NAMED:])
        told.append((f"and {len(names) - MOST_NAMED} more of less weight", ", ".join(groups)))
    return [*first_seconds.unseen_group(answer), *told]


def hears(reader: Reader, key: str, answer: Answered) -> bool:
    """Whether a reader is told of this entry."""
    observation = answer.ready.book.vocabulary.observations.get(key)
    return observation is not None and reader.hears_of(observation)


def _sees(reader: Reader, key: str, answer: Answered) -> bool:
    place = answer.ready.book.vocabulary.places.get(key)
    return place is not None and reader.sees(place)
