"""The forms of a practice session as choices: what was ticked and typed, checked in words.

In: a session, the fields of a form. Out: the next session, by the same functions as on the command line.
Not here: those functions (teaching), pages. What changes nothing, as a second tap does, gives the session back as it is.
"""

from __future__ import annotations

from fastapi import HTTPException

from reasoner.frozen import frozen
from reasoner.page.practice.shown import Named, View
from reasoner.problems import BadInput, Problem
from reasoner.rules_cache import Ready
from reasoner.teaching.choices import percent_of
from reasoner.teaching.marking import table_of
from reasoner.teaching.offered import look_of, offered
from reasoner.teaching.session import (
    Key,
    Session,
    asked,
    known_cause,
    proposed,
    seen_by,
    thought,
    with_step,
    without_step,
)

HOW_SURE = "Write a number, such as 60; 0 takes the cause back."


@frozen(kw_only=True)
class Said:
    """What was typed: each cause said before ("key/side") with its number, and one more; a step and its side."""

    causes: tuple[str, ...] = ()
    sure: tuple[str, ...] = ()
    new_cause: str = ""
    new_side: str = ""
    new_sure: str = ""
    step: str = ""
    step_side: str = ""


def looked(session: Session, look: str, ready: Ready) -> Session:
    """The session after a look. Raises BadInput (TE50)."""
    if look in session.looks:
        return session
    return asked(session, look_of(look, session, offered(session, seen_by(session, ready))))


def thinks(session: Session, said: Said, ready: Ready) -> Session:
    """The session after everything in the form was said at once; a cause of which the form does not speak stays, for it may have
    been named on another telephone since. Raises BadInput (TE50, TE51); HTTPException (422) where the form is none of ours."""
    if len(said.causes) != len(said.sure):
        raise HTTPException(422, "This form cannot be read. Open the page anew.")
    sure = dict(session.thinks)
    for value, number in zip(said.causes, said.sure, strict=True):
        _put(sure, _key(value), number or "0", value.partition("/")[0])
    if said.new_cause:
        key = (said.new_cause, said.new_side)
        known_cause(key, ready.book)
        _put(sure, key, said.new_sure, "nothing")
    elif said.new_side or said.new_sure.strip() or not said.causes:
        raise BadInput([Problem("think", 0, "TE50", "no cause was chosen; one of those listed was expected.")])
    if sure == session.thinks:
        return session
    bounds = table_of(ready.book).certainty
    return thought(session, sure, ready.book, bounds.least_percent / 100.0, bounds.most_percent / 100.0)


def refers(session: Session, degree: str, ready: Ready) -> Session:
    """The session after it was said how soon a veterinarian is called. Raises BadInput (TE50)."""
    if not degree:
        raise BadInput([Problem("refer", 0, "TE50", "no answer was chosen; one of those listed was expected.")])
    return proposed(session, degree, ready.book.scales)


def plans(session: Session, step: str, side: str, ready: Ready) -> Session:
    """The session with one more step. Raises BadInput (TE50)."""
    if not step:
        raise BadInput([Problem("step", 0, "TE50", "no step was chosen; one of those listed was expected.")])
    return with_step(session, step, side, ready.book)


def drops(session: Session, step: str) -> Session:
    """The session without a step ("key/side")."""
    key = _key(step)
    return without_step(session, *key) if key in session.steps else session


def typed(view: View, said: Said | None) -> tuple[Named, ...]:
    """The causes of the form with the numbers that were typed, where they are to be mended; else as they were said."""
    numbers = dict(zip(said.causes, said.sure, strict=False)) if said is not None else {}
    return tuple(Named(value=n.value, words=n.words, percent=numbers.get(n.value, n.percent)) for n in view.thinks)


def _key(value: str) -> Key:
    key, _, side = value.partition("/")
    return key, side


def _put(sure: dict[Key, float], key: Key, number: str, read: str) -> None:
    percent = percent_of(number, read.replace("_", " "), HOW_SURE)
    sure.pop(key, None)
    if percent:
        sure[key] = percent / 100.0
