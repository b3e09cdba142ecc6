"""What should I check next? The looks that would change most, in the order of one walk round the horse.

In: an `Answer`. Out: `Next`.
Not here: what a reading would do (telling), planning by the clock (minutes), sentences.

Ranked by whether a reading would change the call (the more pressing first), then the plan, then by how far it narrows the
open ranges. What a standing reason to call stops is not proposed, and at an emergency nothing is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from reasoner.frozen import frozen
from reasoner.plan.riding import LED, NOT_THIS_SADDLE
from reasoner.questions.checks import Check, checks_of
from reasoner.questions.telling import Effect, effects_of
from reasoner.rulebook.checking import SPACES
from reasoner.rulebook.scales import BACK_WORK, EXERCISES, HANDS_ON, RIDING, Checking
from reasoner.rulebook.vocabulary import canonical

if TYPE_CHECKING:
    from reasoner.consult import Answer

MOST = 8
EMERGENCY, WALKING = "emergency", "walking"


@frozen
class Left:
    """A look that would tell something and is not proposed, and what keeps it back."""

    check: Check
    because: str


@frozen
class Next:
    """What to check next. `stop`: an emergency stands, and nothing is to be looked at before the veterinarian is on the way.

    `first_look`: what is still open of the first sixty seconds, which come before any pressing. `proposed`: the others that
    tell most, in the order of the walk, at most as many as were asked for; `others` how many more would tell something;
    `left` what a standing sign takes away. With nothing in any of them, nothing left would change the call or the plan.
    """

    stop: bool
    first_look: tuple[Effect, ...] = ()
    proposed: tuple[Effect, ...] = ()
    others: int = 0
    left: tuple[Left, ...] = ()


def next_of(answer: Answer, most: int = MOST) -> Next:
    """What is open of the first sixty seconds, and the `most` most telling checks beside it, in walking order."""
    if answer.referral.level == EMERGENCY:
        return Next(stop=True)
    checks = checks_of(answer)
    allowed, left = sifted(answer, checks)
    told = {effect.check.key: effect for effect in effects_of(answer, checks) if effect.matters}
    effects = sorted((told[check.key] for check in allowed if check.key in told), key=rank)
    first = first_heading(answer)
    early = [effect for effect in effects if effect.check.heading == first]
    late = [effect for effect in effects if effect.check.heading != first]
    return Next(
        stop=False, first_look=tuple(walked(answer, early)), proposed=tuple(walked(answer, late[:most])),
        others=len(late[most:]), left=tuple(one for one in left if one.check.key in told),
    )  # fmt: skip


def rank(effect: Effect) -> tuple[bool, bool, float, int, str]:
    """Smaller is more telling."""
    return effect.level == 0, not effect.plan, -effect.narrows, effect.check.walk, effect.check.key


def first_heading(answer: Answer) -> str:
    """The heading of the first sixty seconds."""
    checking = answer.ready.book.scales.checking
    return checking.first if checking else ""


def walked(answer: Answer, effects: Iterable[Effect]) -> list[Effect]:
    """In the order of one walk round the horse; where the hand presses, the region of the sorest place comes last."""
    sorest = _sorest_region(answer)
    looks = sorted(effects, key=lambda effect: (effect.check.walk, effect.check.key))
    pressing = [e for e in looks if e.check.pressing]
    pressing.sort(key=lambda effect: effect.check.region == sorest)  # stable: the walk stays within both parts
    before = min((e.check.walk for e in pressing), default=0)
    return [
        *(e for e in looks if not e.check.pressing and e.check.walk < before),
        *pressing,
        *(e for e in looks if not e.check.pressing and e.check.walk >= before),
    ]


def _sorest_region(answer: Answer) -> str:
    places = answer.ready.book.vocabulary.places
    scored = [touch for touch in answer.visit.touches if touch.soreness or touch.refused]
    if not scored:
        return ""
    worst = max(scored, key=lambda touch: (touch.refused, touch.soreness or 0, touch.place))
    return places[worst.place].region


# -- what a standing sign takes away ---------------------------------------------------------------------------------------


def sifted(answer: Answer, checks: Sequence[Check]) -> tuple[list[Check], list[Left]]:
    """(allowed, taken away): what a standing reason to call stops, or what was seen forbids, is not proposed."""
    checking = answer.ready.book.scales.checking
    if checking is None:
        return list(checks), []
    stopped = _stopped(answer)
    trotting = _no_trot(answer, checking)
    not_ridden = _not_ridden(answer, checking)
    guarded = {
        answer.ready.book.vocabulary.places[touch.place].region: "would not allow touch" if touch.refused else "guarded"
        for touch in answer.visit.touches
        if touch.refused or set(touch.responses or ()) & set(checking.guarding)
    }
    # The spaces between the spines are one stroke along the whole back.
    backs = {region for region in guarded if canonical(region) in checking.back}
    allowed: list[Check] = []
    left: list[Left] = []
    for check in checks:
        stops = _asked_of_the_horse(check, checking)
        moves = checking.moved_for.get(check.key, ())
        because = next((stopped[stop] for stop in (*stops, *moves) if stop in stopped), "")
        if not because and not_ridden and _ridden_for(check, answer) in checking.ridden_for:
            because = not_ridden
        if not because and trotting and {EXERCISES, RIDING} & set(stops):
            because = trotting
        regions = {checking.pressed_for.get(check.key, check.region)} | (backs if check.heading == SPACES else set())
        if not because and (at := sorted(regions & guarded.keys())):
            because = f"it {guarded[at[0]]} at the {at[0]}"
        if because:
            left.append(Left(check, because))
        else:
            allowed.append(check)
    return allowed, left


def _asked_of_the_horse(check: Check, checking: Checking) -> tuple[str, ...]:
    asks = checking.asks.get(check.heading, ())
    if check.key in checking.walked_for:
        asks = (*asks, WALKING)
    if check.key in checking.pressed_for:
        asks = (*asks, HANDS_ON)
    pressed = checking.pressed_for.get(check.key, canonical(check.region))
    return (*asks, BACK_WORK) if pressed in checking.back else asks


def _stopped(answer: Answer) -> dict[str, str]:
    """Each stop that stands, and the first reason to call that stops it. A pressing one leaves the hands and the saddle off."""
    found: dict[str, str] = {}
    for concern in answer.referral.concerns:
        stops = set(concern.standing_stops)
        if concern.call != "routine":
            stops |= {HANDS_ON, RIDING, EXERCISES} - set(concern.allowed)
            stops |= {WALKING} if EXERCISES in stops else set()
        for stop in sorted(stops):
            found.setdefault(stop, concern.words.rstrip("."))
    for release in answer.referral.releases:
        if not release.ended:
            for stop in release.forbids:
                found.setdefault(stop, f"{release.who} has forbidden it")
    return found


def _ridden_for(check: Check, answer: Answer) -> str:
    """The whole heading of an entry, as "tacked_up/rider_up"; of a place none."""
    seen = answer.ready.book.vocabulary.observations.get(check.key)
    return seen.section if seen is not None else ""


def _not_ridden(answer: Answer, checking: Checking) -> str:
    """What keeps the plan's rider off, or off this saddle, without any reason to call; empty if nothing does.

    What the plan asks the owner not to do is not asked of the owner in order to find out more.
    """
    for step in answer.plan.steps:
        for one in step.parts:
            off = answer.ready.book.actions[one.key].riding in (NOT_THIS_SADDLE, LED)
            if off or one.key in checking.not_ridden_while:
                return one.words.rstrip(".")
    return ""


def _no_trot(answer: Answer, checking: Checking) -> str:
    """What was seen after which nobody trots or rides the horse to find out more; empty if nothing was."""
    observations = answer.ready.book.vocabulary.observations
    for noted in answer.visit.noted:
        if noted.value in checking.no_trot_after.get(noted.key, ()):
            side = f"{noted.side} " if noted.side else ""
            return f"{side}{observations[noted.key].name}: {noted.written or noted.value}"
    return ""
