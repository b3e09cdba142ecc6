"""A day's horses, each with what it needs: what was agreed and expected, and what is still to be checked.

In: the diary and the kept visit files. Out: `Sheet`, one a horse.
Not here: choosing the next check (questions.next_check), wording.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sqlalchemy import Connection

from reasoner.consult import Answer, judge
from reasoner.frozen import frozen
from reasoner.questions.next_check import Next, next_of
from reasoner.records.diary import Due
from reasoner.rules_cache import Ready
from reasoner.store.place import Place
from reasoner.store.reading import beside_of, text_of
from reasoner.visit.reading import visit_from_bytes

MOST = 5  # looks named for each horse; more are not read between two boxes


@frozen
class Sheet:
    """One horse of the day. `answer` is its last visit as today's rules judge it, `next` what was not looked at then."""

    due: Due
    answer: Answer
    next: Next


def sheets_of(
    connection: Connection, dues: Iterable[Due], ready: Ready, place: Place, *, most: int = MOST
) -> Iterator[Sheet]:
    """A sheet for each. Raises BadInput where a kept file no longer reads by these rules' words, or fails its checksum."""
    for due in dues:
        text = text_of(connection, due.visit.version, shown=place.shown)
        name = f"{due.visit.name}, {due.visit.day.isoformat()}"
        answer = judge(
            visit_from_bytes(text, name, ready.book.vocabulary, beside_of(connection, place, due.visit.version)), ready
        )
        yield Sheet(due, answer, next_of(answer, most))
