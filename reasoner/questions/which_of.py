"""Which of the two? Two conclusions side by side, and the looks that would part them best.

In: an `Answer` and two conclusions. Out: `WhichOf`.
Not here: sentences, which looks are allowed (next_check).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

import numpy as np

from reasoner.explanation.model import Concluded, Finding, Key
from reasoner.frozen import frozen
from reasoner.inference.evaluate import evaluate
from reasoner.inference.program import Floats
from reasoner.questions.checks import Check, Reading, checks_of
from reasoner.questions.next_check import EMERGENCY, sifted
from reasoner.questions.rows import Rows
from reasoner.rulebook.references import conditions_of
from reasoner.rulebook.rulebook import Rulebook

if TYPE_CHECKING:
    from reasoner.consult import Answer

MOST = 3
LEAST = 0.005  # certainties are told in hundredths: what is less than half of one cannot be seen in any answer


@frozen
class Parting:
    """A look that would part the two: `parts` is how far apart its readings bring the difference of the two certainties;
    `towards_one` and `towards_two` are the readings that speak most for either, None where no reading moves the difference
    that way from where it stands."""

    check: Check
    parts: float
    towards_one: Reading | None
    towards_two: Reading | None


@frozen
class WhichOf:
    """The two conclusions; the notable findings that both account for, and those that only one does; the looks that part them,
    the best first. `stop`: an emergency stands, and no look is proposed."""

    one: Concluded
    two: Concluded
    both: tuple[Finding, ...]
    only_one: tuple[Finding, ...]
    only_two: tuple[Finding, ...]
    partings: tuple[Parting, ...]
    stop: bool


def which_of(answer: Answer, one: Key, two: Key, most: int = MOST) -> WhichOf:
    """The two side by side."""
    first, second = (answer.explanation.concluded[key] for key in (one, two))
    theirs = {(f.where, f.side) for f in second.accounts_for}
    ours = {(f.where, f.side) for f in first.accounts_for}
    stop = answer.referral.level == EMERGENCY
    return WhichOf(
        first, second,
        both=tuple(f for f in first.accounts_for if (f.where, f.side) in theirs),
        only_one=tuple(f for f in first.accounts_for if (f.where, f.side) not in theirs),
        only_two=tuple(f for f in second.accounts_for if (f.where, f.side) not in ours),
        partings=() if stop else partings(answer, one, two)[:most], stop=stop,
    )  # fmt: skip


def partings(answer: Answer, one: Key, two: Key) -> tuple[Parting, ...]:
    """Every allowed look that would part the two, the best first; of equal ones the quickest."""
    lean = answer.ready.lean
    checks, _ = sifted(answer, checks_of(answer))
    lessening = _only_lessening(answer.ready.book, one[0], two[0])
    checks = [check for check in checks if check.key not in lessening]
    if not checks:
        return ()
    numbers = {(key, side): n for n, (key, side) in enumerate(lean.meta["conclusions"])}
    rows = Rows(answer)
    table = rows.table([reading.change for check in checks for reading in check.readings])

    def apart(table: Floats) -> Floats:
        certainty = evaluate(lean, table).certainty
        difference: Floats = certainty[numbers[one]] - certainty[numbers[two]]
        return difference

    gap, now = apart(table), float(apart(rows.base[:, None])[0])
    found, start = [], 0
    for check in checks:
        some = gap[start : start + len(check.readings)]
        start += len(check.readings)
        parts = round(float(some.max() - some.min()), 9)
        up, down = int(np.argmax(some)), int(np.argmin(some))
        towards_one = check.readings[up] if some[up] - now >= LEAST else None
        towards_two = check.readings[down] if now - some[down] >= LEAST else None
        if towards_one is not None or towards_two is not None:
            found.append(Parting(check, parts, towards_one, towards_two))
    return tuple(sorted(found, key=lambda p: (-p.parts, p.check.minutes, p.check.walk, p.check.key)))


def _only_lessening(book: Rulebook, *pages: str) -> set[str]:
    """What circumstances read and neither page does: it makes other readings count for less, and speaks for nothing."""
    lessens = {key for page in book.circumstances.values() for _, raw, _ in conditions_of(page) for key in _named(raw)}
    return lessens - {key for one in pages for _, raw, _ in conditions_of(book.conclusions[one]) for key in _named(raw)}


def _named(raw: Any) -> Iterator[str]:
    """Every key of a condition as written, its words among them; parsed conditions are not kept with the compiled rules."""
    if isinstance(raw, Mapping):
        for key, part in raw.items():
            yield str(key)
            yield from _named(part)
    elif isinstance(raw, list | tuple):
        for part in raw:
            yield from _named(part)
