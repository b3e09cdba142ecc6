"""The readings of a visit that could have been written otherwise, one by one.

In: an `Answer`. Out: for each score and each word written down every other reading the scale or the vocabulary lists, as `Edit`s,
with the rows of the readings table they reach. Not here: what they change (overturn).

Measurements, dates, free text, what was felt and how the horse answered are left as written.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

import numpy as np

from reasoner.facts.from_visit import SETTLED
from reasoner.frozen import frozen
from reasoner.inference.grounding import side_readings
from reasoner.inference.program import Flags, Floats, Ints
from reasoner.questions.changes import Change, Spot, spot_of
from reasoner.questions.rows import Rows
from reasoner.rulebook.vocabulary import Observation
from reasoner.visit.model import Noted, Side, Touch

if TYPE_CHECKING:
    from reasoner.consult import Answer

MOST = Decimal(10)  # the top of the soreness scale
SIDES: tuple[Side, Side] = ("left", "right")


@frozen
class Edit:
    """One reading written otherwise. `before` and `after` hold it as written ("" before: it was not examined); `points` is
    how far the score moves, from 0 where there was none; a word moves no points. `line` is that of the visit, 0 for none."""

    key: str
    side: str
    when: str
    about: tuple[str, str] | None
    before: str
    after: str
    word: bool
    points: float
    line: int
    change: Change


@frozen
class Unit:
    """One reading with everything else it could have been. `rows` of the table are what any of its edits reaches, `values`
    what then stands there (rows x edits). `spot` is what it is about; edits of one spot are not laid over each other."""

    edits: tuple[Edit, ...]
    spot: Spot
    rows: Ints
    values: Floats


def units_of(answer: Answer, rows: Rows, *, unexamined: bool = False) -> list[Unit]:
    """Every reading that some rule hears; with `unexamined` also places not touched and entries not written."""
    found = [*_scores(answer), *_words(answer)]
    if unexamined:
        found += [*_new_scores(answer), *_new_words(answer)]
    found = [edits for edits in found if edits]
    spots = Counter(edits[0].change.spots[0] for edits in found)
    units = (
        _unit(edits, rows, alone=spots[edits[0].change.spots[0]] == 1 and not (unexamined and _of_settling(edits[0])))
        for edits in found
    )
    return [unit for unit in units if unit is not None]


def _of_settling(edit: Edit) -> bool:
    """Whether the horse had settled, or a first reading that this bears on."""
    return edit.key == SETTLED or not (edit.before or edit.word)


def over_each_other(units: Sequence[Unit]) -> bool:
    """Whether these readings bear on one another's rows, so that they must be written into the visit together."""
    spots = [unit.spot for unit in units]
    fresh = any(not unit.edits[0].before for unit in units)
    return len(set(spots)) < len(spots) or (fresh and any(key == SETTLED for key, _ in spots))


def _unit(edits: list[Edit], rows: Rows, *, alone: bool) -> Unit | None:
    """The reading; None where no rule hears it. One that is not `alone` may be heard together with another only."""
    spot = edits[0].change.spots[0]
    base = rows.base
    tables = [rows.difference(edit.change) for edit in edits]
    reached = np.array(sorted({row for at, _ in tables for row in at}), dtype=np.int64)
    values = np.repeat(base[reached][:, None], len(edits), axis=1)
    for number, (at, new) in enumerate(tables):
        values[np.searchsorted(reached, np.array(at, dtype=np.int64)), number] = new
    moved = _differs(values, base[reached][:, None])
    kept: Flags = np.logical_or.reduce(moved, axis=1)
    heard: Flags = np.logical_or.reduce(moved, axis=0)
    if not alone and (spot[0] == SETTLED or rows.of_spot(spot)):
        heard[:] = True
    if not heard.any():
        return None
    # An edit that no rule hears changes nothing and is never part of a smallest change.
    told = tuple(edit for edit, counts in zip(edits, heard.tolist(), strict=True) if counts)
    return Unit(told, spot, reached[kept], values[kept][:, heard])


def _differs(one: Floats, other: Floats) -> Flags:
    differs: Flags = ~((one == other) | (np.isnan(one) & np.isnan(other)))
    return differs


def _grid(answer: Answer) -> list[Decimal]:
    step = Decimal(repr(answer.ready.book.scales.step))
    return [step * n for n in range(int(MOST / step) + 1)]


def _scored(touch: Touch, before: Decimal | None, values: Sequence[Decimal]) -> list[Edit]:
    return [
        Edit(
            touch.place, touch.side or "", touch.when, None, "" if before is None else f"{before.normalize():f}",
            f"{value.normalize():f}", False, float(abs(value - (before or Decimal(0)))), touch.line,
            Change((replace(touch, soreness=value, not_examined=None),)),
        )
        for value in values if value != before
    ]  # fmt: skip


def _scores(answer: Answer) -> Iterator[list[Edit]]:
    for touch in answer.visit.touches:
        if touch.soreness is not None and touch.not_examined is None:
            yield _scored(touch, touch.soreness, _grid(answer))


def _new_scores(answer: Answer) -> Iterator[list[Edit]]:
    known = {spot_of(t) for t in answer.visit.touches if t.not_examined is None}
    for place in answer.ready.book.vocabulary.places.values():
        sides: tuple[Side | None, ...] = SIDES if place.sides == "each" else (None,)
        for side in sides:
            if (place.key, side or "") not in known:
                yield _scored(Touch(place=place.key, side=side), None, _grid(answer))


def _listed(observation: Observation) -> list[str]:
    words = [word.key for word in observation.readings]
    return side_readings(words) if observation.kind == "side" else words


def _worded(noted: Noted, before: str, words: Sequence[str]) -> list[Edit]:
    return [
        Edit(
            noted.key, noted.side or "", "", noted.about, before.replace("_", " "), word.replace("_", " "), True, 0.0,
            noted.line, Change(noted=(replace(noted, value=word, written=word.replace("_", " ")),)),
        )
        for word in words if word != before
    ]  # fmt: skip


def _words(answer: Answer) -> Iterator[list[Edit]]:
    observations = answer.ready.book.vocabulary.observations
    for noted in answer.visit.noted:
        observation = observations.get(noted.key)
        if observation is not None and observation.kind in ("choice", "side") and isinstance(noted.value, str):
            words = _listed(observation)
            if noted.value in words:
                yield _worded(noted, noted.value, words)


def _new_words(answer: Answer) -> Iterator[list[Edit]]:
    known = {spot_of(n) for n in answer.visit.noted}
    for observation in answer.ready.book.vocabulary.observations.values():
        if observation.kind not in ("choice", "side"):
            continue
        sides: tuple[Side | None, ...] = SIDES if observation.sides == "each" else (None,)
        for side in sides:
            if (observation.key, side or "") not in known:
                yield _worded(
                    Noted(key=observation.key, side=side, value="", kind=observation.kind), "", _listed(observation)
                )
