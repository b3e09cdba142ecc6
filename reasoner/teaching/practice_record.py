"""An apprentice's record: sessions marked, progress by skill, how hard the next case is, and what comes again when.

In: marked sessions and their days; the bytes of a record file. Out: `Record`, its text, what to practise next.
Not here: marking. When a kind of case comes again is worked out by the library `fsrs`, imported where it is asked for.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.measures.practise import Again, Practise
from reasoner.teaching.making import Maker
from reasoner.teaching.marked import Marked

register({"TE55": "a record of practice that cannot be read"})

WHAT, VERSION = "reasoner practice record", "1"
#: Within how many days what comes again is counted together; own setting.
SPANS = (7, 30)
#: Of how many sessions it is said how a skill goes lately; own setting.
LATELY = 10


@frozen(kw_only=True)
class Done:
    """One session: when (UTC), how hard, the points, each skill from 0 to 1 or None, and both scores of certainty, or None."""

    at: str
    difficulty: str
    points: float
    skills: Mapping[str, float | None]
    brier: float | None = None
    logarithmic: float | None = None


@frozen(kw_only=True)
class Record:
    """All sessions in order, and of each kind of case met what the library keeps of it."""

    done: tuple[Done, ...] = ()
    cards: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)


def after(record: Record, marks: Marked, difficulty: str, at: datetime, table: Practise) -> Record:
    """The record with one more session. `at` has a time zone."""
    scored = marks.sureness.came is not None
    done = Done(
        at=at.astimezone(UTC).isoformat(timespec="seconds"),
        difficulty=difficulty,
        points=marks.points,
        skills=dict(marks.skills),
        brier=marks.sureness.brier if scored else None,
        logarithmic=marks.sureness.logarithmic if scored else None,
    )
    cards = dict(record.cards)
    if marks.truth is not None:
        kind = marks.truth[0]
        cards[kind] = _reviewed(cards.get(kind), rating_of(marks, table.again), at, table.again)
    return replace(record, done=(*record.done, done), cards=cards)


def rating_of(marks: Marked, table: Again) -> int:
    """How a case went, as the library counts it: 1 to be learnt again, 2 hard, 3 well, 4 easily."""
    share = marks.sureness.share
    if marks.referral.low or marks.steps_stopped or share < table.hard:
        return 1
    return 2 if share < table.good else 3 if share < table.easy else 4


def _reviewed(card: Mapping[str, Any] | None, rating: int, at: datetime, table: Again) -> dict[str, Any]:
    from fsrs import Card, Rating, Scheduler

    # Days, not minutes: a case is not shown again in the same hour. Without chance, so that a record means one thing.
    scheduler = Scheduler(
        desired_retention=table.wanted_retention, learning_steps=(), relearning_steps=(), enable_fuzzing=False
    )
    at = at.astimezone(UTC)
    held = Card.from_dict(dict(card)) if card is not None else Card(card_id=1, due=at)  # type: ignore[arg-type]
    new, _ = scheduler.review_card(held, Rating(rating), at)
    return {**new.to_dict(), "card_id": 1}


def due(record: Record, at: datetime) -> tuple[str, ...]:
    """The kinds of case that are due, the longest overdue first."""
    waiting = sorted((datetime.fromisoformat(card["due"]), kind) for kind, card in record.cards.items())
    return tuple(kind for when, kind in waiting if when <= at)


def coming(record: Record, at: datetime, spans: Sequence[int] = SPANS) -> tuple[tuple[int, int], ...]:
    """(days, kinds) of how many kinds of case come again within so many days from now, 0 for those due already, each counted
    once; what lies beyond the last span comes last, with -1. No kind is named: who knows what is due knows the next case."""
    days = [
        max(math.ceil((datetime.fromisoformat(card["due"]) - at) / timedelta(days=1)), 0)
        for card in record.cards.values()
    ]
    found, below = [], -1
    for span in (0, *spans):
        found.append((span, sum(below < one <= span for one in days)))
        below = span
    return (*found, (-1, sum(one > below for one in days)))


def next_kind(record: Record, maker: Maker, at: datetime, chance: Random) -> tuple[str, str]:
    """(cause, side) of the next case: what is due first; else one not met yet; else any. Which side falls by chance."""
    waiting = [kind for kind in due(record, at) if kind in maker.causes]
    new = [kind for kind in maker.causes if kind not in record.cards]
    pick = chance.random()
    kind = waiting[0] if waiting else (kinds := new or list(maker.causes))[int(pick * len(kinds))]
    sides = maker.sides(kind)
    return kind, sides[int(chance.random() * len(sides))]


def difficulty_of(record: Record, names: Sequence[str], table: Practise) -> str:
    """How hard the next case is: as the last, a step harder after some good ones in a row, easier after a poor one."""
    known = [done for done in record.done if done.difficulty in names]
    if not known:
        return names[0]
    last, at = known[-1], names.index(known[-1].difficulty)
    row = [
        done
        for done in known[-table.adapts.in_a_row :]
        if done.difficulty == last.difficulty and done.points >= table.adapts.well
    ]
    if last.points < table.adapts.poorly:
        return names[max(at - 1, 0)]
    return names[min(at + 1, len(names) - 1)] if len(row) == table.adapts.in_a_row else names[at]


def by_skill(record: Record, last: int = LATELY) -> Iterator[tuple[str, float, float, int]]:
    """(skill, mean of the last sessions, mean of those before, how many) of every skill ever shown; the second is the first where
    there are none before."""
    skills = dict.fromkeys(name for done in record.done for name in done.skills)
    for skill in skills:
        shares = [share for done in record.done if (share := done.skills.get(skill)) is not None]
        if shares:
            late, early = shares[-last:], shares[:-last]
            now = sum(late) / len(late)
            yield skill, now, sum(early) / len(early) if early else now, len(shares)


def record_text(record: Record) -> str:
    """The record as a file."""
    said = {
        "what": WHAT,
        "schema_version": VERSION,
        "sessions": [
            {
                "at": one.at,
                "difficulty": one.difficulty,
                "points": one.points,
                "skills": dict(one.skills),
                "brier": one.brier,
                "logarithmic": one.logarithmic,
            }
            for one in record.done
        ],
        "again": {kind: dict(card) for kind, card in sorted(record.cards.items())},
    }
    return json.dumps(said, indent=1, ensure_ascii=False) + "\n"


def record_from(data: bytes, file: str) -> Record:
    """The record of a file. Raises BadInput (TE55)."""
    try:
        said = json.loads(data.decode("utf-8"))
        if said["what"] != WHAT or said["schema_version"] != VERSION:
            raise ValueError("another kind of file, or another version")
        done = tuple(
            Done(
                at=str(datetime.fromisoformat(one["at"]).isoformat()),
                difficulty=str(one["difficulty"]),
                points=float(one["points"]),
                skills={str(k): None if v is None else float(v) for k, v in one["skills"].items()},
                brier=_number(one["brier"]),
                logarithmic=_number(one["logarithmic"]),
            )
            for one in said["sessions"]
        )
        cards = {str(kind): dict(card) for kind, card in said["again"].items()}
        for card in cards.values():
            if datetime.fromisoformat(card["due"]).tzinfo is None:
                raise ValueError("a time without its zone")
    except (UnicodeDecodeError, KeyError, TypeError, ValueError, AttributeError, RecursionError):
        raise BadInput(
            [
                Problem(
                    file,
                    0,
                    "TE55",
                    f'this is no record of practice that can be read; "{WHAT}", version {VERSION}, was expected.',
                    "Name another file; a new one is begun where there is none.",
                )
            ]
        ) from None
    return Record(done=done, cards=cards)


def _number(value: Any) -> float | None:
    return None if value is None else float(value)
