"""The next case of an apprentice, and their record after it: what the terminal and the page both do.

In: a record, a moment, chance; an ended session and its marks. Out: a `Case`; the next `Record`.
Not here: when a kind of case comes again and how hard the next is (practice_record), making a case (making).
"""

from __future__ import annotations

from datetime import datetime
from random import Random

from reasoner.rules_cache import Ready
from reasoner.teaching.making import Case, Maker
from reasoner.teaching.marked import Marked
from reasoner.teaching.marking import table_of
from reasoner.teaching.practice_record import Record, after, difficulty_of, next_kind
from reasoner.teaching.session import Session

MOST_SEED = 2**31


def difficulties(ready: Ready) -> tuple[str, ...]:
    """The names of the difficulties, the easiest first. Raises BadInput (TE44)."""
    return tuple(one.name for one in Maker(ready.book).table.difficulties)


def recommended(ready: Ready, record: Record) -> str:
    """How hard the next case is, by the record. Raises BadInput (TE44)."""
    return difficulty_of(record, difficulties(ready), table_of(ready.book))


def made_case(ready: Ready, record: Record, difficulty: str, chance: Random, at: datetime) -> Case:
    """A case made from what the record asks for; as hard as the record says where `difficulty` is empty. Raises BadInput (TE43,
    TE44)."""
    maker = Maker(ready.book)
    wanted = difficulty or recommended(ready, record)
    maker.difficulty(wanted)
    cause, side = next_kind(record, maker, at, chance)
    return maker.case(cause, side, wanted, chance.randrange(MOST_SEED))


def counted(record: Record, marks: Marked, session: Session, ready: Ready, at: datetime) -> Record:
    """The record with this session in it, as hard as its case was; where that was none of our own making, under where it came
    from."""
    return after(record, marks, session.case.difficulty or session.case.origin, at, table_of(ready.book))
