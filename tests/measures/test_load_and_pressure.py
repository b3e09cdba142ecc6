"""Laws of body weight, load share, rider force and pressure: units, growth, conservation, errors, and what is impossible.

In: random amounts and the shipped tables. Out: laws of the plain functions.
Not here: published values (tests/published/test_measured_load), visits and commands (beside this file).
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from uncertainties import ufloat

from reasoner.facts.measured_load import table_of
from reasoner.facts.measured_pressure import table_of as pressure_table_of
from reasoner.measures.body_weight import KG_IN_LB, MM_IN_INCH, Estimate, by_tape, class_of, formula_kg
from reasoner.measures.contact_pressure import THIRDS, beside, mean_pressure_kpa, stands_out, together
from reasoner.measures.load_share import band_of, bands_possible, kilograms_above, placed, share_percent
from reasoner.measures.rider_force import forces, weight_n
from reasoner.measures.uncertain import error_of, nominal
from reasoner.problems import BadInput
from tests.asking import shipped

BOOK = shipped().book
LOAD, PRESSURE = table_of(BOOK), pressure_table_of(BOOK)
GROWN = class_of(LOAD.tape)
POINTS = "shoulder_to_buttock"
girths = st.floats(1200, 2300)
lengths = st.floats(0.75, 1.05)  # of the girth
horses = st.floats(150, 1000)
riders = st.floats(20, 120)
tacks = st.floats(0, 25)
gaits = st.sampled_from(["walk", "trot", "canter"])


def with_error(value: float, error: float) -> object:
    return ufloat(value, error) if error else value


def taped(girth_mm: float, length_mm: float) -> Estimate:
    found = by_tape(girth_mm, length_mm, GROWN, POINTS, LOAD.tape)
    assert isinstance(found, Estimate)
    return found


# -- body weight -------------------------------------------------------------------------------------------------------


@given(girths, lengths)
def test_inches_and_pounds_agree_with_centimetres_and_kilograms(girth_mm: float, of_girth: float) -> None:
    """The same horse by the inch form with the bridged divisor, and by the printed one within 0.4 of a hundred (WT07)."""
    length_mm = girth_mm * of_girth
    bridged = 11900 / (MM_IN_INCH**3 / 1000 / KG_IN_LB)
    metric = formula_kg(girth_mm, length_mm, "cm_kg", 11900)
    assert formula_kg(girth_mm, length_mm, "in_lb", bridged) == pytest.approx(metric, rel=1e-9)
    assert formula_kg(girth_mm, length_mm, "in_lb", 330) == pytest.approx(metric, rel=0.004)


@given(girths, lengths, st.floats(1.001, 1.1))
def test_a_longer_or_rounder_horse_weighs_more(girth_mm: float, of_girth: float, more: float) -> None:
    length_mm = girth_mm * of_girth
    here = formula_kg(girth_mm, length_mm, "cm_kg", 11900)
    assert formula_kg(girth_mm * more, length_mm, "cm_kg", 11900) == pytest.approx(here * more**2)
    assert formula_kg(girth_mm, length_mm * more, "cm_kg", 11900) == pytest.approx(here * more)


@given(girths, lengths)
def test_the_error_joins_tape_and_horse(girth_mm: float, of_girth: float) -> None:
    """First-order propagation written out by hand, beside what the library gives."""
    length_mm = girth_mm * of_girth
    tape = LOAD.tape
    found = taped(girth_mm, length_mm)
    parts = (
        2 * tape.girth_error_mm.value / girth_mm, tape.length_error_mm.value / length_mm, found.way.error_percent / 100,
    )  # fmt: skip
    assert error_of(found.kg) / nominal(found.kg) == pytest.approx(math.hypot(*parts), rel=1e-6)


@pytest.mark.parametrize(
    ("height_mm", "age_days", "kind", "key", "way"),
    [
        (1600.0, 4000.0, "middling", "grown", "grown"),
        (None, None, "", "grown", "grown"),
        (1479.0, 4000.0, "fine_skinned", "pony", "pony"),
        (1480.0, 4000.0, "", "grown", "grown"),
        (1400.0, 4000.0, "cob_or_heavy", "heavy", ""),
        (1300.0, 729.0, "", "yearling", "yearling"),
        (1300.0, 364.0, "", "weanling", "weanling"),
        (1000.0, 179.0, "", "foal", ""),
    ],
)
def test_the_class_of_a_horse(height_mm: float | None, age_days: float | None, kind: str, key: str, way: str) -> None:
    of = class_of(LOAD.tape, height_mm=height_mm, age_days=age_days, kind=kind)
    assert of.key == key
    found = by_tape(1700, 1500, of, POINTS, LOAD.tape)
    assert (found.way.key if isinstance(found, Estimate) else "") == way
    if not isinstance(found, Estimate):
        assert "is weighed" in found.because


def test_a_rough_figure_has_a_wider_error() -> None:
    pony = by_tape(1500, 1300, class_of(LOAD.tape, height_mm=1300.0), POINTS, LOAD.tape)
    assert isinstance(pony, Estimate)
    grown = taped(1500, 1300)
    assert error_of(pony.kg) / nominal(pony.kg) > error_of(grown.kg) / nominal(grown.kg)
    assert not pony.otherwise


@pytest.mark.parametrize(
    ("girth_mm", "length_mm", "said"),
    [
        (1850, 900, "90 cm (35.4 in)"),
        (900, 1850, "185 cm (72.8 in)"),
        (0, 1600, "0 cm"),
        (-1800, 1600, "-180 cm"),
        (400, 400, "5 kg"),
        (2600, 2600, "1477 kg"),
    ],
)
def test_what_no_horse_has_is_told_with_its_units(girth_mm: float, length_mm: float, said: str) -> None:
    with pytest.raises(BadInput) as bad:
        by_tape(girth_mm, length_mm, GROWN, POINTS, LOAD.tape)
    (problem,) = bad.value.problems
    assert problem.code == "MS10"
    assert said in str(problem)


# -- load --------------------------------------------------------------------------------------------------------------


@given(riders, tacks, tacks, horses)
def test_the_parts_are_the_whole(rider: float, tack: float, extra: float, horse: float) -> None:
    assume(rider + tack + extra < horse)
    parts = sum(share_percent(part, horse) for part in (rider, tack, extra))
    assert parts == pytest.approx(share_percent(rider + tack + extra, horse))


@given(riders, horses, st.floats(0.1, 20))
def test_more_load_is_never_a_lighter_band_and_a_heavier_horse_never_a_heavier_one(
    rider: float, horse: float, more: float
) -> None:
    assume(rider + more < horse)
    bands = LOAD.bands
    here = bands.index(band_of(share_percent(rider, horse), bands))
    assert bands.index(band_of(share_percent(rider + more, horse), bands)) >= here
    assert bands.index(band_of(share_percent(rider, horse + more), bands)) <= here


@given(riders, horses, st.floats(0.1, 10), st.floats(1, 60))
def test_the_error_of_a_share(rider: float, horse: float, rider_error: float, horse_error: float) -> None:
    assume(rider < horse)
    share = share_percent(ufloat(rider, rider_error), ufloat(horse, horse_error))
    by_hand = nominal(share) * math.hypot(rider_error / rider, horse_error / horse)
    assert error_of(share) == pytest.approx(by_hand, rel=1e-6)


@given(st.floats(1, 45), st.just(0.0) | st.floats(0.001, 4))
def test_the_bands_possible_hold_the_band_itself_and_are_neighbours(share: float, error: float) -> None:
    bands = LOAD.bands
    found = bands_possible(with_error(share, error), bands, 2)
    assert band_of(share, bands) in found
    first = bands.index(found[0])
    assert found == bands[first : first + len(found)]
    if error == 0:
        assert len(found) == 1


@given(st.floats(0.5, 50), st.just(0.0) | st.floats(0.001, 3))
def test_every_load_tried_has_one_place(share: float, error: float) -> None:
    for study in LOAD.studies:
        for one in placed(with_error(share, error), study, 2):
            low, high = one.tried.from_percent, one.tried.to_percent
            if one.where == "at":
                assert low == high
                assert one.edge_near
            else:
                truly = "below" if share < low else "above" if share > high else "inside"
                assert one.where == truly
            far = min(abs(share - low), abs(share - high)) > 2 * error + 1e-6
            assert one.edge_near != far or not far


@given(riders, horses, st.floats(5, 40))
def test_without_the_kilograms_above_an_edge_the_share_is_the_edge(rider: float, horse: float, edge: float) -> None:
    above = kilograms_above(edge, rider, horse)
    assume(0 < rider - above < horse)
    assert share_percent(rider - above, horse) == pytest.approx(edge)


@pytest.mark.parametrize(("carried", "horse"), [(70.0, 0.0), (70.0, -500.0), (-1.0, 500.0), (501.0, 500.0)])
def test_weights_of_which_no_share_is_made(carried: float, horse: float) -> None:
    with pytest.raises(BadInput) as bad:
        share_percent(carried, horse)
    assert bad.value.problems[0].code == "MS11"
    assert f"{carried:g} kg" in str(bad.value)
    assert f"{horse:g} kg" in str(bad.value)


# -- force and pressure ------------------------------------------------------------------------------------------------


@given(riders, st.floats(1.01, 2))
def test_forces_grow_with_the_rider_but_for_those_of_another_rider(rider: float, more: float) -> None:
    assert weight_n(rider * more) == pytest.approx(weight_n(rider) * more)
    for light, heavy in zip(forces(rider, LOAD.forces), forces(rider * more, LOAD.forces), strict=True):
        grown = 1.0 if light.figure.per == "n" else more
        assert nominal(heavy.newtons) == pytest.approx(nominal(light.newtons) * grown)


@given(riders, st.floats(100, 3000), st.floats(1.01, 3))
def test_mean_pressure_and_its_units(mass: float, area: float, more: float) -> None:
    """Twice the mass is twice the pressure, twice the area half; pressure times area is the weight again."""
    kpa = mean_pressure_kpa(mass, area)
    assert mean_pressure_kpa(mass * more, area) == pytest.approx(kpa * more)
    assert mean_pressure_kpa(mass, area * more) == pytest.approx(kpa / more)
    assert kpa * 1000 * area / 10_000 == pytest.approx(weight_n(mass))  # Pa x m2
    assert mean_pressure_kpa(mass / KG_IN_LB * KG_IN_LB, area) == pytest.approx(kpa)


@pytest.mark.parametrize(("mass", "area"), [(70.0, 0.0), (70.0, -900.0), (0.0, 900.0)])
def test_a_mass_and_an_area_of_which_no_pressure_is_made(mass: float, area: float) -> None:
    with pytest.raises(BadInput) as bad:
        mean_pressure_kpa(mass, area)
    assert bad.value.problems[0].code == "MS12"
    assert f"{area:g} cm²" in str(bad.value)


@given(gaits, st.floats(0.5, 100), st.floats(1.0, 3.0))
def test_a_greater_mean_is_never_like_a_group_with_less(gait: str, kpa: float, more: float) -> None:
    order = [one.key for one in PRESSURE.groups]

    def rank(value: float) -> float:
        found = beside(value, "mean", gait, PRESSURE).group
        if found is not None:
            return order.index(found.key)
        figures = [one.mean_kpa[gait] for one in PRESSURE.groups]
        return sum(value > figure for figure in figures) - 0.5

    assert rank(kpa * more) >= rank(kpa)


@given(gaits)
def test_half_way_between_two_groups_is_neither(gait: str) -> None:
    for low, high in pairwise(PRESSURE.groups):
        middle = math.sqrt(low.mean_kpa[gait] * high.mean_kpa[gait])
        assert beside(middle, "mean", gait, PRESSURE).group is None


def test_gaits_that_differ_are_between() -> None:
    walk = beside(8, "mean", "walk", PRESSURE)
    trot = beside(18, "mean", "trot", PRESSURE)
    assert together((walk,), PRESSURE) == "like_the_well_fitting_group"
    assert together((walk, trot), PRESSURE) == "between_the_groups"


@given(st.tuples(st.floats(1, 40), st.floats(1, 40), st.floats(1, 40)), st.floats(1.01, 3))
def test_a_third_stands_out_whatever_the_rider_weighs(kpa: tuple[float, float, float], more: float) -> None:
    """Only how the thirds stand to one another counts; and at most one stands out."""
    here = dict(zip(THIRDS, kpa, strict=True))
    found = stands_out(here, 25)
    others = sorted(kpa)[:2]
    assume(abs(max(kpa) / max(others) - 1.25) > 1e-6)
    assert (found == "") == (max(kpa) < 1.25 * max(others))
    assert stands_out({third: value * more for third, value in here.items()}, 25) == found
