"""Body weight, load and pressure against published values and worked examples.

In: the shipped tables and the plain functions. Out: each published number, as our tables hold it and our functions give it.
Not here: laws (tests/measures), what the pages make of it. Each source stands beside its check.
"""

from __future__ import annotations

import pytest

from reasoner.facts.measured_load import table_of
from reasoner.facts.measured_pressure import table_of as pressure_table_of
from reasoner.measures.body_weight import KG_IN_LB, MM_IN_INCH, Estimate, by_tape, class_of, formula_kg
from reasoner.measures.contact_pressure import beside, mean_pressure_kpa
from reasoner.measures.load_share import band_of, placed, share_percent
from reasoner.measures.rider_force import change_percent, forces
from reasoner.measures.uncertain import nominal
from reasoner.quantities import read_quantity
from reasoner.rulebook.measures.load import Force, Study
from tests.asking import shipped

BOOK = shipped().book
LOAD, PRESSURE = table_of(BOOK), pressure_table_of(BOOK)
WAYS = {way.key: way for way in LOAD.tape.ways}


def study(key: str) -> Study:
    return next(one for one in LOAD.studies if one.key == key)


# -- weight ------------------------------------------------------------------------------------------------------------


def test_the_divisor_is_the_printed_one_and_the_others_stand_beside_it() -> None:
    """WT01, Carroll and Huntington 1988 (high): 11 900 and r2 0.90; WT02 (from memory, medium): 11 880 and 11 877."""
    assert WAYS["grown"].divisor == 11900
    assert LOAD.tape.explained.value == 0.90
    metric = {one.divisor: one.sure for one in LOAD.tape.printed_otherwise if one.units == "cm_kg"}
    assert metric == {11880: "medium", 11877: "medium"}


@pytest.mark.parametrize(
    ("girth_cm", "length_cm", "divisor", "kg"),
    [
        (180, 160, 11877, 436.47), (180, 160, 11880, 436.36), (180, 160, 11900, 435.63), (190, 165, 11880, 501.39),
        (190, 165, 11900, 500.55), (170, 150, 11880, 364.90), (170, 150, 11900, 364.29),
    ],
)  # fmt: skip
def test_worked_examples_in_centimetres(girth_cm: float, length_cm: float, divisor: float, kg: float) -> None:
    """WT02, WT03: arithmetic on the formula of Carroll and Huntington 1988."""
    assert formula_kg(girth_cm * 10, length_cm * 10, "cm_kg", divisor) == pytest.approx(kg, abs=0.005)


@pytest.mark.parametrize(
    ("girth_in", "length_in", "lb", "kg"),
    [(75, 65, 1107.95, 502.56), (70, 60, 890.91, 404.11), (76, 65, 1137.70, 516.05)],
)
def test_worked_examples_in_inches(girth_in: float, length_in: float, lb: float, kg: float) -> None:
    """WT04, University of Arkansas extension (high), and WT06: girth2 x length / 330 is pounds."""
    divisor = next(one.divisor for one in LOAD.tape.printed_otherwise if one.units == "in_lb")
    found = formula_kg(girth_in * MM_IN_INCH, length_in * MM_IN_INCH, "in_lb", divisor)
    assert found == pytest.approx(kg, abs=0.005)
    assert found / KG_IN_LB == pytest.approx(lb, abs=0.005)


def test_the_other_divisors_keep_their_medium_confidence() -> None:
    """WT05 (medium): yearling 301, weanling 280, pony 299, in inches and pounds, and not firmer than grown horses'."""
    assert {key: WAYS[key].divisor for key in ("yearling", "weanling", "pony")} == {
        "yearling": 301,
        "weanling": 280,
        "pony": 299,
    }
    for key in ("yearling", "weanling", "pony"):
        assert (WAYS[key].sure, WAYS[key].units) == ("medium", "in_lb")
        assert WAYS[key].error_percent > WAYS["grown"].error_percent


def test_the_two_forms_agree_within_four_tenths_of_a_hundred() -> None:
    """WT07: 330 in pounds and inches is 11 922 in kilograms and centimetres; 11 900 is 329.4 and 11 880 is 328.8."""
    bridge = MM_IN_INCH**3 / 1000 / KG_IN_LB
    assert 330 * bridge == pytest.approx(11922, abs=0.5)
    assert 11900 / bridge == pytest.approx(329.4, abs=0.05)
    assert 11880 / bridge == pytest.approx(328.8, abs=0.05)
    for girth_mm, length_mm in ((1500.0, 1300.0), (1800.0, 1600.0), (2100.0, 1800.0)):
        forms = [formula_kg(girth_mm, length_mm, "in_lb", 330)] + [
            formula_kg(girth_mm, length_mm, "cm_kg", divisor) for divisor in (11900, 11880)
        ]
        assert max(forms) / min(forms) < 1.004


