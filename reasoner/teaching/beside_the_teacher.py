"""One apprentice's answer beside the teacher's, with what the rules make of it.

In: the work, what is locked in the case, the marks by the rules. Out: `Beside`.
Not here: words, the class as a whole (class_figures). Nothing here is a sum of points: each thing stands by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from reasoner.explanation.from_record import OTHER
from reasoner.frozen import frozen
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.class_marks import ClassMarks
from reasoner.teaching.handed_in import Work
from reasoner.teaching.scoring_rules import brier, logarithmic, spread
from reasoner.teaching.session import NONE, Key, outcomes
from reasoner.teaching.teachers_answer import TeachersAnswer

RIGHT = ("", "right")


@frozen(kw_only=True)
class Scored:
    """How well the last certainties matched the teacher's causes, all of them taken as one outcome: the `share` given to
    them, both scores, and those of one who holds every cause for equally likely. Less is better."""

    share: float
    brier: float
    logarithmic: float
    alike_brier: float
    alike_logarithmic: float


@frozen(kw_only=True)
class Beside:
    """`thinks`: what was held last, by cause and side. `said` the degree of the call, `asked` the teacher's; `low` and
    `high`: by how many degrees it was off; `unseen`: too low, and yet what stands on what had been looked at. `found`: causes
    of the teacher's; `turned`: on the other side; `missed`: the teacher's, where none of them was named, and `also` those
    left where one was; `jumped_to`: held with nothing seen that speaks for them by the rules; `others`: held beside.
    `wanted`, `left`, `wrong` and `stopped`: steps proposed that the teacher wanted, wanted and not proposed, that the teacher
    calls wrong, and that something standing stops. `telling` of `looks` made were telling. `scored` is None where the teacher
    names no cause."""

    work: Work
    marks: ClassMarks
    thinks: Mapping[Key, float]
    said: str
    asked: str
    low: int
    high: int
    unseen: bool
    found: tuple[Key, ...]
    turned: tuple[Key, ...]
    missed: tuple[Key, ...]
    also: tuple[Key, ...]
    jumped_to: tuple[Key, ...]
    others: tuple[Key, ...]
    wanted: tuple[Key, ...]
    left: tuple[Key, ...]
    wrong: tuple[Key, ...]
    stopped: tuple[Key, ...]
    steps: tuple[Key, ...]
    scored: Scored | None

    @property
    def looks(self) -> int:
        """How many looks were made."""
        return len(self.marks.looks)

    @property
    def telling(self) -> int:
        """How many of them were telling when they were made."""
        return sum(look.telling for look in self.marks.looks)

    @property
    def taken_for(self) -> tuple[Key, ...]:
        """What was held for likeliest where no cause of the teacher's was named; several where they were equal."""
        if not self.missed or not self.thinks:
            return ()
        most = max(self.thinks.values())
        return tuple(key for key, share in self.thinks.items() if share == most)


def beside(work: Work, answer: TeachersAnswer, marks: ClassMarks, book: Rulebook) -> Beside:
    """The answer beside the teacher's."""
    thinks, said, steps = thinks_of(work), _last(work, "refer") or NONE, steps_of(work)
    degrees = (NONE, *book.scales.calls)
    off = degrees.index(answer.referral) - degrees.index(said)
    right = set(answer.causes)
    found = tuple(key for key in thinks if key in right)
    turned = tuple(key for key in thinks if key[1] and key not in right and (key[0], OTHER[key[1]]) in right)
    rest = tuple(key for key in answer.causes if key not in thinks)
    jumped = tuple(key for key in thinks if key in marks.jumped_to and key not in right and key not in turned)
    wrong = tuple(key for key in steps if key in answer.wrong)
    return Beside(
        work=work, marks=marks, thinks=thinks, said=said, asked=answer.referral, low=max(off, 0), high=max(-off, 0),
        unseen=off > 0 and degrees.index(marks.referral_seen) <= degrees.index(said),
        found=found, turned=turned, missed=() if found else rest, also=rest if found else (), jumped_to=jumped,
        others=tuple(key for key in thinks if key not in (*found, *turned, *jumped)),
        # A step that something standing stops is never counted as wanted, whoever wanted it.
        wanted=tuple(key for key in steps if key in answer.wanted and key not in marks.stopped),
        left=tuple(key for key in answer.wanted if key not in steps), wrong=wrong, stopped=marks.stopped, steps=steps,
        scored=scored(thinks, answer.causes, len(outcomes(book))),
    )  # fmt: skip


def scored(thinks: Mapping[Key, float], right: Iterable[Key], count: int) -> Scored | None:
    """The certainties over `count` outcomes, scored where all of `right` count as one: their shares added, an unnamed one
    with what is spread over the unnamed. Both rules stay proper, since the sum is what is forecast of "one of these"."""
    of = set(right)
    if not of:
        return None

    def both(held: Mapping[Key, float]) -> tuple[float, float, float]:
        each = spread(held, count)
        share = sum(held.get(key, each) for key in of)
        joined = {**{key: one for key, one in held.items() if key not in of}, RIGHT: share}
        outcomes_left = count - len(of) + 1
        return share, brier(joined, outcomes_left, RIGHT), logarithmic(joined, outcomes_left, RIGHT)

    said, alike = both(thinks), both({})
    return Scored(share=said[0], brier=said[1], logarithmic=said[2], alike_brier=alike[1], alike_logarithmic=alike[2])


def thinks_of(work: Work) -> dict[Key, float]:
    """What was said last of the causes, as shares."""
    said = _last(work, "think") or []
    return {(str(one["cause"]), str(one["side"] or "")): float(one["percent"]) / 100.0 for one in said}


def steps_of(work: Work) -> tuple[Key, ...]:
    """The steps proposed and not taken back, in order."""
    found: dict[Key, None] = {}
    for one in work.choices:
        side = str(one.get("side") or "")
        if "step" in one:
            found[str(one["step"]), side] = None
        elif "drop" in one:
            found.pop((str(one["drop"]), side), None)
    return tuple(found)


def _last(work: Work, kind: str) -> Any:
    return next((one[kind] for one in reversed(work.choices) if kind in one), None)
