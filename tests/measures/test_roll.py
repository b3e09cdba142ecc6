"""Wedges, rolls and loads: laws on random numbers, beside shapely, scipy and a system of two equations.

In: random amounts. Out: whether formulas and references agree, and whether left and right are alike.
Not here: published values (tests/published/test_measured_shims.py), visits.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares
from shapely import affinity
from shapely.geometry import LineString, Point
from uncertainties import nominal_value, std_dev, ufloat

from reasoner.measures.bearing import bearing_of
from reasoner.measures.roll import (
    radius_of_arc_mm,
    rise_mm,
    roll_from_arc_deg,
    roll_from_heights_deg,
    size,
    wedge_deg,
)
from reasoner.problems import BadInput

angles = st.floats(-30, 30)
bases = st.floats(50, 600)
inches = st.floats(0.1, 3)


@given(angles, bases)
def test_thickness_and_angle_are_each_others_way_back(angle: float, base: float) -> None:
    assert wedge_deg(rise_mm(angle, base), base) == pytest.approx(angle, abs=1e-9)


@given(angles, bases)
def test_a_wedge_is_what_turning_a_line_gives(angle: float, base: float) -> None:
    """shapely turns a line about one end until its other end stands over `base`; how high it stands is the thickness."""
    long = base / math.cos(math.radians(angle))
    turned = affinity.rotate(LineString([(0, 0), (long, 0)]), angle, origin=(0, 0))
    x, y = turned.coords[-1]
    assert x == pytest.approx(base)
    assert rise_mm(angle, base) == pytest.approx(y, abs=1e-9)


@given(inches, inches)
def test_inches_and_millimetres_give_one_angle(rise: float, base: float) -> None:
    assert wedge_deg(rise * 25.4, base * 25.4) == pytest.approx(wedge_deg(rise, base))


@given(st.floats(0, 2500), st.floats(0, 2500), st.floats(50, 1200))
def test_heights_in_the_mirror(left: float, right: float, apart: float) -> None:
    roll = roll_from_heights_deg(left, right, apart)
    assert roll_from_heights_deg(right, left, apart) == -roll
    assert (roll > 0) == (right < left), "it leans to the lower side, and the right is positive"


@given(st.floats(-200, 200), bases)
def test_an_arc_in_the_mirror_and_round_the_circle(off: float, radius: float) -> None:
    assert roll_from_arc_deg(-off, radius) == -roll_from_arc_deg(off, radius)
    assert roll_from_arc_deg(2 * math.pi * radius, radius) == pytest.approx(360)


@given(st.floats(100, 400), st.floats(0.15, 0.9))
@settings(max_examples=50)
def test_the_radius_is_the_one_a_fit_finds(radius: float, reach: float) -> None:
    """scipy fits a circle to points of a round back; the formula gives its radius from the two bars and the top."""
    half = radius * reach
    xs = np.linspace(-half, half, 31)
    ys = radius - np.sqrt(radius**2 - xs**2)
    fit = least_squares(lambda p: np.hypot(xs - p[0], ys - p[1]) - p[2], x0=(0.0, 100.0, 120.0))
    assert radius_of_arc_mm(half, float(ys[-1])) == pytest.approx(fit.x[2], rel=1e-5)
    assert Point(0, fit.x[1]).distance(Point(half, float(ys[-1]))) == pytest.approx(radius, rel=1e-5)


@given(st.floats(20, 200), st.floats(-8, 8), st.floats(150, 400), st.floats(100, 500))
def test_left_and_right_together_are_the_whole_load(mass: float, roll: float, bars: float, height: float) -> None:
    held = bearing_of(mass, roll, bars, height)
    assert held.left_kg + held.right_kg == pytest.approx(mass, rel=1e-12)
    assert held.left_n + held.right_n == pytest.approx(mass * 9.80665, rel=1e-12)
    other = bearing_of(mass, -roll, bars, height)
    assert (other.left_kg, other.right_kg) == (held.right_kg, held.left_kg), (
        "the mirror image bears as much on the other side"
    )
    assert other.moved_mm == -held.moved_mm


@given(st.floats(20, 200), st.floats(-8, 8), st.floats(150, 400), st.floats(100, 500))
def test_the_loads_are_the_solution_of_two_equations(mass: float, roll: float, bars: float, height: float) -> None:
    """Forces and moments about the middle, written out from where the bars and the load are after the turn, and solved."""
    turn = math.radians(roll)
    arm, load_at = bars / 2 * math.cos(turn), height * math.sin(turn)
    left, right = np.linalg.solve(np.array([[1.0, 1.0], [-arm, arm]]), np.array([mass, mass * load_at]))
    held = bearing_of(mass, roll, bars, height)
    assert held.left_kg == pytest.approx(left, rel=1e-9)
    assert held.right_kg == pytest.approx(right, rel=1e-9)


def test_the_error_of_the_whole_load_is_that_of_the_scales() -> None:
    """What leaves one side comes to the other: the roll's error cancels in the sum, and does not in a side."""
    held = bearing_of(ufloat(71, 1.4), ufloat(3, 0.5), ufloat(240, 5), ufloat(500, 50))
    whole = held.left_kg + held.right_kg
    assert nominal_value(whole) == pytest.approx(71)
    assert std_dev(whole) == pytest.approx(1.4)
    assert std_dev(held.right_kg) > 1.4


def test_errors_are_those_of_many_readings() -> None:
    """A hundred thousand readings drawn at random spread as the library says."""
    draw = np.random.default_rng(5)
    rises, spans = draw.normal(13, 1, 100_000), draw.normal(240, 5, 100_000)
    found = wedge_deg(ufloat(13, 1), ufloat(240, 5))
    assert std_dev(found) == pytest.approx(np.degrees(np.arctan(rises / spans)).std(), rel=0.02)


def test_a_size_keeps_its_error() -> None:
    assert (nominal_value(size(ufloat(-3, 0.5))), std_dev(size(ufloat(-3, 0.5)))) == (3, 0.5)


@pytest.mark.parametrize("base", [0.0, -240.0, float("nan")])
def test_a_distance_of_nothing_or_less_is_refused(base: float) -> None:
    for refused in (
        lambda: wedge_deg(13, base),
        lambda: rise_mm(3, base),
        lambda: roll_from_heights_deg(1120, 1100, base),
        lambda: roll_from_arc_deg(12, base),
        lambda: bearing_of(70, 3, base, 500),
        lambda: radius_of_arc_mm(base, 40),
        lambda: radius_of_arc_mm(120, base),
    ):
        with pytest.raises(BadInput, match="more than 0 was expected"):
            refused()


@pytest.mark.parametrize("angle", [90.0, -95.0])
def test_no_wedge_is_as_steep_as_a_wall(angle: float) -> None:
    with pytest.raises(BadInput, match="less steep than 90"):
        rise_mm(angle, 240)


def test_a_load_outside_the_bars_is_not_shared_out() -> None:
    """At the limit one side bears all; beyond it the picture ends, and says from which roll on."""
    limit = math.degrees(math.atan(240 / 500 / 2))
    held = bearing_of(70, limit - 1e-9, 240, 500)
    assert held.left_kg == pytest.approx(0, abs=1e-6)
    with pytest.raises(BadInput, match=f"outside both bars.*{limit:.1f}°"):
        bearing_of(70, limit + 0.1, 240, 500)