def test_measuring_points_are_never_mixed() -> None:
    """WT08 (high): the rule for a length to the tail gives 1030 lb for 70 and 60 in, where 330 gives 891."""
    girth_mm, length_mm = 70 * MM_IN_INCH, 60 * MM_IN_INCH
    tail = by_tape(girth_mm, length_mm, class_of(LOAD.tape), "to_the_tail", LOAD.tape)
    usual = by_tape(girth_mm, length_mm, class_of(LOAD.tape), "shoulder_to_buttock", LOAD.tape)
    assert isinstance(tail, Estimate)
    assert isinstance(usual, Estimate)
    assert nominal(tail.kg) / KG_IN_LB == pytest.approx(1030, abs=0.5)
    assert dict(usual.otherwise)["330 in inches and pounds"] / KG_IN_LB == pytest.approx(891, abs=0.5)
    assert not tail.otherwise
    assert not isinstance(by_tape(girth_mm, length_mm, class_of(LOAD.tape), "other", LOAD.tape), Estimate)


def test_a_taped_weight_is_an_estimate_and_no_number_for_a_medicine() -> None:
    """WT09, Gorniak 2020 (high)."""
    caution = next(one for one in LOAD.tape.cautions if one.basis == "gorniak_2020")
    assert "breed" in caution.says
    assert "no number for a medicine" in caution.says


# -- load --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("carried", "horse", "percent"),
    [(60, 500, 12.0), (75, 500, 15.0), (90, 500, 18.0), (100, 500, 20.0), (125, 500, 25.0), (70, 350, 20.0)],
)
def test_load_shares(carried: float, horse: float, percent: float) -> None:
    """G06: (rider + tack) / horse."""
    assert share_percent(carried, horse) == pytest.approx(percent, abs=1e-9)


@pytest.mark.parametrize(
    ("share", "band"),
    [(14.9, "under_15_percent"), (15.0, "15_to_20_percent"), (20.0, "20_to_25_percent"), (25.0, "20_to_25_percent"),
     (25.1, "over_25_percent")],
)  # fmt: skip
def test_the_edges_of_the_entry(share: float, band: str) -> None:
    """The words of the entry `load`: exactly 25 is not over 25."""
    assert band_of(share, LOAD.bands).reading == band
    readings = [word.key for word in BOOK.vocabulary.observations["load"].readings]
    assert [one.reading for one in LOAD.bands] == readings


def test_the_pilots_bands() -> None:
    """W07, the pilot of 2020 (high): four bands; all tests of the two heavier were stopped, 1 of 12 in the second."""
    one = study("pilot")
    assert [(bar.from_percent, bar.to_percent) for bar in one.bars] == [
        (10.0, 11.7),
        (12.8, 15.0),
        (15.3, 17.9),
        (23.6, 27.5),
    ]
    assert [bar.trouble for bar in one.bars] == [False, False, True, True]
    assert "1 test of 12" in one.bars[1].tells
    assert "13 tests of 13" in one.besides
    assert one.counts == "rider"


def test_the_load_at_which_the_blood_told_of_hard_work() -> None:
    """W04, Stefansdottir 2017 (high): 22.7 +- 4.3, from 17.0 to 27.5, saddle counted in."""
    (bar,) = study("icelandic_blood").bars
    assert (bar.from_percent, bar.to_percent, bar.middle_percent, bar.spread_percent) == (17.0, 27.5, 22.7, 4.3)
    assert study("icelandic_blood").counts == "rider_and_tack"


def test_small_breeds_are_no_leave() -> None:
    """W11, Matsuura 2013 (high, short straight trots only): 29, 33 and 43."""
    one = study("small_breeds")
    assert [bar.from_percent for bar in one.bars] == [29, 33, 43]
    assert one.no_leave
    assert [other.key for other in LOAD.studies if other.no_leave] == ["small_breeds"]


def test_light_riding_horses_the_light_test_and_the_scheme() -> None:
    """W01, W02, Powell 2008; W06, Gunnarsson 2017; W10, Christensen 2020; W12, Halliday and Randle 2013 (opinion)."""
    bars = {key: [(b.from_percent, b.to_percent, b.trouble) for b in study(key).bars] for key in (
        "school_ride", "icelandic_beat", "light_test", "scheme")}  # fmt: skip
    assert bars == {
        "school_ride": [(15, 20, False), (25, 25, True), (30, 30, True)],
        "icelandic_beat": [(20, 35, False)],
        "light_test": [(15, 23, False)],
        "scheme": [(10, 10, False), (15, 15, False), (20, 20, True)],
    }
    assert [one.key for one in LOAD.studies if one.opinion] == ["scheme"]


