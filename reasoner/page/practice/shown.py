"""A practice session as its page shows it before the end.

In: an open `Session`. Out: a `View`: what was given and seen, the looks that may be made in the order of one walk round the
horse, what was said. Not here: marks (sheet).

INVARIANT: of the case only what `revealed` lets through is read here, so that nothing else can reach a browser; a test exchanges
everything that was not looked at and gets the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.frozen import frozen
from reasoner.questions.checks import Check
from reasoner.rendering.phrases import days_in_words, plain, sentence
from reasoner.rendering.practise_text import NOT_A_HORSE, NOT_HAD, look_name, may_be_named, readings
from reasoner.rulebook.checking import PALPATION
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rules_cache import Ready
from reasoner.teaching.marking import table_of
from reasoner.teaching.offered import SAID_LATER, STOPPED, offered
from reasoner.teaching.session import NONE, Session, revealed, seen_by, shown

SPREAD = "Nothing said yet: every cause is held for equally likely."
HOW_KEPT = "Nothing of it that you have not looked at is in this page, nor what it was made from, before you end it."


@frozen(kw_only=True)
class Look:
    """A look that may be made: its name, what is asked, how it is done, what to take care of. `hidden`: it does not hold what is
    sought; it stays in the page, so that something else can be sought there."""

    key: str
    name: str
    question: str
    how: str
    safety: str
    words: str
    hidden: bool


@frozen(kw_only=True)
class Group:
    """Looks under one heading, or at one region of the body. `here`: the last look was one of these; `found`: how many hold what
    is sought."""

    key: str
    name: str
    looks: tuple[Look, ...]
    here: bool
    found: int


@frozen(kw_only=True)
class Made:
    """A look that was made, and what it has shown."""

    key: str
    name: str
    found: tuple[str, ...]


@frozen(kw_only=True)
class Named:
    """Something that was said: a cause or a step, as a form sends it back ("key/side"), in words, and how sure in percent."""

    value: str
    words: str
    percent: str = ""


@frozen(kw_only=True)
class Choice:
    """One that may be named: its key, its name, how it reads, and whether it has a side."""

    key: str
    name: str
    says: str
    sided: bool


@frozen(kw_only=True)
class View:
    """Everything a page of an open session shows. `not_now`: how many looks something seen takes away, without saying which;
    `stop`: why nothing more is looked at, or empty."""

    title: str
    caution: str
    kept: str
    given: tuple[str, ...]
    made: tuple[Made, ...]
    groups: tuple[Group, ...]
    found: int
    offered: int
    not_now: int
    stop: str
    later: str
    thinks: tuple[Named, ...]
    spread: str
    referral: str
    degrees: tuple[tuple[str, str], ...]
    steps: tuple[Named, ...]
    causes: tuple[Choice, ...]
    kinds: tuple[tuple[str, tuple[Choice, ...]], ...]
    least: float
    most: float


def view_of(session: Session, ready: Ready, find: str = "") -> View:
    """The page of a session; `find` hides the looks in which not each of its words stands."""
    book = ready.book
    offer = offered(session, seen_by(session, ready))
    groups = tuple(_groups(offer.checks, session.looks[-1] if session.looks else "", find, book))
    given = revealed(begun_again(session), book)
    certainty = table_of(book).certainty
    whole = sum(session.thinks.values())
    return View(
        title=title_of(session), caution=NOT_A_HORSE, kept=HOW_KEPT,
        given=tuple(map(days_in_words, readings(given.touches, given.noted, book.vocabulary))),
        made=tuple(made(session, look, book) for look in reversed(session.looks)),
        groups=groups, found=sum(one.found for one in groups), offered=len(offer.checks), not_now=len(offer.left),
        stop=sentence(STOPPED) if offer.stop else "", later=SAID_LATER,
        thinks=tuple(
            Named(value=_value(*key), words=named(*key), percent=f"{100 * share:g}")
            for key, share in session.thinks.items()
        ),
        spread=f"{1 - whole:.0%} is left for every other cause together." if session.thinks else SPREAD,
        referral=session.referral,
        degrees=((NONE, "no call"), *((key, f"{key}: {when}") for key, when in book.scales.calls.items())),
        steps=tuple(Named(value=_value(*key), words=named(*key)) for key in session.steps),
        causes=tuple(sorted(_choices(book, "causes"), key=lambda one: one.name)), kinds=tuple(_kinds(book)),
        least=certainty.least_percent, most=certainty.most_percent,
    )  # fmt: skip


def title_of(session: Session) -> str:
    """What a session is called in lists and at its head."""
    kind = session.case.difficulty or ("from a visit" if session.case.origin == "visit" else "handed out")
    return f"Practice case ({kind})"


def begun_again(session: Session) -> Session:
    """The same case, of which nothing has been looked at."""
    return Session(case=session.case)


def made(session: Session, look: str, book: Rulebook) -> Made:
    """One look, and what it has shown."""
    found = tuple(map(days_in_words, readings(*shown(session, look, book), book.vocabulary)))
    name = look_name(look, book)
    return Made(key=look, name=name, found=found or (f"{name}: {NOT_HAD}",))


def named(key: str, side: str) -> str:
    """A cause or a step as it is named."""
    return f"{plain(key)}, {side}" if side else plain(key)


def _value(key: str, side: str) -> str:
    return f"{key}/{side}"


def _groups(checks: Sequence[Check], last: str, find: str, book: Rulebook) -> Iterator[Group]:
    """In the order of the walk: each heading, and where the hand presses each region, where its first look stands."""
    wanted = find.casefold().split()
    found: dict[str, list[Look]] = {}
    for check in checks:
        words = _words(check, book)
        look = Look(key=check.key, name=check.name, question=check.question, how=check.how, safety=check.safety,
                    words=words, hidden=not all(word in words for word in wanted))  # fmt: skip
        found.setdefault(_group(check.heading, check.region), []).append(look)
    here = _group_of(last, book) if last else ""
    for key, looks in found.items():
        yield Group(key=key, name=_name(key, book), looks=tuple(looks), here=key == here,
                    found=sum(not look.hidden for look in looks))  # fmt: skip


def _group(heading: str, region: str) -> str:
    return f"{PALPATION}-{region}" if heading == PALPATION else heading


def _group_of(look: str, book: Rulebook) -> str:
    place, seen = book.vocabulary.places.get(look), book.vocabulary.observations.get(look)
    if place is not None:
        return _group(PALPATION, place.region)
    return seen.section.partition("/")[0] if seen is not None else ""


def _name(group: str, book: Rulebook) -> str:
    head, _, region = group.partition("-")
    section = book.vocabulary.sections.get(head)
    name = section.name if section is not None else plain(head)
    return f"{name}: {plain(region)}" if region else name


def _words(check: Check, book: Rulebook) -> str:
    known = book.vocabulary.places.get(check.key) or book.vocabulary.observations.get(check.key)
    also = known.also if known is not None else ()
    return " ".join((check.name, plain(check.heading), check.region, check.question, *also)).casefold()


def _choices(book: Rulebook, what: str) -> Iterator[Choice]:
    for key, page, says in may_be_named(book, what):
        yield Choice(key=key, name=plain(key), says=says, sided=page.sides == "each")


def _kinds(book: Rulebook) -> Iterator[tuple[str, tuple[Choice, ...]]]:
    """The steps by their kind."""
    found: dict[str, list[Choice]] = {}
    for one in _choices(book, "steps"):
        found.setdefault(plain(book.actions[one.key].kind), []).append(one)
    for kind, some in found.items():
        yield kind, tuple(sorted(some, key=lambda one: one.name))
