"""What visits say beside each other, in words: one reading, one difference, one expectation.

In: the shapes of records. Out: short texts for pages, pictures and reports.
Not here: the pages.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from reasoner.records.course import Change, Compared, Seen
from reasoner.records.expectations import Came, Outcome
from reasoner.records.of_day import ORDINALS
from reasoner.rendering import phrases
from reasoner.rendering.again import expected_words
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.model import Visit

CHANGES: Mapping[Change, str] = {
    "better": "better",
    "worse": "worse",
    "within_the_hand": "no more than the hand's own error",
    "freed": "lets itself be touched again",
    "refused": "would not allow touch any more",
    "not_examined": "not examined at both visits",
    "not_measured": "no number at both visits",
}
CAME: Mapping[Came, str] = {
    "came_true": "came true",
    "partly": "partly: better by more than the hand's own error, and not there",
    "not": "not",
    "not_yet": "not yet, and its day has not come",
    "not_examined": "not examined",
}
WITHIN = "partly: there, by no more than the hand's own error"


def place_words(place: str, side: str, words: Vocabulary) -> str:
    """A place with its side: "girth line, left"."""
    known = words.places.get(place) or words.observations.get(place)
    return phrases.at_side(known.name if known else phrases.plain(place), side)


def seen_words(seen: Seen | None) -> str:
    """One reading: "5", "would not allow touch", "not examined (no time)"."""
    if seen is None:
        return "not examined"
    if seen.mark == "not_examined":
        return f"not examined ({phrases.plain(seen.reason)})" if seen.reason else "not examined"
    if seen.mark == "refused":
        return "would not allow touch"
    if seen.word:
        return phrases.plain(seen.word)
    return "no number" if seen.score is None else f"{seen.score:g}"


def compared_words(compared: Compared, words: Vocabulary) -> str:
    """Two readings: "girth line, left: 5, now 2"."""
    name = place_words(compared.place, compared.side, words)
    return f"{name}: {seen_words(compared.earlier)}, now {seen_words(compared.later)}"


def outcome_words(outcome: Outcome, words: Vocabulary) -> str:
    """An expectation and what came of it: "left girth line 5 to 2 or less by 14 April 2026: came true (1 on 18 April 2026)"."""
    came = WITHIN if outcome.within_the_hand else CAME[outcome.came]
    said = f"{expected_words(outcome.expected, words)}: {came}"
    if outcome.compared is not None and outcome.compared.later is not None:
        later = outcome.compared.later
        late = f", {phrases.counted(outcome.days_late, 'day')} after the day set" if outcome.days_late else ""
        said += f" ({seen_words(later)} on {phrases.day(later.day)}{late})"
    elif outcome.days_late:
        late = phrases.counted(outcome.days_late, "day")
        said += f" in time; looked at {late} after the day set, when it tells nothing of it any more"
    return said


def days_of(visits: Sequence[Visit]) -> tuple[str, ...]:
    """The day of each visit in order, and which of its day it is where there are several."""
    days = [visit.day for visit in visits]
    nth = [days[:at].count(day) for at, day in enumerate(days)]
    return tuple(
        f"{phrases.day(day)} ({ORDINALS[min(n, len(ORDINALS) - 1)]} visit)" if days.count(day) > 1 else phrases.day(day)
        for day, n in zip(days, nth, strict=True)
    )
