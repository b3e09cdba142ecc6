"""What was once said of a visit or a horse, and has been said otherwise since.

In: an opened store, a visit or horse. Out: the older words, the newest of them first.
Not here: what stands now (afterwards.py, consents.py). Nothing said is taken back, so that all of it can be read.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TypeVar

from sqlalchemy import Connection

from reasoner.frozen import frozen
from reasoner.store.afterwards import Done, Opinion, done_of, every_done_of, every_opinion_of, opinions_of
from reasoner.store.consents import Agreed, said_of, standing

Word = TypeVar("Word")


@frozen(kw_only=True)
class Earlier:
    """Words that others stand in the place of now, the newest first."""

    done: tuple[Done, ...] = ()
    opinions: tuple[Opinion, ...] = ()
    agreed: tuple[Agreed, ...] = ()


def earlier_words(connection: Connection, visit: str, horse: str, day: date) -> Earlier:
    """What was told and judged of a visit, and agreed about its horse, before what stands on a day."""
    return Earlier(
        done=_but(every_done_of(connection, visit), done_of(connection, visit)),
        opinions=_but(every_opinion_of(connection, visit), opinions_of(connection, visit)),
        agreed=agreed_earlier(connection, horse, day),
    )


def agreed_earlier(connection: Connection, horse: str, day: date) -> tuple[Agreed, ...]:
    """What was agreed or refused about a horse before what stands on a day; what counts from a later day only is not among it."""
    now = standing(connection, horse, day=day).get(horse, ())
    return _but([one for one in said_of(connection, horse) if not one.given or one.on <= day], now)


def _but(every: Sequence[Word], now: Sequence[Word]) -> tuple[Word, ...]:
    """All but those that stand now, each taken out once: the same words said twice are two."""
    left = list(every)[::-1]
    for one in now:
        left.remove(one)
    return tuple(left)
