"""The symmetry index, the pressure gauge and the hand, against published values.

In: pairs and readings as printed. Out: the numbers, and that no limit was made of what has none.
Not here: laws that hold for any pair (tests/measures). Each source stands beside its check.
"""

from __future__ import annotations

from typing import cast

import pytest

from reasoner.measures.hand_force import KPA_IN_KG_PER_CM2, Reading, group_at, pressure_kpa, sides_of_gauge
from reasoner.measures.symmetry import Amount, compare, symmetry_index
from reasoner.quantities import read_quantity
from reasoner.rendering.measured import measured
from reasoner.rulebook.conditions import leaves
from reasoner.rulebook.measures.sides import Sides
from reasoner.rulebook.pages import bases
from tests.asking import shipped, visit_of

BOOK = shipped().book
TABLE = cast(Sides, BOOK.measures["sides"])


@pytest.mark.parametrize(
    ("right", "left", "percent"),
    [(0.39, 0.25, 43.75), (0.59, 0.40, 38.38), (0.47, 0.37, 23.81), (900, 1000, -10.53)],
)
def test_the_symmetry_index(right: float, left: float, percent: float) -> None:
    """SI01-SI02: Robinson, Herzog and Nigg 1987; step lengths, Int J Phys Med Rehabil 2014;2:201, table 1 (high).

    900 v. 1000 is arithmetic (SI04). Swapped sides give the negative.
    """
    assert round(symmetry_index(left, right), 2) == percent
    assert round(symmetry_index(right, left), 2) == -percent


def test_other_formulas_make_other_numbers_of_the_same_pair() -> None:
    """SI03, the same table: (a-b)/(a+b) gives 21.88 and (a-b)/a gives 35.90; so the formula is named wherever it is told."""
    found = compare(Amount(value=0.25), Amount(value=0.39), TABLE.errors.wide)
    assert round(found.over_sum_percent, 2) == 21.88
    assert round(found.over_right_percent or 0, 2) == 35.90
    assert "half of right plus left" in TABLE.index.formula
    (told,) = measured(visit_of("standing square: {forearm girth: {left: 398 mm, right: 402 mm}}"), BOOK)
    assert any(TABLE.index.formula in line and "Symmetry index" in line for line in told.lines)


def test_the_usual_cut_is_called_arbitrary_and_no_rule_reads_it() -> None:
    """SI04 (high): ten in a hundred is arbitrary. A pair beyond it moves no answer: no rule reads any entry of the table."""
    assert TABLE.cut.percent == 10
    assert "arbitrary" in TABLE.cut.says
    paired = {key for key, seen in BOOK.vocabulary.observations.items() if seen.measure == "sides"}
    assert len(paired) >= 12
    read = {leaf.subject for condition in BOOK.parsed.values() for leaf in leaves(condition)}
    assert read & paired == set()


def test_units_of_the_gauge() -> None:
    """G01 (high): 1 N/cm2 is 10 kPa, 1 kg/cm2 is 98.0665 kPa, 1 psi 6.894757 kPa. PP01: 4 kg/cm2 is 392 kPa, 39.2 N on 1 cm2."""
    assert read_quantity("1 N/cm2", "pressure") == 10
    assert pytest.approx(98.0665) == KPA_IN_KG_PER_CM2
    assert float(read_quantity("1 psi", "pressure")) == pytest.approx(6.894757, abs=1e-6)
    assert pressure_kpa(39.2266, 1.0) == pytest.approx(392.266)
    assert float(read_quantity("4 kg", "force")) == pytest.approx(39.2266)
    assert pressure_kpa(39.2266, 0.5) == pytest.approx(2 * 392.266)


def test_the_groups_with_back_pain() -> None:
    """A07 and PP04, open data set of Anglia Ruskin University (high): 6.40 (1.06) at the withers, 8.61 (1.55) mid loin."""
    withers, loin = group_at("gauge_at_the_withers", TABLE), group_at("gauge_on_the_loin", TABLE)
    assert withers is not None
    assert loin is not None
    assert (withers.mean_kg_cm2, withers.sd_kg_cm2) == (6.40, 1.06)
    assert (loin.mean_kg_cm2, loin.sd_kg_cm2) == (8.61, 1.55)
    assert group_at("gauge_on_the_croup", TABLE) is None
    assert {"sport_horse_back_data"} == {one for group in TABLE.groups for one in bases(group.basis)}
    text = "pressure gauge: {gauge tip: 1 cm2, gauge at the withers: {left: 6 kg/cm2, right: 6 kg/cm2}}"
    (told,) = measured(visit_of(text), BOOK)
    assert any("6.40" in line and "1.06" in line for line in told.lines)
    assert any("It is no limit" in caution for caution in told.cautions)


def test_tips_are_not_mixed() -> None:
    """A08 and PP05, Pongratz and Licka 2017 (high): 0.5 cm2 read lower and 2 cm2 higher."""
    assert TABLE.gauge.basis == ("pongratz_licka_2017",)
    with pytest.raises(Exception, match="smaller tip reads lower"):
        sides_of_gauge(Reading(kpa=500, tip_cm2=0.5), Reading(kpa=500, tip_cm2=2.0), TABLE)


def test_no_cut_off_for_a_difference_and_the_rest_is_said() -> None:
    """A01, Haussler and Erb 2006: no usual difference; A05: no published cut-off, so none; PP08/A09: repeats make it sooner."""
    text = "pressure gauge: {gauge tip: 1 cm2, presses on each spot: 9, gauge on the back: {left: 9 kg/cm2, right: 4 kg/cm2}}"
    (told,) = measured(visit_of(text), BOOK)
    whole = " ".join([*told.lines, *told.cautions])
    for words in ("do not usually differ", "so none is used", "more often a gauge was pressed", "9 times"):
        assert words in whole
    assert {"haussler_erb_2006", "varcoe_cocks_2006", "merrifield_jones_2019", "own setting"} <= set(told.rests_on)


def test_a_thumb_of_four_kilograms_and_two_hands_of_a_hundred() -> None:
    """PP01, Wolfe 1990 (high): about 4 kg by the thumb, on people. A hundred by two hands is common practice, on a scale."""
    assert TABLE.people.thumb_kg == 4
    assert "on people" in TABLE.people.says
    assert (TABLE.two_hands.about_kg, TABLE.two_hands.basis) == (100, ("common practice",))
    (told,) = measured(visit_of("hand on a scale: 38 kg"), BOOK)
    whole = " ".join(told.cautions)
    for words in ("no target on a horse", "spine", "outer edge of the loin", "never start firm"):
        assert words in whole
