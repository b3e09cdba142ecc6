"""Scales and tape of a visit: what the horse weighs, what it carries, and the entries that follow.

In: a visit and the table of load. Out: `Weights`, and the entries `load` and `weight_by_tape` as `Noted`.
Not here: the arithmetic (measures/), what a share means (pages), sentences about it (rendering).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Any, cast

from reasoner.frozen import frozen
from reasoner.measures.body_weight import Estimate, NoEstimate, by_tape, class_of
from reasoner.measures.load_share import bands_possible, share_percent
from reasoner.measures.uncertain import error_of, nominal
from reasoner.problems import BadInput
from reasoner.rulebook.measures.load import Basis, HorseClass, Load
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import DateSpan, Noted, Visit

TABLE = "load"
SHARE, TAPED = "load", "weight_by_tape"
WEIGHT, WEIGHED, HEIGHT, BORN, TYPE = "weight", "weighed", "height", "born", "type"
GIRTH, LENGTH, POINTS = "heart_girth", "body_length", "measuring_points"
RIDER, TACK, EXTRA = "rider_weight", "tack_weight", "extra_weight"
#: The points a length is taken between where nobody wrote others: as the entry itself tells how to measure.
USUAL_POINTS, PRINTED_TAPE = "shoulder_to_buttock", "weigh_tape"


@frozen(kw_only=True)
class HorseWeight:
    """The weight that is used: kilograms with their error, how it was come by, in words and as a key."""

    kg: Any
    called: str
    how: str
    basis: Basis


@frozen(kw_only=True)
class Weights:
    """Every weight of a visit, in kilograms with their errors; None where nobody wrote it.

    `taped` is what follows from girth and length. `of` is the class of horse that was taken, `points` the measuring points.
    Shares are percent of body weight, with tack and extra and without. `slip` says why one of them is not there although all that
    it needs was written: numbers that no horse has.
    """

    table: Load
    of: HorseClass
    points: str
    horse: HorseWeight | None = None
    taped: Estimate | NoEstimate | None = None
    slip: str = ""
    rider: Any = None
    tack: Any = None
    extra: Any = None
    share: Any = None
    rider_share: Any = None

    @property
    def carried(self) -> Any:
        """Rider, tack and extra together; None where rider or tack was not weighed."""
        if self.rider is None or self.tack is None:
            return None
        return self.rider + self.tack + (self.extra if self.extra is not None else 0)

    def give_or_take(self, amount: Any) -> float:
        """An error as it is shown: so many standard errors wide as the table says."""
        return self.table.errors_shown.value * error_of(amount)


def table_of(book: Rulebook) -> Load:
    """The table of this topic. Raises KeyError where the rulebook has none."""
    return cast(Load, book.measures[TABLE])


def weights_of(visit: Visit, book: Rulebook, *, strict: bool = False) -> Weights:
    """Every weight of a visit. With `strict` raises BadInput (MS10, MS11) for what no horse has; else that is told as `slip`."""
    table = table_of(book)
    values = {noted.key: noted.value for noted in visit.noted if noted.side is None}
    age, kind = _age_days(values.get(BORN), visit), _word(values.get(TYPE))
    of = class_of(table.tape, height_mm=_number(values.get(HEIGHT)), age_days=age, kind=kind)
    points = _word(values.get(POINTS)) or USUAL_POINTS
    taped: Estimate | NoEstimate | None = None
    slips: list[BadInput] = []
    girth, length = _number(values.get(GIRTH)), _number(values.get(LENGTH))
    if girth is not None and length is not None:
        try:
            taped = by_tape(girth, length, of, points, table.tape)
        except BadInput as bad:
            slips.append(bad)
    errors = table.scales
    found = Weights(
        table=table, of=of, points=points, horse=_horse(values, taped, table), taped=taped,
        rider=_on_scale(values.get(RIDER), errors.rider_error_kg.value),
        tack=_on_scale(values.get(TACK), errors.tack_error_kg.value),
        extra=_on_scale(values.get(EXTRA), errors.extra_error_kg.value),
    )  # fmt: skip
    try:
        found = _with_shares(found)
    except BadInput as bad:
        slips.append(bad)
    problems = [problem for bad in slips for problem in bad.problems]
    if problems and strict:
        raise BadInput(problems)
    return replace(found, slip=" ".join(problem.sentence for problem in problems))


def worked_out(visit: Visit, book: Rulebook) -> Iterator[Noted]:
    """The share that is carried, and the weight by tape where nobody wrote one that agrees with it."""
    keys = {noted.key for noted in visit.noted}
    if RIDER not in keys and not {GIRTH, LENGTH} <= keys:
        return
    weights = weights_of(visit, book)
    if isinstance(weights.taped, Estimate) and not _agrees(visit.noted_value(TAPED), weights.taped.kg, weights):
        kg = weights.taped.kg
        yield Noted(
            key=TAPED, value=round(Decimal(nominal(kg)), 1), line=_line(visit, GIRTH), kind="number",
            written=f"{nominal(kg):.0f} kg, give or take {weights.give_or_take(kg):.0f} kg, by {weights.taped.way.called}",
        )  # fmt: skip
    if weights.share is not None:
        yield Noted(key=SHARE, value=band(weights), line=_line(visit, RIDER), written=share_in_words(weights))


def band(weights: Weights) -> str:
    """The reading of `load` for a share that could be reckoned: the band of the value itself."""
    return bands_possible(nominal(weights.share), weights.table.bands, 0)[0].reading


def neighbours(weights: Weights) -> tuple[str, ...]:
    """The other readings that the share may have within its error, lightest first."""
    possible = bands_possible(weights.share, weights.table.bands, weights.table.errors_shown.value)
    return tuple(one.reading for one in possible if one.reading != band(weights))


def share_in_words(weights: Weights) -> str:
    """The share with its error and its band: "20.4 %, give or take 2.2 (20 to 25 percent; may be 15 to 20 percent)"."""
    others = " or ".join(_plain(reading) for reading in neighbours(weights))
    may = f"; within its error it may be {others}" if others else ""
    share, off = nominal(weights.share), weights.give_or_take(weights.share)
    return f"{share:.1f} %, give or take {off:.1f} ({_plain(band(weights))}{may})"


def _horse(values: dict[str, Any], taped: Estimate | NoEstimate | None, table: Load) -> HorseWeight | None:
    """The weight that is used: what was written as its weight, else a printed tape's, else what follows from girth and length."""
    errors = {one.how: one for one in table.horse_weighed}
    for key, how in ((WEIGHT, _word(values.get(WEIGHED))), (TAPED, PRINTED_TAPE)):
        if (kg := _number(values.get(key))) is not None:
            one = errors.get(how, errors[""])
            return HorseWeight(
                kg=_with_error(kg, kg * one.error_percent / 100), called=one.called, how=one.how or "not written", basis=one.basis
            )  # fmt: skip
    if isinstance(taped, Estimate):
        way = taped.way
        return HorseWeight(kg=taped.kg, called=f"from girth and length, by {way.called}", how=way.key, basis=way.basis)
    return None


