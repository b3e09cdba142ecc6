"""Along the back: bridges, rocks, carries more at one end, and where the bearing part ends."""

from __future__ import annotations

import math
from typing import cast

import pytest
import scipy.optimize
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from reasoner.consult import load_rulebook
from reasoner.measures.contact_along import LaidAlong, behind_the_rib, both_sides, laid_along, length_word
from reasoner.problems import BadInput
from reasoner.rulebook.measures.tree import Tree
from tests.measures.shapes import Side, hollow

TABLE = cast(Tree, load_rulebook(None).book.measures["tree"])
STRAIGHT: Side = tuple((50.0 * n, 0.0) for n in range(9))


def tell(back: Side, panel: Side, load_kg: float = 40.0) -> LaidAlong:
    return laid_along(back, panel, load_kg, TABLE, "left")


def test_a_board_on_a_hollow_bridges_by_its_depth() -> None:
    found = tell(hollow(17.0, 400.0, 16), STRAIGHT)
    assert found.contact == "bridges"
    assert found.bridge_mm == pytest.approx(17.0, abs=1e-3)
    assert found.carries_mm == pytest.approx((0.0, 400.0), abs=1e-6)
    # The gap's error: three heights of a line over a line, the outer two at half weight.
    assert found.bridge_error_mm == pytest.approx(2 * 1.5 * math.sqrt(2) * math.sqrt(1 + 0.25 + 0.25), rel=1e-6)


def test_a_hump_rocks_by_twice_its_height_over_half_its_length() -> None:
    """A panel 12 mm lower in its middle than at its ends, on a flat back: it lies on one half or on the other."""
    found = tell(STRAIGHT, ((0.0, 0.0), (200.0, 12.0), (400.0, 0.0)))
    assert found.contact == "rocks"
    assert found.rocks_deg == pytest.approx(2 * math.degrees(math.atan(12.0 / 200.0)), abs=1e-6)
    assert found.lifts_mm == pytest.approx(200.0 * math.sin(2 * math.atan(12.0 / 200.0)), rel=5e-3)


def test_the_same_line_lies_even() -> None:
    found = tell(hollow(17.0, 400.0, 16), hollow(17.0, 400.0, 16))
    assert found.contact == "even"
    assert max(one.most_mm for one in found.gaps) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(("depth", "word"), [(5.0, "even"), (5.4, "bridges")])
def test_within_its_error_it_does_not_bridge(depth: float, word: str) -> None:
    found = tell(hollow(depth, 400.0, 16), STRAIGHT)
    assert (found.contact, found.bridge_mm > found.bridge_error_mm) == (word, word == "bridges")


@pytest.mark.parametrize(("height", "word"), [(5.0, "even"), (5.4, "rocks")])
def test_within_its_error_it_does_not_rock(height: float, word: str) -> None:
    found = tell(STRAIGHT, ((0.0, 0.0), (200.0, height), (400.0, 0.0)))
    assert (found.contact, found.rocks_deg > found.rocks_error_deg) == (word, word == "rocks")


def test_one_end_carries_more() -> None:
    """A short foot in front against a long one behind: the same half of the load on less of it."""
    front = ((0.0, 0.0), (40.0, 0.0), (60.0, -5.0), (190.0, -5.0), (200.0, 0.0), (400.0, 0.0))
    found = tell(STRAIGHT, front, 20.0)
    assert found.contact == "more_in_front"
    behind = tuple((400.0 - x, down) for x, down in reversed(front))
    assert tell(STRAIGHT, behind, 20.0).contact == "more_behind"


@settings(max_examples=12, deadline=None)
@given(st.lists(st.floats(-9.0, 9.0), min_size=9, max_size=9), st.lists(st.floats(-6.0, 6.0), min_size=7, max_size=7))
def test_it_lies_as_a_linear_programme_of_its_own_says(on: list[float], under: list[float]) -> None:
    """For small tilts lying down is a linear programme: the lowest height of the middle over all lines above every corner.
    scipy solves that beside us; shapely sees that nothing passes through anything."""
    back = tuple((50.0 * n, down - on[0]) for n, down in enumerate(on))
    panel = tuple((60.0 * n, down - under[0]) for n, down in enumerate(under))
    found = tell(back, panel)
    places = sorted({x for x, _ in (*back, *panel) if 0.0 <= x <= 360.0})
    import numpy as np

    apart = np.interp(places, *np.array(back).T) * -1 - np.interp(places, *np.array(panel).T) * -1
    rows = [[-1.0, -(x - 180.0)] for x in places]
    best = scipy.optimize.linprog([1.0, 0.0], A_ub=rows, b_ub=-apart, bounds=[(None, None)] * 2, method="highs")
    middle = np.interp(180.0, *np.array(found.line).T)
    assert middle == pytest.approx(best.x[0] - np.interp(180.0, *np.array(panel).T), abs=0.35)
    flesh = shapely.Polygon([*found.back, (found.back[-1][0], -900.0), (0.0, -900.0)])
    for line in (found.line, found.pressed_front, found.pressed_rear):
        assert shapely.LineString(line).intersection(flesh.buffer(-1e-4)).length < 1e-3


@settings(max_examples=8, deadline=None)
@given(st.floats(-12.0, 12.0), st.floats(20.0, 120.0))
def test_front_and_rear_exchanged_says_the_same_turned_round(depth: float, load_kg: float) -> None:
    panel = ((0.0, 0.0), (150.0, depth), (400.0, depth / 3))
    turned = tuple((400.0 - x, down) for x, down in reversed(panel))
    one, other = tell(STRAIGHT, panel, load_kg), tell(STRAIGHT, turned, load_kg)
    swap = {"more_in_front": "more_behind", "more_behind": "more_in_front"}
    assert swap.get(one.contact, one.contact) == other.contact
    assert one.rocks_deg == pytest.approx(other.rocks_deg, abs=1e-3)
    assert one.kpa[1] == pytest.approx(other.kpa[1][::-1], abs=0.1)


def test_words_for_both_sides() -> None:
    assert both_sides("even", "even") == "even"
    assert both_sides("even", "bridges") == both_sides("bridges", "bridges") == "bridges"
    assert both_sides("rocks", "bridges") is None


@pytest.mark.parametrize(
    ("behind_mm", "word"),
    [(-60.0, "before_the_last_rib"), (-20.0, "at_the_last_rib"), (0.0, "at_the_last_rib"), (20.0, "at_the_last_rib"),
     (20.5, "behind_the_last_rib")],
)  # fmt: skip
def test_within_the_error_of_a_rib_it_ends_at_it(behind_mm: float, word: str) -> None:
    assert length_word(behind_mm, TABLE) == word


def test_what_cannot_be_laid_down() -> None:
    with pytest.raises(BadInput, match=r"MS32.*behind, on the left, the tree reaches to 400 mm"):
        tell(STRAIGHT[:6], STRAIGHT)
    with pytest.raises(BadInput, match="MS33"):
        tell(STRAIGHT, STRAIGHT, 0.0)
    with pytest.raises(BadInput, match="MS37"):
        behind_the_rib(10.0, 20.0)
