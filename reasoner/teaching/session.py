"""One practice session: a case that is revealed as it is examined, and what the apprentice makes of it.

In: a case and one choice after another. Out: the next `Session`; nothing here changes one, prints or reads a clock.
Not here: what may be looked at (offered), marks (marking), files (session_file), commands and pages, which all use these
functions: `begun`, `asked`, `thought`, `proposed`, `with_step`, `without_step`, `ended`, and `revealed` for what may be seen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from reasoner.consult import Answer, judge
from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.questions.checks import Check
from reasoner.rulebook.checking import SPACES
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.scales import Scales
from reasoner.rules_cache import Ready
from reasoner.teaching.making import SIDES, Case
from reasoner.visit.model import Noted, Touch, Visit
from reasoner.visit.touches import is_space

register({
    "TE50": "a choice in a practice session that names nothing",
    "TE51": "a certainty that is not one, or certainties that leave nothing for anything else",
    "TE52": "a choice after the end, or a look a second time",
})  # fmt: skip

NONE = "none"
#: What is known before anybody looks: of the horse and of how it stood under the hand.
GIVEN = ("top", "horse")
Key = tuple[str, str]
"""A cause or an action, and its side, "" where it has none."""


@frozen
class Thought:
    """What the apprentice holds for likely after so many looks: shares of the whole, from 0 to 1, by cause and side."""

    after: int
    sure: tuple[tuple[Key, float], ...]


@frozen(kw_only=True)
class Session:
    """Where a session stands. `looks` are the keys of checks in the order made; `thoughts` each time something was said;
    `referral` the degree proposed ("" as long as nothing was) and `steps` the steps of the plan."""

    case: Case
    looks: tuple[str, ...] = ()
    thoughts: tuple[Thought, ...] = ()
    referral: str = ""
    steps: tuple[Key, ...] = ()
    ended: bool = False

    @property
    def thinks(self) -> Mapping[Key, float]:
        """What was said last."""
        return dict(self.thoughts[-1].sure) if self.thoughts else {}


def begun(case: Case) -> Session:
    """A session of which nothing has been looked at."""
    return Session(case=case)


def asked(session: Session, check: Check) -> Session:
    """The session after a look. Raises BadInput (TE52)."""
    _open(session)
    if check.key in session.looks:
        raise BadInput([Problem("look", 0, "TE52", f"{check.name} was looked at already.")])
    return replace(session, looks=(*session.looks, check.key))


def revealed(session: Session, book: Rulebook) -> Visit:
    """The visit as far as it has been examined: what was given, and whatever the looks made have shown."""
    spaces = (
        {key for key, place in book.vocabulary.places.items() if is_space(place)} if SPACES in session.looks else set()
    )
    seen = {*session.looks, *spaces}
    given = {key for key, entry in book.vocabulary.observations.items() if entry.section in GIVEN}
    visit = session.case.visit
    return replace(
        visit, warnings=(), worked=(), outlines=(), beside=(),
        touches=tuple(t for t in visit.touches if t.place in seen),
        noted=tuple(n for n in visit.noted if n.key in seen or n.key in given),
    )  # fmt: skip


def seen_by(session: Session, ready: Ready) -> Answer:
    """What the reasoner makes of that much."""
    return judge(revealed(session, ready.book), ready)


def shown(session: Session, look: str, book: Rulebook) -> tuple[tuple[Touch, ...], tuple[Noted, ...]]:
    """What one look has shown; nothing where it could not be had that day."""
    alone = revealed(replace(session, looks=(look,)), book)
    given = revealed(replace(session, looks=()), book)
    return alone.touches, tuple(n for n in alone.noted if n not in given.noted)


def thought(session: Session, sure: Mapping[Key, float], book: Rulebook, least: float, most: float) -> Session:
    """The session after the apprentice has said what they think: shares by cause and side, each from `least` to `most`, together
    leaving at least `least` for anything else. Raises BadInput (TE50, TE51, TE52)."""
    _open(session)
    for key in sure:
        known_cause(key, book)
    for (cause, _), share in sure.items():
        if not least <= share <= most:
            raise BadInput([Problem("think", 0, "TE51", f"{100 * share:g} % was read for {cause.replace('_', ' ')}; {least:.0%} "
                                                        f"to {most:.0%} "
                                    "was expected, because nothing is ever certain.")])  # fmt: skip
    whole = sum(sure.values())
    if whole > 1.0 - least + 1e-9:
        raise BadInput([Problem("think", 0, "TE51", f"the certainties come to {whole:.0%} together; at most "
                                                    f"{1 - least:.0%} was expected, "
                                "because it may always be something else.", "Lower one of them first.")])  # fmt: skip
    return replace(session, thoughts=(*session.thoughts, Thought(len(session.looks), tuple(sure.items()))))


def proposed(session: Session, referral: str, scales: Scales) -> Session:
    """The session after the apprentice has said whether and how soon a veterinarian is called. Raises BadInput (TE50, TE52)."""
    _open(session)
    degrees = (NONE, *scales.calls)
    if referral not in degrees:
        raise BadInput([Problem("refer", 0, "TE50", f'"{referral}" was read; one of {", ".join(degrees)} was expected.',
                                near_hint(referral, degrees))])  # fmt: skip
    return replace(session, referral=referral)


def with_step(session: Session, action: str, side: str, book: Rulebook) -> Session:
    """The session with one more step in its plan. Raises BadInput (TE50, TE52)."""
    _open(session)
    known_step((action, side), book)
    return replace(session, steps=tuple(dict.fromkeys((*session.steps, (action, side)))))


def without_step(session: Session, action: str, side: str) -> Session:
    """The session with a step of its plan taken back. Raises BadInput (TE50, TE52)."""
    _open(session)
    if (action, side) not in session.steps:
        name = f"{action.replace('_', ' ')}, {side}" if side else action.replace("_", " ")
        raise BadInput([Problem("drop", 0, "TE50", f'"{name}" is no step of your plan.',
                                "`seen` shows your plan.")])  # fmt: skip
    return replace(session, steps=tuple(step for step in session.steps if step != (action, side)))


def ended(session: Session) -> Session:
    """The session, closed: from now on it may be marked and shown. Raises BadInput (TE52)."""
    _open(session)
    return replace(session, ended=True)


def known_cause(key: Key, book: Rulebook) -> None:
    """Nothing where there is such a cause with such a side. Raises BadInput (TE50)."""
    causes = {name: page for name, page in book.conclusions.items() if page.kind == "cause"}
    _known(key[0], key[1], causes, "think", "cause")


def known_step(key: Key, book: Rulebook) -> None:
    """Nothing where there is such a step with such a side. Raises BadInput (TE50)."""
    _known(key[0], key[1], book.actions, "step", "step of a plan")


def outcomes(book: Rulebook) -> tuple[Key, ...]:
    """Every cause with every side it has: what a certainty is spread over."""
    return tuple(
        (key, side)
        for key, page in book.conclusions.items() if page.kind == "cause"
        for side in (SIDES if page.sides == "each" else ("",))
    )  # fmt: skip


def _known(name: str, side: str, pages: Mapping[str, object], where: str, what: str) -> None:
    page = pages.get(name)
    if page is None:
        hint = near_hint(name.replace("_", " "), [key.replace("_", " ") for key in pages])
        raise BadInput([Problem(where, 0, "TE50", f'"{name.replace("_", " ")}" is no {what} of these rules.', hint)])
    sides: Iterable[str] = SIDES if getattr(page, "sides", "none") == "each" else ("",)
    if side not in sides:
        called, sided = name.replace("_", " "), "left" in sides
        read = f'"{side}" was read as the side of {called}' if side else f"no side was said for {called}"
        hint = f'Say it with its side: "{called}, left".' if sided else "Leave the side out."
        expected = "left or right" if sided else "no side"
        raise BadInput([Problem(where, 0, "TE50", f"{read}; {expected} was expected.", hint)])


def _open(session: Session) -> None:
    if session.ended:
        raise BadInput(
            [Problem("practise", 0, "TE52", "this session has ended; nothing more is added to it.", "Begin another.")]
        )
