"""What may be looked at next in a practice session: every look not yet made that nothing standing forbids.

In: a session and what the reasoner makes of what was seen. Out: `Offered`.
Not here: which look is worth making; nothing of the case that has not been seen is asked here, so that an offer tells nothing.
"""

from __future__ import annotations

from reasoner.consult import Answer
from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint
from reasoner.questions.checks import Check, checks_of
from reasoner.questions.next_check import EMERGENCY, Left, sifted
from reasoner.questions.written import Names
from reasoner.rulebook.checking import SPACES
from reasoner.rulebook.vocabulary import canonical
from reasoner.teaching.session import Session

#: What stands in the way is told at the end: to name it now would answer for the apprentice.
STOPPED = "after what has been seen nothing more is looked at"
STANDS = "something seen so far stands in its way"
SAID_LATER = "The end says what it is."


@frozen
class Offered:
    """`stop`: an emergency stands in what was seen, and nothing more is looked at. `checks`: what may be looked at, in the
    order of one walk round the horse; `left`: what something standing takes away, and what that is."""

    stop: bool
    checks: tuple[Check, ...] = ()
    left: tuple[Left, ...] = ()


def offered(session: Session, answer: Answer) -> Offered:
    """What may be looked at; `answer` is the reasoner's to what was seen."""
    if answer.referral.level == EMERGENCY:
        return Offered(stop=True)
    checks = [check for check in checks_of(answer) if check.key not in session.looks]
    allowed, left = sifted(answer, checks)
    return Offered(False, tuple(allowed), tuple(left))


def look_named(words: str, session: Session, offer: Offered, answer: Answer) -> Check:
    """The look these words name. Raises BadInput (TE50, TE52, and QU02 where nothing is called so)."""
    key = canonical(words)
    if key != canonical(SPACES):
        named, _ = Names(answer.ready.book.vocabulary).find(_with_side(words, offer, answer), words)
        key = named.key
        if named.headings == (SPACES,):
            key = SPACES
    else:
        key = SPACES
    return _look(key, words, session, offer)


def look_of(key: str, session: Session, offer: Offered) -> Check:
    """The look with this key. Raises BadInput (TE50, TE52)."""
    return _look(key, key.replace("_", " "), session, offer)


def _look(key: str, words: str, session: Session, offer: Offered) -> Check:
    if key in session.looks:
        raise BadInput([Problem("look", 0, "TE52", f'"{words}" was looked at already.')])
    if offer.stop:
        raise BadInput([Problem("look", 0, "TE50", f"{STOPPED}.", SAID_LATER)])
    for left in offer.left:
        if left.check.key == key:
            raise BadInput(
                [Problem("look", 0, "TE50", f"{left.check.name} is not looked at now: {STANDS}.", SAID_LATER)]
            )
    for check in offer.checks:
        if check.key == key:
            return check
    hint = near_hint(words, [check.name for check in offer.checks])
    raise BadInput(
        [
            Problem(
                "look",
                0,
                "TE50",
                f'"{words}" is known before anybody looks, or nothing in the rules listens to it.',
                hint,
            )
        ]
    )


def _with_side(words: str, offer: Offered, answer: Answer) -> str:
    """Both sides are looked at together, and nobody has to say so."""
    vocabulary = answer.ready.book.vocabulary
    key = canonical(words)
    place = vocabulary.place_of.get(key)
    sided = {c.key for c in (*offer.checks, *(one.check for one in offer.left)) if c.sides != ("",)}
    entry = next(
        (o for o in vocabulary.observations.values() if key in {canonical(w) for w in (o.key, o.name, *o.also)}), None
    )
    if (place is not None and vocabulary.places[place].sides == "each") or (
        entry is not None and entry.sides == "each"
    ):
        return f"{words}, both"
    return f"{words}, both" if key in sided else words
