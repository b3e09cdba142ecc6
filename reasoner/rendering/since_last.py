"""What changed since the last visit, for a report: short for the owner, what concerns the reader for the others.

In: a `Progress` up to today's visit, the reader, the words. Out: lines of plain text; none where nothing is kept from before.
Not here: HTML, comparing. No conclusion is told to a reader who is told none.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.records.course import Compared
from reasoner.records.expectations import Outcome
from reasoner.records.progress import Progress, Site
from reasoner.rendering import phrases
from reasoner.rendering.again import told_words
from reasoner.rendering.phrases import sentence
from reasoner.rendering.progress_text import NONE_AT_BOTH, UNSEEN, hand_lines
from reasoner.rendering.progress_words import compared_words, outcome_words, place_words
from reasoner.rulebook.readers import Reader
from reasoner.rulebook.vocabulary import Vocabulary

OWNER_NAMES = 3  # more places than this are counted for the owner and not named
NOTHING = "No place differs by more than the hand's own error"


def since_lines(progress: Progress | None, reader: Reader, words: Vocabulary) -> list[str]:
    """The lines for this reader, in the order told."""
    if progress is None or len(progress.held) < 2:
        return []
    sites = [site for site in progress.sites if _concerns(site, reader, words)]
    told = _for_owner(progress, sites, words) if reader.key == "owner" else _in_full(progress, sites, words)
    return [sentence(line) for line in told]


def _concerns(site: Site, reader: Reader, words: Vocabulary) -> bool:
    place = words.places.get(site.course.place)
    return reader.all_places or (place is not None and reader.sees(place))


def _for_owner(progress: Progress, sites: Sequence[Site], words: Vocabulary) -> Iterator[str]:
    """Better, worse, what was looked for; a place or two by name."""
    day = phrases.day(progress.comparing.visits[-2].day)
    said = []
    for label, kinds in (("better", ("better", "freed")), ("worse", ("worse", "refused"))):
        some = [site for site in sites if site.since_last.change in kinds]
        if some:
            said.append(f"{label} at {_named(some, words)}")
    nothing = _nothing(sites)
    yield f"Since {day}: {' and '.join(said)}" if said else f"Since {day}: {nothing[0].lower()}{nothing[1:]}"
    newest = _newest(progress)
    true = sum(outcome.came == "came_true" for outcome in newest)
    judged = [outcome for outcome in newest if outcome.came not in ("not_examined", "not_yet")]
    if judged:
        yield f"Of {phrases.counted(len(judged), 'thing')} looked for in the last plan, {true} came true"
    left = len(newest) - len(judged)
    if left:
        yield f"{phrases.counted(left, 'thing')} looked for could not be judged yet"
    yield from (f"The two visits are not alike: {said}" for said in progress.unlike)


def _nothing(sites: Sequence[Site]) -> str:
    """What is said where no place is better or worse: that none differs, or that none was examined both times."""
    return NOTHING if any(site.since_last.change not in UNSEEN for site in sites) else NONE_AT_BOTH


def _named(sites: Sequence[Site], words: Vocabulary) -> str:
    if len(sites) > OWNER_NAMES:
        return f"{len(sites)} places"
    return phrases.listed(place_words(site.course.place, site.course.side, words) for site in sites)


def _newest(progress: Progress) -> list[Outcome]:
    """What came of the last plan, each place and side once, the strictest of what was looked for."""
    last = len(progress.held) - 2
    found: dict[tuple[str, str], Outcome] = {}
    for outcome in progress.outcomes:
        at = (outcome.expected.place, outcome.expected.side)
        if outcome.plan == last and (at not in found or outcome.expected.to < found[at].expected.to):
            found[at] = outcome
    return list(found.values())


def _in_full(progress: Progress, sites: Sequence[Site], words: Vocabulary) -> Iterator[str]:
    """Every change that concerns the reader, both numbers, what was done, and how far the hand wavers."""
    before = progress.comparing.visits[-2]
    yield f"Beside the visit of {phrases.day(before.day)}, readings before work with readings before work"
    for label, kinds in (("worse", ("worse", "refused")), ("better", ("better", "freed"))):
        some = [site.since_last for site in sites if site.since_last.change in kinds]
        if some:
            yield f"{label}: {_pairs(some, words)}"
    if not any(site.since_last.change in ("better", "freed", "worse", "refused") for site in sites):
        yield _nothing(sites)
    same = [site.since_last for site in sites if site.since_last.change == "within_the_hand" and not site.quiet]
    if same:
        yield f"within the hand's own error: {_pairs(same, words)}"
    seen = {(site.course.place, site.course.side) for site in sites}
    steps: dict[tuple[str, str], list[Outcome]] = {}
    for outcome in progress.outcomes:
        if outcome.plan == len(progress.held) - 2 and (outcome.expected.place, outcome.expected.side) in seen:
            steps.setdefault((outcome.step.key, outcome.step.side), []).append(outcome)
    for some_of in steps.values():
        step = some_of[0].step
        done = told_words(step.told, reason=False) or "not told whether it was done"
        yield f"{step.words.rstrip('.')}; {done}: {'; '.join(outcome_words(one, words) for one in some_of)}"
    yield from hand_lines(progress)


def _pairs(pairs: Sequence[Compared], words: Vocabulary) -> str:
    return "; ".join(compared_words(pair, words) for pair in pairs)
