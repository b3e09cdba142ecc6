"""The visits to a horse before one of a given day, and a visit with what they say.

In: an opened store and a visit just read. Out: the visits before it as kept, and the visit with its `history` filled in.
Not here: judging, opening the store.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from reasoner.problems import BadInput, Problem, register
from reasoner.records.progress import Progress, progress_of
from reasoner.records.tried import history_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store.history import Held, HeldConclusion, history
from reasoner.store.meant import Meant, horse_meant
from reasoner.store.names import plain, same_name
from reasoner.store.placing import gone_from
from reasoner.store.reading import KnownHorse, KnownVisit, visits
from reasoner.visit.model import Noted, VetsWord, Visit

if TYPE_CHECKING:
    from reasoner.consult import Answer
    from reasoner.records.since_then import SinceThen

register({"RE01": "a horse without a visit in the records"})


def horse_of(connection: Connection, visit: Visit) -> KnownHorse | None:
    """The horse of a visit, found as saving finds it: by name, yard that day and year of birth; None where there is not exactly
    one."""
    found = horse_meant(connection, said_of(visit))
    return found[0] if len(found) == 1 else None


def said_of(visit: Visit, text: bytes | None = None) -> Meant:
    """What a visit says of which horse it is; with its bytes, the horse of which these very words are kept is meant too."""
    where = visit.noted_value("yard")
    born = next((noted.written for noted in visit.noted if noted.key == "born"), "")
    yard = plain(where) if isinstance(where, str) else ""
    sha = "" if text is None else hashlib.sha256(text).hexdigest()
    return Meant(name=plain(visit.horse_name), yard=yard, born=born, day=visit.day, sha256=sha)


def as_it_stands(held: Held, horse: KnownHorse) -> Held:
    """A kept visit with the name, yard, owner and year under which its horse is known now, for a new visit to begin from: the
    horse may have moved since, or the visit was written under another horse's name."""
    told = {"name": horse.name, "yard": horse.yard, "owner": horse.owner, "born": horse.born}
    written = {noted.key: noted for noted in held.visit.noted}
    first = not same_name(held.visit.horse_name, horse.name)  # what stood there was said of another horse
    noted = tuple(
        replace(one, value=told[one.key], written=told[one.key], note="") if _is_other(one, told, first=first) else one
        for one in held.visit.noted if not (first and one.key in told and not told[one.key])
    )  # fmt: skip
    missing = [key for key in ("name", "yard") if key not in written and told[key]]
    added = tuple(Noted(key=key, side=None, value=told[key], written=told[key], line=0, kind="text") for key in missing)
    return replace(held, visit=replace(held.visit, noted=(*noted, *added)))


def _is_other(noted: Noted, told: dict[str, str], *, first: bool) -> bool:
    """Whether an entry says something else of the horse than what is known of it."""
    if noted.key == "born":
        return first and noted.written != told["born"]
    return bool(told.get(noted.key)) and not same_name(str(noted.value), told[noted.key])


def held_of(connection: Connection, horse: KnownHorse, *, shown: str = "records") -> tuple[Held, ...]:
    """Every visit to a horse, in order. Raises BadInput (RE01) where none is kept."""
    every = visits(connection, horse=horse.uid)
    if not every:
        hint = "`reasoner records save` keeps one; `reasoner new` begins a first visit."
        if gone_from(connection, horse.uid):
            hint = (
                f'What was kept was moved or withdrawn: `reasoner records list "{horse.name}"` tells by whom and why.'
            )
        raise BadInput([Problem(shown, 0, "RE01", f"no visit to {horse.name} is kept here.", hint)])
    return history(connection, every)


def holding(every: Sequence[Held]) -> tuple[VetsWord, ...]:
    """What veterinarians said that may still hold after the last visit: to a day no earlier than it, or without a last day and
    written down at it. The oldest first, each once."""
    last = every[-1].known.day
    found = {
        (word.who, word.seen, word.about, word.allows, word.forbids): word
        for held in every for word in held.visit.vets_words
        if (held is every[-1] if word.until is None else word.until >= last)
    }  # fmt: skip
    return tuple(sorted(found.values(), key=lambda word: word.seen))


def held_before(
    connection: Connection, visit: Visit, part: int = 1, horse: KnownHorse | None = None
) -> tuple[Held, ...]:
    """Every visit to the same horse before this one, in order; `part` counts visits of one day. `horse` where it is known to be
    another than the file's words find."""
    horse = horse or horse_of(connection, visit)
    if horse is None:
        return ()
    every = visits(connection, horse=horse.uid, until=visit.day)
    return history(connection, [one for one in every if (one.day, one.part) < (visit.day, part)])


def with_history(
    connection: Connection, visit: Visit, book: Rulebook, part: int = 1, horse: KnownHorse | None = None
) -> Visit:
    """The visit with what the visits before it say, ready to be judged."""
    return replace(visit, history=history_of(held_before(connection, visit, part, horse), visit, book))


def since_of(connection: Connection, answer: Answer, part: int = 1) -> SinceThen | None:
    """What was told after the day of a visit just judged about steps agreed before it; None where nothing was."""
    from reasoner.records.since_then import since_judged

    return since_judged(answer, held_before(connection, answer.visit, part))


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
