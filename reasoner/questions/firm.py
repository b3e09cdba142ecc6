"""How firm is it? The same visit with every score read again, many times over: how often does the answer stay as it is?

In: an `Answer`, a seed, how far the hand wavers. Out: a `Firmness`: in how many rows each conclusion keeps its band, the leading
cause, the call and the first step of the plan stay.
Not here: drawing the rows (rereading), sentences.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from reasoner.explanation.model import Key
from reasoner.facts.table import column
from reasoner.frozen import frozen
from reasoner.inference.evaluate import Result, evaluate
from reasoner.inference.program import Flags, Floats, Ints
from reasoner.problems import BadInput, Problem, register
from reasoner.questions.changes import changed
from reasoner.questions.first_steps import First, FirstSteps, first_of
from reasoner.questions.outcomes import Outcomes, causes_of, outcomes_of
from reasoner.questions.rereading import Reread, Rereading
from reasoner.rulebook.scales import ReadingError, Scales
from reasoner.rulebook.vocabulary import canonical
from reasoner.visit.model import Visit

if TYPE_CHECKING:
    from reasoner.consult import Answer

register({"QU07": "nothing says how far a hand wavers"})

ROWS, SEED = 2000, 1
AT_ONCE = 1024  # pairs of rows held in memory together
THE_RULES, GIVEN, EXAMINER = "the rules", "given here", "this examiner"
BY_HAND = "given with the question"  # the basis of an error given here


@frozen
class Hand:
    """How far the hand wavers and who says so: `whose` is THE_RULES, EXAMINER or GIVEN."""

    error: ReadingError
    whose: str


@frozen
class Stays:
    """One thing asked of every row: as it is in the visit as written, in how many rows it stays so, and every value it took
    with the number of rows, most frequent first."""

    now: object
    kept: int
    values: tuple[tuple[object, int], ...]


@frozen
class Firmness:
    """How often the answer stays as it is, counted in `rows` rows. `scores` were read again in each; `bands` holds every
    conclusion by key and side (values: the words for bands), `leading` sets of causes, `call` levels, `reasons` whether the
    same reasons to call stand (True or False), `first` first steps."""

    rows: int
    seed: int
    hand: Hand
    scores: int
    bands: Mapping[Key, Stays]
    leading: Stays
    call: Stays
    reasons: Stays
    first: Stays


def hand_of(visit: Visit, scales: Scales, shared: float | None = None, noise: float | None = None) -> Hand:
    """The error to read with: as given, else that of the visit's examiner, else the usual one. Raises BadInput (QU07)."""
    examiner = visit.noted_value("examined_by")
    named = scales.examiners.get(canonical(examiner)) if isinstance(examiner, str) else None
    known = named or scales.reading_error
    if shared is not None or noise is not None:
        if known is not None:
            shared, noise = (known.shared if shared is None else shared), (known.noise if noise is None else noise)
        if shared is not None and noise is not None:
            return Hand(ReadingError(shared=shared, noise=noise, basis=BY_HAND), GIVEN)
    if known is None:
        hint = "Give --shared and --noise in points of the scale, or keep reading_error in a file of scales/."
        raise BadInput([Problem("rules/scales", 0, "QU07", "nothing says how far a hand wavers.", hint)])
    return Hand(known, THE_RULES if named is None else EXAMINER)


