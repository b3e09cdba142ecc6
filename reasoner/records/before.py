"""The visits to a horse before one of a given day, and a visit with what they say.

In: an opened store and a visit just read. Out: the visits before it as kept, and the visit with its `history` filled in.
Not here: judging, opening the store.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from reasoner.problems import BadInput, Problem, register
from reasoner.records.progress import Progress, progress_of
from reasoner.records.tried import history_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store.history import Held, HeldConclusion, history
from reasoner.store.names import plain, same_name
from reasoner.store.reading import KnownHorse, KnownVisit, horses, visits
from reasoner.visit.model import Visit

if TYPE_CHECKING:
    from reasoner.consult import Answer

register({"RE01": "a horse without a visit in the records"})


def horse_of(connection: Connection, visit: Visit) -> KnownHorse | None:
    """The horse of a visit, found as saving finds it: by name, yard and year of birth; None where there is not exactly one."""
    where = visit.noted_value("yard")
    yard = where if isinstance(where, str) else ""
    born = next((noted.written for noted in visit.noted if noted.key == "born"), "")
    found = [
        horse for horse in horses(connection) if same_name(horse.name, visit.horse_name) and same_name(horse.yard, yard)
    ]
    found = [horse for horse in found if horse.name == plain(visit.horse_name)] or found
    fitting = [horse for horse in found if not born or not horse.born or horse.born == born]
    return fitting[0] if len(fitting) == 1 else None


def held_of(connection: Connection, horse: KnownHorse, *, shown: str = "records") -> tuple[Held, ...]:
    """Every visit to a horse, in order. Raises BadInput (RE01) where none is kept."""
    every = visits(connection, horse=horse.uid)
    if not every:
        hint = "`reasoner records save` keeps one; `reasoner new` begins a first visit."
        raise BadInput([Problem(shown, 0, "RE01", f"no visit to {horse.name} is kept here.", hint)])
    return history(connection, every)


def held_before(connection: Connection, visit: Visit, part: int = 1) -> tuple[Held, ...]:
    """Every visit to the same horse before this one, in order; `part` counts visits of one day."""
    horse = horse_of(connection, visit)
    if horse is None:
        return ()
    every = visits(connection, horse=horse.uid, until=visit.day)
    return history(connection, [one for one in every if (one.day, one.part) < (visit.day, part)])


def with_history(connection: Connection, visit: Visit, book: Rulebook, part: int = 1) -> Visit:
    """The visit with what the visits before it say, ready to be judged."""
    return replace(visit, history=history_of(held_before(connection, visit, part), visit, book))


def progress_until(connection: Connection, answer: Answer, part: int = 1) -> Progress | None:
    """The progress up to a visit just judged, which need not be kept; None where none before it is."""
    horse = horse_of(connection, answer.visit)
    held = held_before(connection, answer.visit, part) if horse is not None else ()
    if horse is None or not held:
        return None
    return progress_of(horse, (*held, _held_now(answer, horse, part)), answer.ready.book)


def _held_now(answer: Answer, horse: KnownHorse, part: int) -> Held:
    """A visit as it would be kept, without its plan: nothing has come after it yet."""
    visit, hands = answer.visit, answer.visit.noted_value("examined_by")
    known = KnownVisit(
        uid="", version="", horse=horse.uid, name=horse.name, yard=horse.yard, day=visit.day, part=part, number=0,
        examiner=hands if isinstance(hands, str) else "", checked_by="", saddle="", rider="", level=answer.referral.level,
        rulebook=answer.ready.book.stamp,
    )  # fmt: skip
    leading = set(answer.explanation.leading)
    return Held(
        known=known, saved_at="~", visit=visit, concerns=(), steps=(),
        conclusions=tuple(
            HeldConclusion(key=c.key, side=c.side, kind=c.kind, certainty=c.certainty, band=c.band,
                           leading=(c.key, c.side) in leading, words=c.words)
            for c in answer.explanation.concluded.values() if c.band != "none"
        ),
    )  # fmt: skip
