"""What is said of an entry and is no reading of today, and what says its reading without its words.

In: an entry, pieces and words. Out: whether it is hearsay or of another day; the reading that a word of praise says.
Not here: readings in their own words (entry_readings.py), places under the hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from reasoner.lines.lexicon import Lexicon
from reasoner.lines.pieces import Piece
from reasoner.lines.speech import Speech
from reasoner.lines.words import Word
from reasoner.rulebook.vocabulary import Observation


def not_now(entry: Observation, at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> bool:
    """Whether this reading is hearsay, of another day, or something to be looked at yet: "remember to check if ...". What an
    owner tells of the time before the visit is no hearsay but what was asked for."""
    if entry.section in lexicon.speech.lists["told_by_others"]:
        return False
    first = pieces[at].first
    while first and words[first].pause not in (",", "."):
        first -= 1
    before = [word.text for word in words[first : pieces[at].first]]
    phrases = [*(tuple(phrase.split()) for phrase in lexicon.speech.lists["not_now"]), *tellings(lexicon.speech)]
    said = any((*before[n : n + len(p)],) == p for p in phrases for n in range(len(before)))
    return said or of_another_day(at, pieces, words, lexicon)


@lru_cache(maxsize=4)
def _tellings(
    tellers: tuple[str, ...], telling: tuple[str, ...], hearsay: tuple[str, ...]
) -> frozenset[tuple[str, ...]]:
    every = [*hearsay, *(f"{who} {says}" for who in tellers for says in telling)]
    return frozenset(tuple(phrase.split()) for phrase in every)


def tellings(speech: Speech) -> frozenset[tuple[str, ...]]:
    """All ways to say that somebody else said it, as words: "owner says", "apparently"."""
    return _tellings(*(speech.lists[name] for name in ("tellers", "telling", "hearsay")))


def of_another_day(at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> bool:
    """Whether the breath of this piece says that it was another day: "left loin was three last week". "Better than last time" is
    of today."""
    first, last = pieces[at].first, pieces[at].last
    while first and words[first].pause not in (",", "."):
        first -= 1
    while last < len(words) and words[last].pause not in (",", "."):
        last += 1
    breath = [word.text.removesuffix("'s") for word in words[first:last]]
    days = [tuple(phrase.split()) for phrase in lexicon.speech.lists["another_day"]]
    against = lexicon.speech.lists["held_against"]
    return any(
        (*breath[n : n + len(day)],) == day and not (n and breath[n - 1] in against)
        for day in days
        for n in range(len(breath))
    )


def as_usual(
    entry: Observation, at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon
) -> tuple[int, int, str] | None:
    """ "Clearance is fine": a good word says the one reading of an entry that is nothing to note, where there is only one. First
    and last piece and the reading."""
    plain = [word.key for word in entry.readings if not word.notable]
    if entry.kind != "choice" or entry.sides != "none" or len(plain) != 1:
        return None
    for behind in range(at + 1, len(pieces)):
        said = " ".join(word.text for word in words[pieces[behind].first : pieces[behind].last])
        ends = behind + 1 == len(pieces) or pieces[behind + 1].pause or pieces[behind + 1].may_be("join", "break")
        if not pieces[behind].pause and ends and said in lexicon.speech.lists["good"]:
            return at, behind + 1, plain[0].replace("_", " ")
        if pieces[behind].pause or not pieces[behind].may_be("filler"):
            return None
    return None
