"""A tree pressed in: forces and moments balance, more load sinks it more, and the depth where the answer is known on paper."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import scipy.integrate
import scipy.optimize
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from reasoner.measures.contact import shares
from reasoner.measures.contact_load import BALANCE, Bed, Pressed, pressed
from reasoner.measures.contact_rest import settled
from reasoner.measures.contact_shapes import Line, Pose, centroid, continued
from reasoner.problems import BadInput
from tests.measures.shapes import mirrored, pairs, ridge, round_back

LOAD_N = 784.532  # 80 kg
BED = Bed(stiffness_kpa_per_mm=2.0, depth_mm=400.0)


def laid(tree: Line, back: Line, load_n: float = LOAD_N, bed: Bed = BED) -> tuple[Pressed, bool]:
    at, rolls = settled([tree], back, centroid([tree]), math.radians(10))
    try:
        return pressed([tree], back, centroid([tree]), load_n, bed, at=at, may_roll=rolls), rolls
    except BadInput:
        return pressed([tree], back, centroid([tree]), load_n, bed, at=at, may_roll=False), False


def sunk(found: Pressed, tree: Line) -> float:
    """The height of the weight."""
    return found.pose.of([centroid([tree])])[0][1]


@settings(max_examples=25, deadline=None)
@given(pairs(), st.floats(50.0, 2000.0))
def test_left_and_right_are_the_whole_load_and_nothing_turns_it(pair: tuple[Line, Line], load_n: float) -> None:
    """Reckoned from the forces alone: their sum is the load, their turning about the weight is nothing."""
    tree, back = pair
    found, rolls = laid(tree, back, load_n)
    left, right = shares(found)
    assert left + right == pytest.approx(load_n, rel=1e-5)
    assert found.missing <= BALANCE
    if rolls:
        wx, wz = found.pose.of([centroid([tree])])[0]
        flesh = shapely.LineString(back)
        turning = 0.0
        for (x, z), up in zip(found.points, found.upwards_n, strict=True):
            if up == 0.0:
                continue
            near = flesh.interpolate(flesh.project(shapely.Point(x, z)))
            aside = up * (near.x - x) / (near.y - z)
            turning += up * (x - wx) - aside * (z - wz)
        assert turning == pytest.approx(0.0, abs=1e-3 * load_n)


@settings(max_examples=20, deadline=None)
@given(pairs())
def test_no_pressure_where_it_is_clear_and_depth_times_stiffness_where_it_is_not(pair: tuple[Line, Line]) -> None:
    """shapely measures the depth of each point."""
    tree, back = pair
    found, _ = laid(tree, back)
    line = shapely.LineString(back)
    corners = np.array(back)
    for point, kpa in list(zip(found.points, found.kpa, strict=True))[::17]:
        depth = line.distance(shapely.Point(point)) if point[1] < np.interp(point[0], *corners.T) else 0.0
        assert kpa == pytest.approx(BED.stiffness_kpa_per_mm * depth, abs=1e-6)


@settings(max_examples=15, deadline=None)
@given(pairs())
def test_more_load_never_sinks_it_less(pair: tuple[Line, Line]) -> None:
    """Held level, so that one equilibrium goes on into the next; half a sampling step is allowed for."""
    tree, back = pair
    at = settled([tree], back, centroid([tree]), 0.0)[0]
    heights = [
        sunk(pressed([tree], back, centroid([tree]), load, BED, at=at, may_roll=False, may_shift=False), tree)
        for load in (100.0, 200.0, 400.0, 800.0, 1600.0)
    ]
    assert all(after < before for before, after in pairwise(heights))


def test_a_flush_v_sinks_as_on_paper() -> None:
    """Sides at 45 degrees, 141.4 mm long: sunk by s, each is s / sqrt 2 deep and pushes up with its share of 1 / sqrt 2, so the
    load is k * 400 * 2 * 141.4 * s / 2, and s = 784.532 / (0.002 * 400 * 141.42)."""
    tree, back = ridge(1.0, 100.0), continued(ridge(1.0, 200.0), 100.0)
    found, _ = laid(tree, back)
    assert -found.pose.lift_mm == pytest.approx(LOAD_N / (0.002 * 400 * 100 * math.sqrt(2)), rel=1e-6)
    assert max(found.kpa) == pytest.approx(2.0 * -found.pose.lift_mm / math.sqrt(2), rel=1e-6)


def test_a_board_on_a_round_back_sinks_as_one_equation_says() -> None:
    """scipy solves the same sink from the circle itself: a board sunk by s into radius R reaches in as far as the circle does,
    each place is R less its distance from the centre deep, and pushes along the radius."""
    radius, load_n = 150.0, 300.0
    board = ((-80.0, 0.0), (80.0, 0.0))
    at = Pose(0.0, 0.0, 0.0)
    found = pressed([board], round_back(radius, 120.0, 600), (0.0, 0.0), load_n, BED, at=at, may_shift=False)

    def pushes(sink: float) -> float:
        height = radius - sink
        reach = math.sqrt(radius**2 - height**2)
        x = np.linspace(-reach, reach, 20001)
        away = np.hypot(x, height)
        return float(scipy.integrate.trapezoid(0.002 * 400 * (radius - away) * height / away, x))

    sink = scipy.optimize.brentq(lambda one: pushes(one) - load_n, 0.01, 40.0)
    assert -found.pose.lift_mm == pytest.approx(sink, rel=2e-3)


@settings(max_examples=10, deadline=None)
@given(pairs())
def test_the_mirror_image_is_pressed_in_the_mirror(pair: tuple[Line, Line]) -> None:
    tree, back = pair
    found, _ = laid(tree, back)
    other, _ = laid(mirrored(tree), mirrored(back))
    assert other.pose.lift_mm == pytest.approx(found.pose.lift_mm, abs=1e-4)
    assert shares(other) == pytest.approx(shares(found)[::-1], rel=1e-4)


def test_a_finer_look_changes_little() -> None:
    tree, back = ridge(1.3, 100.0), continued(ridge(1.0, 200.0), 100.0)
    sinks = [laid(tree, back, bed=Bed(stiffness_kpa_per_mm=2.0, depth_mm=400.0, step_mm=s))[0] for s in (1.0, 0.25)]
    assert sinks[0].pose.lift_mm == pytest.approx(sinks[1].pose.lift_mm, abs=0.05)


def test_twice_as_soft_and_half_as_deep_is_the_same_bed() -> None:
    """Units: only the product of stiffness and depth holds the load."""
    tree, back = ridge(1.3, 100.0), continued(ridge(1.0, 200.0), 100.0)
    one, _ = laid(tree, back, bed=Bed(stiffness_kpa_per_mm=2.0, depth_mm=400.0))
    other, _ = laid(tree, back, bed=Bed(stiffness_kpa_per_mm=4.0, depth_mm=200.0))
    assert other.pose.lift_mm == pytest.approx(one.pose.lift_mm, abs=1e-6)
    assert max(other.kpa) == pytest.approx(2 * max(one.kpa), rel=1e-6)


@pytest.mark.parametrize("load_n", [0.0, -5.0, math.inf, math.nan])
def test_no_load_is_no_load(load_n: float) -> None:
    tree, back = ridge(1.0, 100.0), continued(ridge(1.0, 200.0), 100.0)
    with pytest.raises(BadInput, match="MS33"):
        pressed([tree], back, (0.0, -50.0), load_n, BED, at=Pose())
