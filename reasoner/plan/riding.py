"""The owner's first question: may the horse be ridden?

In: the referral and the actions that today's findings ask for. Out: `Riding`, and why a ridden step does not go with it.
Not here: anything else of the plan. The most restrictive answer wins; "as usual" is never a promise.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from reasoner.plan.concerns import Referral
from reasoner.plan.model import Riding
from reasoner.rulebook.pages import Action
from reasoner.rulebook.scales import RIDING, THIS_SADDLE

USUAL, LIGHTLY, NOT_THIS_SADDLE, LED, NOT_UNTIL = (
    "as usual", "lightly", "not in this saddle", "led, not ridden", "not until the veterinarian has seen it",
)  # fmt: skip

#: What a step needs that an answer rules out, and the sentence; the stricter answer first.
RULES_OUT = {
    LED: (frozenset({RIDING}), "Not today, because it is led and not ridden for now."),
    NOT_THIS_SADDLE: (frozenset({RIDING, THIS_SADDLE}), "Not today, because it is not ridden in this saddle for now."),
}


def riding_of(referral: Referral, asked: Sequence[Action]) -> Riding:
    """The answer, and the sentences it rests on."""
    stopped = [c.words for c in referral.concerns if RIDING in c.standing_stops]
    pressing = [c.words for c in referral.concerns if c.call != "routine" and RIDING not in c.released]
    forbidden = [f"{who} has forbidden riding." for who in referral.forbidding(RIDING)]
    # A horse that no word makes one to ride: not even "not until" is said of it.
    never = {c.words: c.riding_says for c in referral.concerns if c.riding_says}
    if stopped or pressing or forbidden or never:
        says = next(iter(never.values()), "")
        return Riding(NOT_UNTIL, tuple(dict.fromkeys([*never, *forbidden, *stopped, *pressing])), says)
    led = [page.because for page in asked if page.riding == LED]
    if led:
        return Riding(LED, tuple(dict.fromkeys(led)))
    saddle = [f"{who} has forbidden this saddle." for who in referral.forbidding(THIS_SADDLE)]
    saddle += [c.words for c in referral.concerns if THIS_SADDLE in c.standing_stops]
    saddle += [page.because for page in asked if page.riding == NOT_THIS_SADDLE]
    if saddle:
        return Riding(NOT_THIS_SADDLE, tuple(dict.fromkeys(saddle)))
    lightly = [page.because for page in asked if page.riding == LIGHTLY]
    allowed = [
        f"{r.who} allows riding{f' until {r.until}' if r.until else ''}."
        for r in referral.releases
        if r.holds and RIDING in r.allows
    ]
    if lightly or allowed:
        return Riding(LIGHTLY, tuple(dict.fromkeys([*allowed, *lightly])))
    return Riding(USUAL, ())


def answers_against(page: Action, stops: Collection[str]) -> Iterator[str]:
    """The answers beside which a step that is ridden does not stand, the stricter first.

    What `stops` a step tells what it needs. A horse that is led is not ridden to try something out, and a saddle that stays off
    is not tried out either; another saddle may be, unless the horse is led.
    """
    for answer, (needs, _) in RULES_OUT.items():
        if page.riding != answer and needs <= set(stops):
            yield answer


def ruled_out(page: Action, stops: Collection[str], asked: Sequence[Action]) -> Iterator[str]:
    """Why a step that is ridden does not stand beside what `asked` says of riding: at most one sentence."""
    said = {other.riding for other in asked}
    for answer in answers_against(page, stops):
        if answer in said:
            yield RULES_OUT[answer][1]
            return
