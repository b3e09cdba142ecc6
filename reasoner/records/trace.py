"""On what an entry from the records rests, in words: the step, what was told of it, and the readings before and after.

In: outcomes of one step. Out: one line, and whether the step changed nothing.
Not here: which entries there are (tried, done_before).
"""

from __future__ import annotations

from collections.abc import Sequence

from reasoner.records.course import Compared, Comparing, Seen
from reasoner.records.expectations import Outcome
from reasoner.rulebook.rulebook import Rulebook


def judged_last(own: Sequence[Outcome]) -> int | None:
    """The visit that shows what came of a step: the last of those that judged its places; None where not every place was examined
    again, or the visits are unlike each other."""
    pairs = [o.compared for o in own if o.compared is not None]
    if not pairs or len(pairs) < len(own) or any(pair.unlike for pair in pairs):
        return None
    return max(o.judged for o in own if o.judged is not None)


def changed_nothing(own: Sequence[Outcome]) -> bool:
    """Nothing got better at any place: no more than the hand's own error, or worse. A reading in words alone says nothing."""
    return all(
        o.came == "not" and o.compared is not None and o.compared.change in ("within_the_hand", "worse", "refused")
        for o in own
    )


def step_line(own: Sequence[Outcome], comparing: Comparing) -> str:
    """The step, its plan, what was told of it, and each place before and after; two hands where two graded."""
    step, told, planned = own[0].step, own[0].step.told, comparing.visits[own[0].plan].day
    hands = {two for o in own if o.judged is not None and (two := comparing.two_hands(o.plan, o.judged))}
    other = "".join(f"; graded by {one} and then by {two}" for one, two in sorted(hands))
    said = f" by {told.by}" if told is not None and told.by else ""
    told_on = f", told{said} on {told.on.isoformat()}" if told is not None else ""
    answer = own[0].carried_out.replace("_", " ")
    return f'"{step.words.rstrip(".")}" ({planned.isoformat()}; {answer}{told_on}): {places_line(own, comparing.book)}{other}'


def places_line(own: Sequence[Outcome], book: Rulebook) -> str:
    """Each place with its reading before and after, and the day of the later one."""
    return ", ".join(pair_words(o.compared, book) for o in own if o.compared is not None)


def pair_words(pair: Compared, book: Rulebook) -> str:
    """One place at two visits: "girth line left 6, then 5.5 on 2026-04-20"."""
    name = spot_name(pair.place, pair.side, book)
    one, other = (_seen_words(seen) if seen else "?" for seen in (pair.earlier, pair.later))
    later = f" on {pair.later.day.isoformat()}" if pair.later is not None else ""
    return f"{name} {one}, then {other}{later}"


def spot_name(key: str, side: str, book: Rulebook) -> str:
    """A place or an entry with its side: "girth line left"."""
    known = book.vocabulary.places.get(key) or book.vocabulary.observations.get(key)
    return " ".join(filter(None, (known.name if known else key.replace("_", " "), side)))


def _seen_words(seen: Seen) -> str:
    if seen.word:
        return seen.word.replace("_", " ")
    return (
        "would not allow touch" if seen.mark == "refused" else "in words" if seen.score is None else f"{seen.score:g}"
    )
