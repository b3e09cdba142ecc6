"""What else it could be: the causes an apprentice must have weighed before believing the account.

In: an `Answer`, its strands and turning points. Out: `Rival`s, each beside the leading cause, or what it could be.
Not here: words; what parts two conclusions (questions.which_of, which proposes nothing a standing concern forbids).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Literal

from reasoner.explanation.model import Concluded, Explanation, Key
from reasoner.frozen import frozen
from reasoner.questions.which_of import WhichOf, which_of
from reasoner.teaching.threads import Strand, Weighed, weighed
from reasoner.teaching.turning import Turning

if TYPE_CHECKING:
    from reasoner.consult import Answer

MOST = 3
"""How many rivals are told, left and right of one counted once."""
CAUSE = "cause"
Why = Literal["as good", "stands", "would lead", "open", "ruled out"]


@frozen(kw_only=True)
class Rival:
    """Another cause. `why` it is one: it would account for what was found as well ("as good"), it stands beside the account, it
    would lead if a reading were otherwise, or it would account for some of the same findings and is open, or ruled out. `beside`:
    it and each leading cause side by side, the one of its own side where there is one."""

    weighed: Weighed
    why: Why
    beside: tuple[WhichOf, ...]


def rivals_of(answer: Answer, strands: Sequence[Strand], turning: Turning) -> tuple[Rival, ...]:
    """The rivals, the most pressing first; none where nothing leads."""
    leading = answer.explanation.leading
    if not leading:
        return ()
    inside = {strand.weighed.key for strand in strands}
    chosen: dict[str, dict[Key, Why]] = {}
    for key, why in _candidates(answer, turning, leading):
        sides = chosen.get(key[0], {})
        # The other side comes along only where it is a rival for the same reason: no cut falls between two that are alike.
        if key not in inside and (why in sides.values() if sides else len(chosen) < MOST):
            chosen.setdefault(key[0], {}).setdefault(key, why)
    return tuple(
        Rival(weighed=weighed(answer.explanation.concluded[key]), why=why,
              beside=tuple(which_of(answer, one, key, 1) for one in _beside(key, leading)))
        for sides in chosen.values() for key, why in sides.items()
    )  # fmt: skip


def possible(explanation: Explanation) -> tuple[Concluded, ...]:
    """What it could be where there is no starting point: the open conclusions that would account for something that asks for an
    explanation, those that could still rise most first."""
    asks = {(f.where, f.side) for f in explanation.notable}
    opened = [c for c in explanation.concluded.values() if _may_rise(c) and _shared(c, asks)]
    opened.sort(key=lambda c: (-c.upper, c.key, c.side))
    kept = list(dict.fromkeys(c.key for c in opened))[:MOST]
    return tuple(c for c in opened if c.key in kept)


def _candidates(answer: Answer, turning: Turning, leading: Sequence[Key]) -> Iterator[tuple[Key, Why]]:
    explanation = answer.explanation
    causes = {key: c for key, c in explanation.concluded.items() if c.kind == CAUSE and key not in leading}
    yield from ((key, "as good") for choice in explanation.account.ties for key in choice if key in causes)
    stand = sorted((c for c in explanation.supported() if (c.key, c.side) in causes), key=_heaviest)
    yield from (((c.key, c.side), "stands") for c in stand)
    would = [key for turn in turning.turns for key in turn.leads if key in causes]
    yield from ((key, "would lead") for key in would)
    theirs = {(f.where, f.side) for key in leading for f in explanation.concluded[key].accounts_for}
    others = [(_shared(c, theirs), c) for c in causes.values()]
    others = [(shared, c) for shared, c in others if shared and (_may_rise(c) or c.certainty < 0.0)]
    others.sort(key=lambda pair: (-pair[0], -len(weighed(pair[1]).rules_in), -pair[1].upper, pair[1].key, pair[1].side))
    yield from (((c.key, c.side), "open" if _may_rise(c) else "ruled out") for _, c in others)


def _heaviest(one: Concluded) -> tuple[int, str, str]:
    return -one.weight, one.key, one.side


def _may_rise(one: Concluded) -> bool:
    return one.open and one.upper_band not in ("none", "against")


def _shared(one: Concluded, found: Iterable[tuple[str, str]]) -> int:
    """How many of the findings it would account for as well."""
    return len({(f.where, f.side) for f in one.accounts_for} & set(found))


def _beside(key: Key, leading: Sequence[Key]) -> tuple[Key, ...]:
    """The leading causes it is set beside: that of its own side where there is one, for no side comes first by default."""
    return tuple(one for one in leading if one[1] == key[1]) or tuple(leading)
