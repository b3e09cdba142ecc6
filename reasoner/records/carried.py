"""What veterinarians said at earlier visits, as it bears on the next one: what still holds, what has run out, what a sign closed.

In: an opened store, the visits to a horse in order, the day of the next one. Out: a `Carried` for each word.
Not here: writing it into a file (rendering.again), whether it holds once the new visit is judged (plan.referral).

A word is read from the very bytes of the visit it stands in, so that the leg, the degree and the grade it named go with it.
What a new sign closed stays closed: a word opens nothing any more after that, though what it forbids stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Literal

from sqlalchemy import Connection

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.store.history import Held
from reasoner.store.place import Place
from reasoner.store.reading import answer_of, beside_of, text_of
from reasoner.visit.model import VetsWord
from reasoner.visit.reading import visit_from_bytes

register({"RE50": "a next visit that would lie before the last one"})

State = Literal["holds", "left out", "run out", "unread"]


@frozen(kw_only=True)
class Carried:
    """A word for the next visit. `word` is what of it may be written (without what it allowed, where that is over); `since` the
    visit it was first written at.

    `state`: "holds"; "left out" where it was not written again at the last visit, so that it is only offered; "run out" where
    nothing of it is left; "unread" where the rules of today no longer read the visit. `why` says what is over, and is empty where
    nothing is.
    """

    word: VetsWord
    since: date
    state: State
    why: str = ""


def next_day(every: Sequence[Held], on: date | None, today: date, shown: str) -> date:
    """The day of the next visit: the one named, else today, and never before the last. Raises BadInput (RE50)."""
    last = every[-1].known.day
    if on is not None and on < last:
        what = f"{on.isoformat()} lies before the last visit, which was on {last.isoformat()}."
        raise BadInput(
            [Problem(shown, 0, "RE50", what, "--on is the day of the next visit; `records save` keeps an earlier one.")]
        )
    return on or max(today, last)


def carried(
    connection: Connection, place: Place, every: Sequence[Held], on: date, vocabulary: Vocabulary
) -> tuple[Carried, ...]:
    """Every word that stood at the last visit, or that had a last day no earlier than it; the oldest first, each once."""
    last = every[-1]
    since: dict[VetsWord, date] = {}
    closed: dict[VetsWord, str] = {}
    stood: dict[VetsWord, Held] = {}
    unread: dict[VetsWord, date] = {}
    for held in every:
        if not held.visit.vets_words:
            continue
        words = _read(connection, place, held, vocabulary)
        if words is None:
            unread |= dict.fromkeys((bare(w) for w in held.visit.vets_words), held.known.day)
            continue
        releases = {
            one["line"]: one
            for one in answer_of(connection, held.known.version, shown=place.shown)["referral"]["releases"]
        }
        for word in words:
            key = bare(word)
            since.setdefault(key, held.known.day)
            stood[key] = held
            release = releases.get(word.line)
            if release is not None and key not in closed and _by_a_sign(word, release, held.known.day):
                closed[key] = f"closed at the visit of {held.known.day.isoformat()}: {release['closed_because']}"
    found = [
        _carried(word, since[word], on, closed.get(word, ""), left_out=held is not last)
        for word, held in stood.items() if held is last or (word.until is not None and word.until >= last.known.day)
    ]  # fmt: skip
    found += [
        Carried(word=word, since=day, state="unread", why="the rules of today no longer read that visit")
        for word, day in unread.items()
        if day == last.known.day or (word.until is not None and word.until >= last.known.day)
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda one: (one.word.seen, one.since)))


def bare(word: VetsWord) -> VetsWord:
    """What was said, without where it was written: the same word in two files is one word."""
    return replace(word, line=0, note="", grades=tuple(replace(grade, line=0) for grade in word.grades))


def _read(connection: Connection, place: Place, held: Held, vocabulary: Vocabulary) -> tuple[VetsWord, ...] | None:
    """The words of a visit as its file says them; None where the rules of today no longer read the file."""
    version = held.known.version
    text, beside = text_of(connection, version, shown=place.shown), beside_of(connection, place, version)
    try:
        return visit_from_bytes(text, held.visit.file, vocabulary, beside).vets_words
    except BadInput:
        return None


def _by_a_sign(word: VetsWord, release: dict[str, object], day: date) -> bool:
    """Whether a sign of that visit closed it, and not its own last day or the lack of one."""
    over = word.until < day if word.until is not None else bool(word.allows) and word.seen < day
    return not release["holds"] and not over


def _carried(word: VetsWord, since: date, on: date, closed: str, *, left_out: bool) -> Carried:
    if word.until is not None and word.until < on:
        return Carried(word=word, since=since, state="run out", why=f"it ended on {word.until.isoformat()}")
    why = closed
    if not why and word.allows and word.until is None and word.seen < on:
        why = "it names no last day, so what it allowed held for its own day alone"
    rest = replace(word, allows=()) if why else word
    if not (rest.allows or rest.forbids or rest.grades):
        return Carried(word=word, since=since, state="run out", why=why)
    # What is only forbidden harms nobody by standing once too often; what is allowed was perhaps struck out for a reason.
    return Carried(word=rest, since=since, state="left out" if left_out and rest.allows else "holds", why=why)
