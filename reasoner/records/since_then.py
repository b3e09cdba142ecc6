"""What owners have told since an answer was given, and what the answer would be with it.

In: an opened store, a visit of the records or one just judged, the rulebook of now. Out: a `SinceThen`, or None where nothing
was told. Not here: wording. The kept answer stays as it was given; this stands beside it.

Both answers that are compared are worked out now, by the rulebook of now: the one as it was known then, and the one with what
was told since. So what differs is the owner's word, and never a rule that was changed meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from sqlalchemy import Connection, select

from reasoner.consult import Answer, judge
from reasoner.differences import Change, changes_between
from reasoner.frozen import frozen
from reasoner.problems import BadInput
from reasoner.records.tried import history_of, known
from reasoner.rules_cache import Ready
from reasoner.store import tables as t
from reasoner.store.history import Held, Told, history
from reasoner.store.place import Place
from reasoner.store.reading import KnownVisit, beside_of, text_of, visits
from reasoner.visit.model import Visit
from reasoner.visit.reading import visit_from_bytes

Load = Callable[[], Ready]
Said = tuple["SaidSince", ...]


@frozen(kw_only=True)
class SaidSince:
    """What was told of one step of an earlier plan after the answer was given; `before` is what was known then."""

    planned: date
    step: str
    side: str
    words: str
    told: Told
    before: Told | None


@frozen(kw_only=True)
class SinceThen:
    """What was told since about steps agreed before a visit, and what the answer would be with it.

    `day` is that of the visit; `changes` what differs between the answer as known then and with it, both by the rulebook
    `stamp` of now; `other_rules`: the answer was given by another one. `unread`: why it could not be worked out, an empty
    string where it could.
    """

    day: date
    said: Said
    changes: tuple[Change, ...]
    stamp: str
    other_rules: bool
    unread: str = ""


def since_kept(
    connection: Connection, place: Place, visit: KnownVisit, load: Load, *, version: str = "", rulebook: str = ""
) -> SinceThen | None:
    """Of the answer kept with a version of a visit (the newest, where none is named). None where nothing was told since."""
    version = version or visit.version
    saved_at = connection.execute(select(t.version.c.saved_at).where(t.version.c.uid == version)).scalar_one()
    before = [
        one
        for one in visits(connection, horse=visit.horse, until=visit.day)
        if (one.day, one.part) < (visit.day, visit.part)
    ]
    if not before:
        return None
    then, now = history(connection, before, told_until=str(saved_at)), history(connection, before)
    said = said_since(then, now, visit.day)
    if not said:
        return None
    ready = load()
    changes: tuple[Change, ...] = ()
    unread = ""
    try:
        text, beside = text_of(connection, version, shown=place.shown), beside_of(connection, place, version)
        read = visit_from_bytes(text, f"the visit of {visit.day.isoformat()}", ready.book.vocabulary, beside)
        changes = _changes(read, then, now, ready)
    except BadInput as bad:
        unread = bad.problems[0].sentence
    return SinceThen(
        day=visit.day, said=said, changes=changes, stamp=ready.book.stamp, unread=unread,
        other_rules=not (rulebook or visit.rulebook).startswith(ready.book.stamp),
    )  # fmt: skip


def since_judged(answer: Answer, before: Sequence[Held]) -> SinceThen | None:
    """Of an answer just worked out for a visit of an earlier day, which hears what was told up to that day."""
    said = said_since(before, before, answer.visit.day)
    if not said:
        return None
    changes = changes_between(answer, judge(_with(answer.visit, before, answer.ready, date.max), answer.ready))
    return SinceThen(day=answer.visit.day, said=said, changes=changes, stamp=answer.ready.book.stamp, other_rules=False)


def said_since(then: Sequence[Held], now: Sequence[Held], day: date) -> Said:
    """Every step whose newest answer was not known when a visit of that day was judged, visits and steps in their order."""
    found = []
    for one, other in zip(then, now, strict=True):
        for was, is_ in zip(known(one.steps, day), other.steps, strict=True):
            if is_.told is not None and is_.told != was.told:
                found.append(
                    SaidSince(
                        planned=other.known.day,
                        step=is_.key,
                        side=is_.side,
                        words=is_.words,
                        told=is_.told,
                        before=was.told,
                    )
                )
    return tuple(found)


def _changes(visit: Visit, then: Sequence[Held], now: Sequence[Held], ready: Ready) -> tuple[Change, ...]:
    as_known = judge(_with(visit, then, ready, visit.day), ready)
    return changes_between(as_known, judge(_with(visit, now, ready, date.max), ready))


def _with(visit: Visit, held: Sequence[Held], ready: Ready, known_on: date) -> Visit:
    return replace(visit, history=history_of(held, replace(visit, history=()), ready.book, known_on=known_on))