def _with_shares(found: Weights) -> Weights:
    if found.horse is None or found.rider is None:
        return found
    alone = share_percent(found.rider, found.horse.kg)
    whole = None if found.carried is None else share_percent(found.carried, found.horse.kg)
    return replace(found, rider_share=alone, share=whole)


def _agrees(written: object, kg: Any, weights: Weights) -> bool:
    """Whether a tape's weight written by hand is the same within the error of what follows from girth and length."""
    return isinstance(written, Decimal) and abs(float(written) - nominal(kg)) <= weights.give_or_take(kg)


def _on_scale(value: object, error_kg: float) -> Any:
    kg = _number(value)
    return _with_error(kg, error_kg) if kg else kg  # nothing at all is weighed without error


def _with_error(value: float, error: float) -> Any:
    from uncertainties import ufloat

    return ufloat(value, error)


def _age_days(born: object, visit: Visit) -> float | None:
    """The least age that a date of birth leaves open, so that a horse that may be young is taken as young."""
    return float((visit.day - born.last).days) if isinstance(born, DateSpan) and not born.never else None


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, Decimal) else None


def _word(value: object) -> str:
    return value if isinstance(value, str) else ""


def _plain(reading: str) -> str:
    return reading.replace("_", " ")


def _line(visit: Visit, key: str) -> int:
    return next(noted.line for noted in visit.noted if noted.key == key)
