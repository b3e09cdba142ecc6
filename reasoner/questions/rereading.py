"""The scores of a visit read again by a hand that wavers: many visits, each a row of the batch.

In: a visit, a seed and how far the hand wavers. Out: tables of readings, and any row as a `Change` of the visit.
Not here: what the rows come to (firm), how far a hand wavers (rules/scales/reading_error.yaml).

Every score moves by one amount shared by the visit and one of its own place and side, goes to the nearest step of the scale and
stays within 0 to 10. All touches of a place and side move together; so do those listed as quiet. Nothing else is read again: what
was felt, how the horse answered, places refused or passed over. Each draw is used twice, once with left and right exchanged, so
that a horse and its mirror image get mirrored answers.

INVARIANT: a row equals the column of the visit with its scores written in, number for number.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

import numpy as np

from reasoner.facts.from_visit import NO_RESPONSE, REFUSAL, WHEN
from reasoner.frozen import frozen
from reasoner.inference.program import Floats
from reasoner.inference.slots import RESPONSES, SORENESS, bit, mask, slot
from reasoner.questions.changes import Change, Spot, spot_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.scales import ReadingError
from reasoner.visit.model import Touch, Visit

if TYPE_CHECKING:
    from numpy.typing import NDArray

MOST = 10.0  # the top of the soreness scale


@frozen
class Reread:
    """Some rows: `table` (slots x rows) ready for the pass, `scores` of each touch that has one (touches x rows)."""

    table: Floats
    scores: Floats
    touches: tuple[Touch, ...]

    def change(self, row: int) -> Change:
        """What this row writes into the visit."""
        new = (Decimal(f"{score:g}") for score in self.scores[:, row].tolist())
        return Change(tuple(replace(t, soreness=score) for t, score in zip(self.touches, new, strict=True)))


class Rereading:
    """The scores of one visit and how they waver."""

    def __init__(self, visit: Visit, book: Rulebook, words: Mapping[str, Sequence[str]], error: ReadingError) -> None:
        self.error, self.step = error, book.scales.step
        self.responses = words["*responses"]
        #: In the order of the vocabulary, touched or not: what a place draws does not depend on what else was examined.
        self.places = {key: n for n, key in enumerate(sorted(book.vocabulary.places))}
        self.times: dict[Spot, dict[str, Touch]] = {}
        for touch in sorted(visit.touches, key=lambda t: WHEN.index(t.when)):
            if touch.not_examined is None:
                self.times.setdefault(spot_of(touch), {})[touch.when] = touch
        self.times = {spot: times for spot, times in self.times.items() if any(_scored(t) for t in times.values())}
        self.touches = tuple(t for times in self.times.values() for t in times.values() if _scored(t))

    def rows(self, base: Floats, slots: Sequence[str], seed: int, first: int, pairs: int) -> Reread:
        """Rows from the pairs of draws `first`, `first` + 1, ... of a seed: all as drawn, then all with the sides exchanged.

        `base` is the visit's own column over `slots`, shape (slots,).
        """
        moved = self._moved(seed, first, pairs)
        written = np.array([float(t.soreness or 0) for t in self.touches]).reshape(-1, 1)
        scores = np.rint((written + moved) / self.step) * self.step
        scores = np.minimum(np.maximum(scores, 0.0), MOST) + 0.0  # never minus zero
        table = np.repeat(base[:, None], 2 * pairs, axis=1)
        at = {name: row for row, name in enumerate(slots)}
        start = 0
        for (place, side), times in self.times.items():
            scored = [when for when, touch in times.items() if _scored(touch)]
            now = dict(zip(scored, scores[start : start + len(scored)], strict=True))
            start += len(scored)
            for quality, values in self._qualities(times, now):
                row = at.get(slot(place, side, quality))
                if row is not None:
                    table[row] = values
        return Reread(table, scores, self.touches)

    def _moved(self, seed: int, first: int, pairs: int) -> Floats:
        """By how much each score moves (touches x rows), before it is brought to the grid."""
        width = 1 + len(self.places)
        # The bits of this generator are promised to stay the same; numpy's own normal numbers may change with a release.
        source = np.random.PCG64(seed)
        source.advance(first * width * 2)
        raw = source.random_raw(pairs * width * 2).reshape(pairs, width, 2)
        columns = sorted({0, *(1 + self.places[place] for place, _ in self.times)})
        two = _normal(raw[:, columns])  # (pairs, columns, 2)
        found = {column: two[:, n].T for n, column in enumerate(columns)}
        shared = self.error.shared * np.tile(found[0][0], 2)
        moved = np.empty((len(self.touches), 2 * pairs))
        row = 0
        for (place, side), times in self.times.items():
            one, other = found[1 + self.places[place]]
            own = {"left": (one, other), "right": (other, one), "": (one, one)}[side]
            count = sum(map(_scored, times.values()))
            moved[row : row + count] = shared + self.error.noise * np.concatenate(own)
            row += count
        return moved

    def _qualities(self, times: Mapping[str, Touch], now: Mapping[str, Floats]) -> Iterator[tuple[str, Floats]]:
        """The qualities of one place and side that its scores decide, as facts.from_visit fills them."""
        rows = len(next(iter(now.values())))
        answers = {when: found for when, t in times.items() if (found := self._answer(t, now.get(when))) is not None}
        before = next((when for when in ("settled", "first") if when in times), "")
        for reading, when in (*((when, when) for when in times), ("effective", before)):
            if when in now:
                yield SORENESS[reading], now[when]
            if when in answers:
                yield RESPONSES[reading], answers[when]
        yield SORENESS["worst"], np.max(np.array(list(now.values())), axis=0)
        if answers:
            every = np.array([np.broadcast_to(found, rows) for found in answers.values()])
            codes = np.bitwise_or.reduce(np.nan_to_num(every).astype(np.int64), axis=0)
            yield RESPONSES["worst"], np.where(np.isnan(every).all(axis=0), np.nan, codes)

    def _answer(self, touch: Touch, score: Floats | None) -> Floats | None:
        """The bits of the responses: those written; else "none" where the score is 0, and nothing known where it is not."""
        said = {*(touch.responses or ()), *((REFUSAL,) if touch.refused else ())}
        if said:
            return np.array([float(mask(self.responses, said))])
        if score is None:
            return None
        return np.where(score == 0.0, float(bit(self.responses, NO_RESPONSE)), np.nan)


def _scored(touch: Touch) -> bool:
    return touch.soreness is not None


def _normal(raw: NDArray[np.uint64]) -> Floats:
    """Two independent normal numbers from each two words of 64 random bits along the last axis (Box and Muller 1958)."""
    even = ((raw >> np.uint64(11)).astype(np.float64) + 0.5) * 2.0**-53  # above 0 and below 1
    far, turn = np.sqrt(-2.0 * np.log(even[..., 0])), 2.0 * np.pi * even[..., 1]
    return np.stack([far * np.cos(turn), far * np.sin(turn)], axis=-1)