def test_conflicting_work_stands_side_by_side() -> None:
    """W13: no single proven limit. At 17 of a hundred one study told of trouble, one of none, and both are shown."""
    stopped = next(p for p in placed(17.0, study("pilot"), 2) if p.where == "inside")
    borne = next(p for p in placed(17.0, study("school_ride"), 2) if p.where == "inside")
    assert stopped.tried.trouble
    assert not borne.tried.trouble
    assert any("No single limit is proven" in one.says for one in LOAD.cautions)


# -- forces ------------------------------------------------------------------------------------------------------------


def figure(gait: str, seat: str, what: str, basis: str) -> Force:
    return next(f for f in LOAD.forces if (f.gait, f.seat, f.what, f.basis) == (gait, seat, what, basis))


def test_sitting_and_rising_peaks() -> None:
    """P19, de Cocq 2010 (high), and G09: rising lowers peak 1 by 13.0 and peak 2 by 35.6 of a hundred."""
    peaks = {
        (seat, what): (one.value, one.spread)
        for seat in ("sitting", "rising")
        for what in ("first peak", "second peak")
        for one in [figure("trot", seat, what, "de_cocq_2010")]
    }
    assert peaks == {
        ("sitting", "first peak"): (2.92, 0.29), ("sitting", "second peak"): (3.03, 0.32),
        ("rising", "first peak"): (2.54, 0.30), ("rising", "second peak"): (1.95, 0.34),
    }  # fmt: skip
    assert change_percent(2.92, 2.54) == pytest.approx(-13.0, abs=0.05)
    assert change_percent(3.03, 1.95) == pytest.approx(-35.6, abs=0.05)


def test_the_mats_amplitude() -> None:
    """P20, Peham 2008 (high), and G09: 1781 N sitting, 1476 N rising, 17.1 of a hundred less; one rider, so not scaled."""
    sitting = figure("trot", "sitting", "rise and fall on a mat", "peham_2008")
    rising = figure("trot", "rising", "rise and fall on a mat", "peham_2008")
    assert (sitting.value, rising.value) == (1781, 1476)
    assert change_percent(sitting.value, rising.value) == pytest.approx(-17.1, abs=0.05)
    for one in forces(50.0, (sitting, rising)):
        assert one.newtons == one.figure.value
        assert one.times_weight is None


def test_the_rule_of_thumb_and_the_newtons_for_each_kilogram() -> None:
    """P21, Clayton 2013: 2 at trot, 3 at canter. P22, Fruehwirth 2004 (from memory, medium): 12.1, 24.3, 27.2 N/kg."""
    thumb = {f.gait: f.value for f in LOAD.forces if f.basis == "clayton_talk_2013"}
    per_kg = [f for f in LOAD.forces if f.basis == "fruehwirth_2004"]
    assert thumb == {"trot": 2, "canter": 3}
    assert {f.gait: f.value for f in per_kg} == {"walk": 12.1, "trot": 24.3, "canter": 27.2}
    assert {f.sure for f in per_kg} == {"medium"}
    times = {one.figure.gait: one.times_weight for one in forces(70.0, tuple(per_kg))}
    assert times == pytest.approx({"walk": 1.2, "trot": 2.5, "canter": 2.8}, abs=0.05)


# -- pressure ----------------------------------------------------------------------------------------------------------

GAITS = ("walk", "trot", "canter")
#: P01-P03, von Peinen 2010 (high): mean and greatest pressure at the withers in kPa at walk, trot and canter.
PUBLISHED = {
    "like_the_well_fitting_group": ((7.8, 9.8, 10.9), (13.4, 21.0, 24.7)),
    "like_the_dry_patch_group": ((15.3, 18.1, 21.4), (30.6, 43.4, 48.9)),
    "like_the_saddle_sore_group": ((24.0, 29.7, 28.6), (38.9, 53.3, 56.0)),
}


def test_all_eighteen_pressures() -> None:
    """P01-P03, von Peinen 2010 (high)."""
    held = {
        one.key: (tuple(one.mean_kpa[g] for g in GAITS), tuple(one.most_kpa[g] for g in GAITS))
        for one in PRESSURE.groups
    }
    assert held == PUBLISHED
    assert [one.horses for one in PRESSURE.groups] == [16, 16, 7]


@pytest.mark.parametrize("gait", GAITS)
def test_the_mean_tells_the_groups_apart_at_every_gait(gait: str) -> None:
    """P04, von Peinen 2010 (high): each group's own mean is read as that group."""
    for one in PRESSURE.groups:
        found = beside(one.mean_kpa[gait], "mean", gait, PRESSURE)
        assert found.group is one
        assert found.tells_apart


