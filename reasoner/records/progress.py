"""The progress of one horse: everything its visits say beside each other.

In: the visits kept of it, in order, and the rulebook. Out: `Progress`.
Not here: reading the store, wording, pictures.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal, get_args

from reasoner.frozen import frozen
from reasoner.records.course import Compared, Comparing, Course, Seen
from reasoner.records.done_before import DoneBefore, done_before
from reasoner.records.expectations import Outcome, outcomes
from reasoner.records.looked_at import looked_at
from reasoner.records.tried import Tried, by_step, times_worse_again, tried, visits_without_change
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store.history import Held, HeldConclusion
from reasoner.store.reading import KnownHorse
from reasoner.store.rested_on import Rested
from reasoner.visit.model import Noted, Side

State = Literal["came", "went", "not_looked_at", "stayed"]
NOT_DRAWN = ("none", "against")


@frozen(kw_only=True)
class Turn:
    """A conclusion at two visits: `before` and `now` are its bands there, an empty string where it was not drawn; it is
    "not_looked_at" where it was drawn before and the later visit looked at nothing that it listens to."""

    key: str
    side: str
    kind: str
    words: str
    state: State
    before: str
    now: str


@frozen(kw_only=True)
class Site:
    """One place and side over all visits: since the visit before, and since the first at which it was examined (None where these
    are the same or there is no such visit). `quiet`: no visit found more there than the scale calls nothing."""

    course: Course
    since_last: Compared
    since_first: Compared | None
    quiet: bool


@frozen(kw_only=True)
class Progress:
    """One horse over its visits. `unlike` and `two_hands` are about the last two; `kept_late` are the days of visits that were
    kept after a later one, which was then judged without them. `in_part`: what would have been learnt of remedies that were done
    only in part; `rested`: answers that were given with other earlier visits than count now."""

    horse: KnownHorse
    held: tuple[Held, ...]
    comparing: Comparing
    sites: tuple[Site, ...]
    turns: tuple[Turn, ...]
    outcomes: tuple[Outcome, ...]
    tried: tuple[Tried, ...]
    in_part: tuple[Tried, ...]
    without_change: Noted | None
    worse_again: Noted | None
    done_before: tuple[DoneBefore, ...]
    unlike: tuple[str, ...]
    two_hands: tuple[str, str] | None
    kept_late: tuple[str, ...]
    rested: tuple[Rested, ...] = ()


def progress_of(
    horse: KnownHorse, held: Sequence[Held], book: Rulebook, rested: Sequence[Rested] = ()
) -> Progress:  # fmt: skip
    """What the visits say beside each other; `held` in order, at least one. `rested`: which answers rested on visits that count
    otherwise by now."""
    comparing = Comparing([one.visit for one in held], book)
    last = len(held) - 1
    plans = [one.steps for one in held]
    of_steps = by_step(plans, comparing)
    return Progress(
        horse=horse, held=tuple(held), comparing=comparing,
        sites=tuple(_site(course, comparing) for course in comparing.courses) if last else (),
        turns=_turns(held[last - 1].conclusions, held[last], book) if last else (),
        outcomes=outcomes(plans, comparing), tried=tried(plans, comparing),
        in_part=tried(plans, comparing, partly=True),
        without_change=visits_without_change(plans, comparing), worse_again=times_worse_again(of_steps, comparing),
        done_before=done_before(of_steps, comparing),
        unlike=tuple(comparing.unlike(last - 1, last)) if last else (),
        two_hands=comparing.two_hands(last - 1, last) if last else None, kept_late=_kept_late(held),
        rested=tuple(rested),
    )  # fmt: skip


def _site(course: Course, comparing: Comparing) -> Site:
    last = len(comparing.visits) - 1
    spot = (course.place, course.side)
    first = next((at for at in range(last) if course.examined(at)), None)
    beside = None if first is None or first == last - 1 else comparing.of(spot, first, last)
    return Site(
        course=course,
        since_last=comparing.of(spot, last - 1, last),
        since_first=beside,
        quiet=quiet(course.seen, comparing.book),
    )


def quiet(seen: Iterable[Seen | None], book: Rulebook) -> bool:
    """Whether none of these readings found more than the scale calls nothing; a place not examined says nothing against it."""
    nothing = book.scales.ramps[book.scales.notable_ramp].none_at
    examined = [one for one in seen if one is not None and one.mark != "not_examined"]
    return all(one.score is not None and one.score <= nothing for one in examined)


def _turns(before: Sequence[HeldConclusion], later: Held, book: Rulebook) -> tuple[Turn, ...]:
    """Every conclusion drawn at one of two visits: those that came, those that went, those not looked at again, those that
    stayed."""
    now = later.conclusions
    drawn = [{(c.key, c.side): c for c in some if c.band not in NOT_DRAWN} for some in (before, now)]
    kinds = ["cause", *sorted({c.kind for some in drawn for c in some.values()} - {"cause"})]
    found = []
    for key in {**drawn[0], **drawn[1]}:
        one, other = drawn[0].get(key), drawn[1].get(key)
        told = other or one
        assert told is not None
        gone: State = "went" if other is not None or looked_at(key[0], later.visit, book) else "not_looked_at"
        state: State = "came" if one is None else gone if other is None else "stayed"
        found.append(
            Turn(key=key[0], side=key[1], kind=told.kind, words=told.words, state=state,
                 before=one.band if one else "", now=other.band if other else "")
        )  # fmt: skip
    order = {state: n for n, state in enumerate(get_args(State))}
    return tuple(sorted(found, key=lambda turn: (order[turn.state], kinds.index(turn.kind), turn.key, turn.side)))


def _kept_late(held: Sequence[Held]) -> tuple[str, ...]:
    """The days of visits kept after a later one."""
    return tuple(
        one.known.day.isoformat()
        for at, one in enumerate(held)
        if any(other.saved_at < one.saved_at for other in held[at + 1 :])
    )


def sides_of(progress: Progress) -> dict[str, dict[Side | None, Site]]:
    """The sites by place, each side of it (None: the midline), in walking order."""
    found: dict[str, dict[Side | None, Site]] = {}
    for site in progress.sites:
        side: Side | None = "left" if site.course.side == "left" else "right" if site.course.side == "right" else None
        found.setdefault(site.course.place, {})[side] = site
    return found