def firmness_of(answer: Answer, hand: Hand, rows: int = ROWS, seed: int = SEED) -> Firmness:
    """Read the scores of the visit again, `rows` times (an odd number is made even: rows come in pairs)."""
    pairs = max(1, (rows + 1) // 2)
    steps, tally = FirstSteps(answer), _Tally(answer)
    rereading = Rereading(answer.visit, answer.ready.book, answer.ready.program.meta["words"], hand.error)
    for reread in _blocks(answer, rereading, seed, pairs, answer.ready.lean.slots):
        result = evaluate(answer.ready.lean, reread.table)
        tally.add(outcomes_of(answer.ready.lean, result, answer.ready.book))
        tally.firsts.update(steps.first(n) for n in _first_steps(steps, result, reread, answer).tolist())
    return tally.firmness(2 * pairs, seed, hand, len(rereading.touches), first_of(answer.plan, answer.referral))


def leading_stays(answer: Answer, hand: Hand, rows: int, seed: int = SEED) -> Stays | None:
    """Only in how many rows the leading causes stay: the quick part of `firmness_of`, the same rows.

    None where no cause leads, too little is known to name one, or no score was written down.
    """
    rereading = Rereading(answer.visit, answer.ready.book, answer.ready.program.meta["words"], hand.error)
    if not rereading.touches or not answer.explanation.leading or answer.explanation.account.too_little:
        return None
    tally = _Tally(answer)
    for reread in _blocks(answer, rereading, seed, max(1, (rows + 1) // 2), answer.ready.lean.slots):
        tally.add_leading(outcomes_of(answer.ready.lean, evaluate(answer.ready.lean, reread.table), answer.ready.book))
    return tally.leading()


def _blocks(answer: Answer, rereading: Rereading, seed: int, pairs: int, slots: Sequence[str]) -> Iterator[Reread]:
    base: Floats = column(slots, answer.facts)[:, 0]
    for start in range(0, pairs, AT_ONCE):
        yield rereading.rows(base, slots, seed, start, min(AT_ONCE, pairs - start))


def _first_steps(steps: FirstSteps, result: Result, reread: Reread, answer: Answer) -> Ints:
    if not steps.needs_visits:
        return steps.of(result)
    # INVARIANT: both programs are compiled from one network, and so read the same slots.
    assert answer.ready.lean.slots == answer.ready.program.slots
    return steps.of(result, reread.table, lambda row: changed(answer.visit, reread.change(row)))


class _Tally:
    """Counts over the blocks."""

    def __init__(self, answer: Answer) -> None:
        self.answer, self.program, self.book = answer, answer.ready.lean, answer.ready.book
        self.now = outcomes_of(
            self.program, evaluate(self.program, column(self.program.slots, answer.facts)), self.book
        )
        self.causes = [tuple(self.program.meta["conclusions"][n]) for n in causes_of(self.program, self.book)]
        self.names = ["against", "none", *sorted(self.book.scales.bands, key=self.book.scales.bands.__getitem__)]
        self.bands = np.zeros((len(self.names), len(self.now.band)), dtype=np.int64)
        self.leads: Counter[tuple[Key, ...]] = Counter()
        self.levels: Counter[int] = Counter()
        self.reasons: Counter[bool] = Counter()
        self.firsts: Counter[First] = Counter()

    def add(self, outcomes: Outcomes) -> None:
        for number in range(len(self.names)):
            self.bands[number] += (outcomes.band == number - 1).sum(axis=1)
        self.add_leading(outcomes)
        self.levels.update(outcomes.level.tolist())
        self.reasons.update((outcomes.concern == self.now.concern).all(axis=0).tolist())

    def add_leading(self, outcomes: Outcomes) -> None:
        sets, counts = np.unique(outcomes.leading, axis=1, return_counts=True)
        for number, count in enumerate(counts.tolist()):
            self.leads[self._set(sets[:, number])] += count

    def leading(self) -> Stays:
        return _stays(self._set(self.now.leading[:, 0]), self.leads)

    def _set(self, flags: Flags) -> tuple[Key, ...]:
        return tuple(sorted(self.causes[n] for n in np.flatnonzero(flags).tolist()))

    def firmness(self, rows: int, seed: int, hand: Hand, scores: int, first: First) -> Firmness:
        levels = ["none", *self.book.scales.calls]
        bands = {}
        for number, (key, side) in enumerate(self.program.meta["conclusions"]):
            counts = Counter({name: int(self.bands[n, number]) for n, name in enumerate(self.names)})
            bands[key, side] = _stays(self.names[int(self.now.band[number, 0]) + 1], counts)
        return Firmness(
            rows, seed, hand, scores, dict(sorted(bands.items())), self.leading(),
            _stays(levels[int(self.now.level[0])], Counter({levels[n]: c for n, c in self.levels.items()})),
            _stays(True, self.reasons), _stays(first, self.firsts),
        )  # fmt: skip


def _stays(now: object, counts: Mapping[Any, int]) -> Stays:
    values = sorted(((value, count) for value, count in counts.items() if count), key=lambda v: (-v[1], str(v[0])))
    return Stays(now, dict(values).get(now, 0), tuple(values))