@pytest.mark.parametrize("gait", GAITS)
def test_the_greatest_tells_them_apart_at_trot_only(gait: str) -> None:
    """P04, von Peinen 2010 (high): at walk and canter only the controls differed from the other two."""
    lowest, *higher = PRESSURE.groups
    assert beside(lowest.most_kpa[gait], "most", gait, PRESSURE).group is lowest
    for one in higher:
        found = beside(one.most_kpa[gait], "most", gait, PRESSURE)
        assert found.tells_apart == (gait == "trot")
        assert (found.group is one) == (gait == "trot")
        assert found.higher == (gait != "trot")


def test_group_ratios() -> None:
    """G07: dry patches 1.96, 1.85, 1.96 and fresh sores 3.08, 3.03, 2.62 times the means of the controls."""
    for key, ratios in (
        ("like_the_dry_patch_group", (1.96, 1.85, 1.96)),
        ("like_the_saddle_sore_group", (3.08, 3.03, 2.62)),
    ):
        for at, gait in enumerate(GAITS):
            kpa = PUBLISHED[key][0][at]
            assert beside(kpa, "mean", gait, PRESSURE).ratios["like_the_well_fitting_group"] == pytest.approx(
                ratios[at], abs=0.005
            )


@pytest.mark.parametrize(
    ("text", "kpa"),
    [("1 N/cm²", 10), ("1 kg/cm²", 98.0665), ("1 psi", 6.894757), ("1 mmHg", 0.133322), ("32 mmHg", 4.266)],
)
def test_units_of_pressure(text: str, kpa: float) -> None:
    """G01 (high)."""
    assert float(read_quantity(text, "pressure")) == pytest.approx(kpa, rel=1e-4)


@pytest.mark.parametrize(
    ("kg", "cm2", "kpa"), [(60, 1000, 5.88), (75, 1000, 7.35), (75, 800, 9.19), (75, 500, 14.71), (90, 1000, 8.83)]
)
def test_mean_pressure_from_mass_and_area(kg: float, cm2: float, kpa: float) -> None:
    """G02 (high): mass x 9.80665 / area."""
    assert mean_pressure_kpa(kg, cm2) == pytest.approx(kpa, abs=0.005)


def test_levels_carry_their_confidence() -> None:
    """P05 (high that 11 kPa is used, medium how well it foretells) and P06 (medium, secondary): 11 and 35 kPa."""
    assert {one.of: (one.kpa, one.sure) for one in PRESSURE.levels} == {"mean": (11, "medium"), "most": (35, "medium")}
    assert [one.kpa for one in beside(11.1, "mean", "walk", PRESSURE).passed] == [11]
    assert beside(11.0, "mean", "walk", PRESSURE).passed == ()
    assert [one.kpa for one in beside(36.0, "most", "walk", PRESSURE).passed] == [35]


def test_warnings_travel_with_the_numbers() -> None:
    """P07: no human limit; P13, Dittmann 2021: pressure is not pain; P25, de Cocq 2006: not one reading, sides only behind."""
    said = " ".join(one.says for one in (*PRESSURE.mat_cautions, *PRESSURE.cautions))
    assert "Pressure is not pain" in said
    assert "people lying in bed" in said
    assert "not used alone" in said
    assert "only at the back of the saddle" in said
    assert not [one for one in PRESSURE.levels if one.kpa < 5]


def test_trees_off_by_one_size() -> None:
    """P10, P11, Meschan 2007 (high): rear third 6.3 and 10.8 against 5.0 and 8.6 kPa; middle third 7.3 and 15.2 kPa."""
    held = {(one.third, one.tree): (one.walk_kpa, one.trot_kpa) for one in PRESSURE.thirds}
    assert held == {
        ("rear", "the tree that suited best"): (5.0, 8.6), ("rear", "a tree one size too narrow"): (6.3, 10.8),
        ("middle", "a tree one size too wide"): (7.3, 15.2),
    }  # fmt: skip
    assert change_percent(5.0, 6.3) == pytest.approx(26, abs=0.5)
    assert change_percent(8.6, 10.8) == pytest.approx(26, abs=0.5)
    assert PRESSURE.stands_out_by_percent.basis == ("meschan_2007", "own setting")


def test_a_shimmed_wide_saddle_pressed_more_in_front() -> None:
    """H01 and G08: +29.1, +19.8, +11.1 and +24.5 of a hundred."""
    changes = [change_percent(one.suited_kpa, one.shimmed_kpa) for one in PRESSURE.shims]
    assert changes == pytest.approx([29.1, 19.8, 11.1, 24.5], abs=0.05)
