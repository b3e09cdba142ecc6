"""The answer that stands beside the body map while a horse is being examined.

In: an answer. Out: its few lines as JSON: call the veterinarian?, what is likely so far, may it be ridden, what was
not looked at.
Not here: judging; the sentences are those of every other page.
"""

from __future__ import annotations

from pydantic import BaseModel

from reasoner.consult import judge
from reasoner.explanation.leaves import merged
from reasoner.questions.next_check import Next, next_of
from reasoner.questions.telling import Effect
from reasoner.rendering import first_seconds, phrases, riding_words, shared_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rules_cache import Ready
from reasoner.visit.model import Visit

SCHEMA_VERSION = "1"
#: How many of the things not looked at are named; the rest are counted.
MOST_NOT_CHECKED = 6


class Reason(BaseModel):
    """One reason to call: its sentence, what was written down that raises it, and what it stops."""

    call: str
    words: str
    found: str
    stops: list[str]


class Referral(BaseModel):
    """The reasons to call the veterinarian, the most pressing first. `level`: none, routine, prompt or emergency."""

    level: str
    words: str
    reasons: list[Reason]
    while_you_wait: list[str]


class Likely(BaseModel):
    """A starting point of the account so far: its sentence, how firm it is, the rules that speak for and against it."""

    key: str
    side: str | None
    words: str
    band: str
    firm: str
    certainty: float
    speaks_for: list[str]
    against: list[str]


class Live(BaseModel):
    """The answer so far. `account` is said where there is no starting point. `first_seconds`: what of them nobody looked at, or
    empty where all was, or where `riding` says it; `not_checked`: what the starting points listen to and nobody looked at;
    `left_open` counts what is not named. What to look at where there is none is told by `Looks`."""

    schema_version: str
    referral: Referral
    account: str
    likely: list[Likely]
    riding: str
    first_seconds: str
    not_checked: list[str]
    left_open: int
    rests_on: str
    warnings: list[str]


class Look(BaseModel):
    """One look that is worth making next. `calls` are the readings that would be a reason to call the veterinarian."""

    key: str
    name: str
    sides: list[str]
    heading: str
    place: bool
    minutes: float
    question: str
    how: str
    safety: str
    readings: list[str]
    calls: list[str]
    changes_plan: bool


class Looks(BaseModel):
    """What to check next. `stop`: the veterinarian first, and nothing before."""

    schema_version: str
    stop: bool
    first: list[Look]
    then: list[Look]
    others: int


def live(answer: Answered) -> Live:
    """The few lines of an answer."""
    explanation, book = answer.explanation, answer.ready.book
    # Only the starting points are laid out: every rule of every conclusion takes longer than a touch may.
    starts = [explanation.concluded[chain.key, chain.side] for chain in explanation.started.starting_points]
    names = [name for name, _ in wording.sided_names(merged(one for start in starts for one in start.not_checked))]
    unseen = riding_words.unseen_first(answer)
    return Live(
        schema_version=SCHEMA_VERSION,
        referral=_referral(answer),
        account="" if starts else _no_start(answer),
        likely=[
            Likely(
                key=one.key, side=one.side or None, words=one.words, band=one.band, firm=shared_text.firmness(one),
                certainty=round(one.certainty, 4),
                speaks_for=list(dict.fromkeys(item.name for item in one.supporting if item.share)),
                against=list(dict.fromkeys(item.name for item in one.opposing if item.share)),
            )
            for one in starts
        ],
        riding=" ".join(filter(None, (riding_words.riding(answer), unseen))),
        first_seconds="" if unseen else "; ".join(some for _, some in first_seconds.unseen_group(answer)),
        not_checked=names[:MOST_NOT_CHECKED],
        left_open=len(names[MOST_NOT_CHECKED:]),
        rests_on=f"{phrases.counted(len(wording.touched(answer.visit)), 'place')} felt by hand, "
        f"{phrases.counted(len(answer.visit.noted), 'other entry', 'other entries')}; rulebook {book.stamp}. "
        f"{phrases.NOT_A_PROBABILITY}",
        warnings=[f"{one.sentence} {one.hint}".strip() for one in answer.visit.warnings],
    )  # fmt: skip


def looks_next(rules: Ready, visit: Visit, most: int) -> Looks:
    """The looks worth making next at this visit, at most so many of each kind."""
    return looks(next_of(judge(visit, rules), most))


def looks(told: Next) -> Looks:
    """The next looks."""
    return Looks(
        schema_version=SCHEMA_VERSION, stop=told.stop, first=[_look(one) for one in told.first_look],
        then=[_look(one) for one in told.proposed], others=told.others,
    )  # fmt: skip


def _no_start(answer: Answered) -> str:
    if answer.explanation.wide_open:
        return phrases.TOO_LITTLE_SO_FAR
    return phrases.sentence(wording.no_starting_point(answer))


def _referral(answer: Answered) -> Referral:
    referral, book = answer.referral, answer.ready.book
    raised = shared_text.telling_something(referral.concerns)
    words = phrases.called(raised[0].call, raised[0].when) if raised else phrases.NO_CONCERN
    return Referral(
        level=referral.level, words=words,
        reasons=[
            Reason(
                call=one.call, words=one.words, found=phrases.days_in_words(wording.findings(one.findings, book.vocabulary)),
                stops=shared_text.stop_words(one, one.standing_stops, book),
            )
            for one in raised
        ],
        while_you_wait=list(dict.fromkeys(line for one in raised if one.call == raised[0].call for line in one.while_you_wait)),
    )  # fmt: skip


def _look(effect: Effect) -> Look:
    check = effect.check
    return Look(
        key=check.key, name=check.name, sides=[side for side in check.sides if side], heading=check.heading,
        place=check.pressing, minutes=check.minutes, question=check.question, how=check.how, safety=check.safety,
        readings=[reading.words for reading in check.readings],
        calls=[call.reading.words for call in effect.calls], changes_plan=effect.plan,
    )  # fmt: skip
