"""Readings of a hand-held gauge, and how firmly a hand pressed: units, left against right, one day against another.

In: forces in N, pressures in kPa, tips in cm2, a hand's push in kg, and the table `sides`. Out: pressures, `Compared`, and
`Judged`, a plain judgement with its reasons.
Not here: reading of text, what a difference means. No published size of difference is known that matters; none is used.
"""

from __future__ import annotations

from reasoner.frozen import frozen
from reasoner.measures.symmetry import Amount, Compared, compare, larger_side, uncertain
from reasoner.problems import BadInput, Problem, register
from reasoner.quantities import STANDARD_GRAVITY
from reasoner.rulebook.measures.sides import Group, Sides

register({"MS41": "readings of two tips, or a tip that is not written"})

#: 1 N/cm2 is 10 kPa, and 1 kg/cm2 is the weight of 1 kg on 1 cm2: both exact.
_KPA_IN_N_PER_CM2 = 10.0
KPA_IN_KG_PER_CM2 = float(STANDARD_GRAVITY) * _KPA_IN_N_PER_CM2


@frozen(kw_only=True)
class Reading:
    """What a gauge showed at the first answer: a pressure in kPa, the tip in cm2 (None: not written)."""

    kpa: float
    tip_cm2: float | None = None


@frozen(kw_only=True)
class Press:
    """How firmly a hand pressed on a day: its word ("light", "moderate", "firm"), its kg on a scale, whose hand it was."""

    word: str = ""
    push_kg: float | None = None
    who: str = ""


@frozen(kw_only=True)
class Judged:
    """How far scores of two days may be compared.

    `how_far` is "both ways", "one way" (a higher score under the lighter hand still says more sore; nothing else does) or
    "not"; `reasons` are sentences.
    """

    how_far: str
    reasons: tuple[str, ...]


def pressure_kpa(force_n: float, tip_cm2: float) -> float:
    """The mean pressure under a tip: force over area, 1 N/cm2 being 10 kPa.

    Raises BadInput (MS41) for a tip that has no area.

    >>> round(pressure_kpa(4 * 9.80665, 1.0), 1)
    392.3
    """
    if not tip_cm2 > 0:
        what = f"the tip of the gauge: {tip_cm2:g} cm2 was read; a force becomes a pressure only over an area above 0."
        raise BadInput([Problem("measure", 0, "MS41", what)])
    return force_n / tip_cm2 * _KPA_IN_N_PER_CM2


def kg_per_cm2(kpa: float) -> float:
    """A pressure in kg/cm2, as most gauges for the hand show it.

    >>> round(kg_per_cm2(392.266), 3)
    4.0
    """
    return kpa / KPA_IN_KG_PER_CM2


def sides_of_gauge(left: Reading, right: Reading, table: Sides, percent: float | None = None) -> Compared:
    """Left against right at one spot, in kPa; `percent` is how far a reading may be off, else the table's own setting.

    Raises BadInput: MS41 where the two tips differ, for the size of a tip changes the reading (Pongratz and Licka 2017);
    otherwise as `symmetry.compare`.
    """
    if left.tip_cm2 is not None and right.tip_cm2 is not None and left.tip_cm2 != right.tip_cm2:
        what = f"left was read with a tip of {left.tip_cm2:g} cm2 and right with one of {right.tip_cm2:g} cm2."
        raise BadInput([Problem("measure", 0, "MS41", what, table.gauge.tips_say)])
    share = (table.errors.gauge_percent if percent is None else percent) / 100
    one, two = (Amount(value=r.kpa, error=r.kpa * share or None) for r in (left, right))
    return compare(one, two, table.errors.wide)


def group_at(place: str, table: Sides) -> Group | None:
    """The published group at the place of an entry, if there is one."""
    return next((group for group in table.groups if group.place == place), None)


def may_be_compared(before: Press, now: Press, table: Sides) -> Judged:
    """How far a score of one day may be set beside a score of the other.

    Two people's numbers are not compared. Where both hands were pressed on a scale their kilograms decide, each off by the
    table's own setting; else the words do. Where one hand was plainly lighter, a higher score under it cannot come from the
    hand, and that way alone is left open.
    """
    if before.who and now.who and before.who.casefold() != now.who.casefold():
        return Judged(how_far="not", reasons=(f"Two people pressed ({before.who} and {now.who}); their numbers are not "
                                              "compared as if they were one hand's.",))  # fmt: skip
    if before.push_kg is not None and now.push_kg is not None:
        return _by_scale(before.push_kg, now.push_kg, table)
    if before.word and now.word:
        if before.word == now.word:
            return Judged(how_far="both ways", reasons=(f"Both days were pressed with a {now.word} hand, by the word; no "
                                                        "scale says how alike the two were.",))  # fmt: skip
        return Judged(how_far="not", reasons=(f"One day was pressed with a {before.word} hand and the other with a "
                                              f"{now.word} one, and a firmer hand finds more.",))  # fmt: skip
    return Judged(how_far="not", reasons=("It is not written for both days how firmly the hand pressed.",))


def _by_scale(before: float, now: float, table: Sides) -> Judged:
    share = table.errors.hand_percent / 100
    for push in (before, now):
        if not push > 0:
            what = f"a push of {push:g} kg was read; a hand on a scale shows more than 0."
            raise BadInput([Problem("measure", 0, "MS43", what)])
    one, two = (uncertain(Amount(value=push, error=push * share), table.errors.wide) for push in (before, now))
    apart = now - before
    error = float((two - one).std_dev) * table.errors.wide
    told = f"On a scale the hand showed {before:g} kg and then {now:g} kg"
    if larger_side(apart, error) == "even":
        return Judged(how_far="both ways", reasons=(f"{told}: alike within the {error:.2g} kg that two such pushes may be "
                                                    "off together.",))  # fmt: skip
    lighter = "earlier" if apart > 0 else "later"
    return Judged(
        how_far="one way",
        reasons=(
            f"{told}: more apart than the {error:.2g} kg that two such pushes may be off together.",
            f"A higher score under the lighter hand, the {lighter} one, cannot come from the hand and still says more sore; "
            "a lower one there, and an equal one, say nothing.",
        ),
    )
