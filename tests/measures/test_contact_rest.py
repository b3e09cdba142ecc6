"""A rigid tree laid down: beside shapely, beside scipy's own search, and where the answer is known on paper."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.optimize
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from reasoner.measures.contact_rest import rest, settled
from reasoner.measures.contact_shapes import Line, Point, Pose, centroid, continued
from reasoner.problems import BadInput
from tests.measures.shapes import mirrored, pairs, ridge, round_back

TOLERANCE_MM = 1e-5


def held(tree: Line, back: Line) -> Pose | None:
    """The rest, or None where it turns over, which is an answer too."""
    try:
        return rest([tree], back, centroid([tree]))
    except BadInput as bad:
        if any(problem.code != "MS35" for problem in bad.problems):
            raise
        return None


def height(tree: Line, back: Line, weight_at: Point, move: np.ndarray) -> float:
    """The height of the weight at a shift and a roll, reckoned without the solver: the two lines read off at all corners."""
    shift, roll = float(move[0]), math.radians(float(move[1]))
    moved = np.array(Pose(shift, 0.0, roll).of(tree))
    assert (np.diff(moved[:, 0]) > 0).all()
    under = np.array(back)
    places = np.union1d(moved[:, 0], under[(under[:, 0] > moved[0, 0]) & (under[:, 0] < moved[-1, 0]), 0])
    lift = (np.interp(places, *under.T) - np.interp(places, *moved.T)).max()
    return float(lift + weight_at[0] * math.sin(roll) + weight_at[1] * math.cos(roll))


@settings(max_examples=30, deadline=None)
@given(pairs())
def test_it_touches_and_passes_through_nothing(pair: tuple[Line, Line]) -> None:
    """shapely: no length of the tree inside the back, and no room between them."""
    tree, back = pair
    at = held(tree, back)
    if at is None:
        return
    lies = shapely.LineString(at.of(tree))
    flesh = shapely.Polygon([*back, (back[-1][0], -2000.0), (back[0][0], -2000.0)])
    assert lies.intersection(flesh.buffer(-TOLERANCE_MM)).length < TOLERANCE_MM
    assert lies.distance(shapely.LineString(back)) < TOLERANCE_MM


@settings(max_examples=20, deadline=None)
@given(pairs())
def test_no_search_nearby_finds_a_lower_place(pair: tuple[Line, Line]) -> None:
    """scipy's own search, started on the rest and round about it, finds nothing lower."""
    tree, back = pair
    at, weight_at = held(tree, back), centroid([tree])
    if at is None:
        return
    here = np.array([at.shift_mm, math.degrees(at.roll_rad)])
    ours = height(tree, back, weight_at, here)
    for step in (0.01, 0.1):
        found = scipy.optimize.minimize(
            lambda move: height(tree, back, weight_at, move), here, method="Nelder-Mead",
            bounds=[(one - 3 * step, one + 3 * step) for one in here],
            options={"initial_simplex": here + step * np.array([[0.0, 0.0], [1.0, 0.3], [-0.4, 1.0]])},
        )  # fmt: skip
        assert found.fun > ours - 1e-3
    assert ours == pytest.approx(at.of([weight_at])[0][1], abs=1e-9)


@settings(max_examples=20, deadline=None)
@given(pairs())
def test_the_mirror_image_lies_in_the_mirror(pair: tuple[Line, Line]) -> None:
    tree, back = pair
    most = math.radians(10)
    at, rolls = settled([tree], back, centroid([tree]), most)
    other, also = settled([mirrored(tree)], mirrored(back), centroid([mirrored(tree)]), most)
    assert rolls == also
    assert other.lift_mm == pytest.approx(at.lift_mm, abs=1e-6)
    assert other.roll_rad == pytest.approx(-at.roll_rad, abs=1e-8)
    assert other.shift_mm == pytest.approx(-at.shift_mm, abs=1e-6)


@pytest.mark.parametrize("start", [(0.0, 0.0), (7.0, 0.05), (-4.0, -0.08)])
def test_a_steep_v_stands_on_its_ends(start: tuple[float, float]) -> None:
    """By hand: 100 mm out the sides are 30 mm apart, so the top stands 30 mm over the ridge."""
    tree, back = ridge(1.3, 100.0), continued(ridge(1.0, 200.0), 100.0)
    at = rest([tree], back, centroid([tree]), start=start)
    assert at.shift_mm == pytest.approx(0.0, abs=1e-3)
    assert at.roll_rad == pytest.approx(0.0, abs=1e-5)
    assert at.lift_mm == pytest.approx(30.0, abs=1e-5)


def test_a_flat_v_sits_on_the_ridge() -> None:
    tree, back = ridge(0.8, 100.0), continued(ridge(1.0, 200.0), 100.0)
    at = rest([tree], back, centroid([tree]), start=(5.0, 0.03))
    assert list(at.of([(0.0, 0.0)])[0]) == pytest.approx([0.0, 0.0], abs=1e-4)


@given(st.floats(-0.15, 0.15))
@settings(max_examples=15, deadline=None)
def test_a_board_on_a_round_back_lies_level_on_its_top(roll: float) -> None:
    """Its weight lies in the touching line, lower than the middle of the circle, so level is the rest."""
    board = ((-80.0, 0.0), (80.0, 0.0))
    at = rest([board], round_back(150.0, 120.0), (0.0, 0.0), may_shift=False, start=(0.0, roll))
    assert at.lift_mm == pytest.approx(0.0, abs=1e-3)
    assert at.roll_rad == pytest.approx(0.0, abs=5e-3)  # corners 0.6 mm apart on 150 mm are 0.004 wide


def test_two_posts_carry_a_board_where_they_stand() -> None:
    """The board leans as the line through the tops of the posts."""
    back = ((-100.0, -50.0), (-60.0, 0.0), (-40.0, -50.0), (40.0, -50.0), (60.0, 12.0), (100.0, -50.0))
    at = rest([((-90.0, 0.0), (90.0, 0.0))], back, (0.0, 0.0), may_shift=False)
    assert math.tan(at.roll_rad) == pytest.approx(12.0 / 120.0, abs=1e-7)
    lies = shapely.LineString(at.of([(-90.0, 0.0), (90.0, 0.0)]))
    assert lies.distance(shapely.Point(-60.0, 0.0)) < 1e-5
    assert lies.distance(shapely.Point(60.0, 12.0)) < 1e-5


def test_a_board_on_a_peak_that_may_slide_does_not_come_to_rest() -> None:
    with pytest.raises(BadInput, match="MS35"):
        rest([((-80.0, 0.0), (80.0, 0.0))], continued(ridge(1.0, 200.0), 100.0), (0.0, 10.0), start=(2.0, 0.02))


def test_held_level_it_keeps_its_roll() -> None:
    tree, back = round_back(190.0, 110.0, 10), continued(ridge(1.0, 200.0), 100.0)
    at = rest([tree], back, centroid([tree]), may_roll=False)
    assert at.roll_rad == 0.0
    assert at.lift_mm == pytest.approx(0.0, abs=1e-6)
