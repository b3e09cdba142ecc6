"""A station as it is told: words, angles with their error, touching, clearing, and what cannot be laid down."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat, umath

from reasoner.consult import load_rulebook
from reasoner.measures.contact import Laid, laid
from reasoner.measures.contact_shapes import across, nearest_on, side_of
from reasoner.problems import BadInput
from reasoner.rulebook.measures.tree import Tree
from tests.measures.shapes import Side, fall

TABLE = cast(Tree, load_rulebook(None).book.measures["tree"])
BACK = (fall(1.0, 160.0), fall(1.0, 160.0))
Sides = tuple[Sequence[tuple[float, float]], Sequence[tuple[float, float]]]


def tell(tree: Sides, back: Sides = BACK, load_kg: float = 80.0) -> Laid:
    return laid(back, tree, load_kg, TABLE)


def both(side: Side) -> Sides:
    return side, side


def test_a_steep_v_is_narrower_and_touches_low() -> None:
    """1.3 mm a mm is 52.43 degrees, the back 45: 7.43 steeper on either side, and the ends carry."""
    found = tell(both(fall(1.3, 120.0)))
    assert (found.word, found.left, found.right) == ("narrower", "narrower", "narrower")
    assert found.angles.left.degrees == pytest.approx(math.degrees(math.atan(1.3)) - 45.0, abs=1e-6)
    assert {one.zone for one in found.unloaded.touches} == {"left", "right"}
    assert all(one.out_mm[1] == pytest.approx(120.0) for one in found.unloaded.touches)
    assert found.unloaded.clearance_mm == pytest.approx(0.3 * 120.0 - 0.3 * 25.0, abs=0.01)  # the least within 25 mm
    assert found.loaded[1].most_out_mm == pytest.approx(120.0, abs=1.0)


def test_a_flat_v_is_wider_sits_down_and_lets_its_ends_hang() -> None:
    found = tell(both(fall(0.75, 120.0)))
    assert found.word == "wider"
    assert {one.zone for one in found.unloaded.touches} == {"top"}
    assert found.unloaded.clearance_mm == pytest.approx(0.0, abs=1e-5)
    # 120 mm out it hangs 30 mm above, at right angles to 45 degrees 30 / sqrt 2.
    assert max(one.most_mm for one in found.unloaded.gaps if one.zone == "left") == pytest.approx(
        30 / math.sqrt(2), abs=0.01
    )
    assert found.loaded[1].most_zone == "top"


def test_the_same_v_follows_and_touches_everywhere() -> None:
    found = tell(both(fall(1.0, 120.0)))
    assert found.word == "follows"
    assert not found.unloaded.gaps
    assert found.unloaded.pose.roll_rad == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("slope", "word"), [(1.09, "follows"), (1.14, "narrower"), (0.92, "follows"), (0.87, "wider")])
def test_what_is_within_the_limit_or_the_error_follows(slope: float, word: str) -> None:
    found = tell(both(fall(slope, 120.0)))
    beyond = abs(math.degrees(math.atan(slope)) - 45.0) > max(TABLE.follows.within_deg, found.angles.mean_error_deg)
    assert (found.word, beyond) == (word, word != "follows")


def test_the_error_of_a_side_is_what_uncertainties_makes_of_four_ends_and_the_roll() -> None:
    """Each line is its two ends, 1.5 mm one standard deviation; the roll rests on two places of contact 240 mm apart, each the
    difference of two lines."""
    one = tell(both(fall(1.3, 120.0))).angles
    mm, length = TABLE.traced.mm, 120.0 - 45.0
    low, high, below, above = (ufloat(0.0, mm) for _ in range(4))
    tree = umath.atan((low - high) / length + 1.3)
    back = umath.atan((below - above) / length + 1.0)
    ends = (ufloat(0.0, mm) - ufloat(0.0, mm), ufloat(0.0, mm) - ufloat(0.0, mm))
    base = 2 * 120.0 - 0.0
    roll = (ends[0] - ends[1]) / base
    expected = TABLE.traced.times * umath.degrees(tree - back + roll).std_dev
    assert one.left.error_deg == pytest.approx(expected, rel=0.01)
    assert one.mean_error_deg < one.left.error_deg


def test_a_tree_in_two_pieces_says_nothing_of_the_top() -> None:
    found = tell(both(fall(1.2, 120.0, first=40.0)))
    assert found.unloaded.clearance_mm is None
    assert len(found.unloaded.lines) == 2
    assert found.word == "narrower"


def test_a_crooked_tree_pinches_where_it_ends_up_steep() -> None:
    """One side of a straight tree too steep: rolled flush on the one, the whole difference stands on the other."""
    found = tell((fall(1.35, 120.0, first=45.0), fall(1.0, 120.0, first=45.0)))
    assert found.word in ("pinches_left", "pinches_right")
    whole = found.angles.left.degrees + found.angles.right.degrees
    assert whole == pytest.approx(math.degrees(math.atan(1.35)) - 45.0, abs=0.3)


@settings(max_examples=10, deadline=None)
@given(st.floats(0.7, 1.4), st.floats(0.7, 1.4), st.floats(30.0, 200.0))
def test_mirror(left: float, right: float, load_kg: float) -> None:
    back = (fall(1.0, 160.0), fall(0.95, 160.0))
    tree = (fall(left, 120.0), fall(right, 115.0))
    one, other = tell(tree, back, load_kg), tell(tree[::-1], back[::-1], load_kg)
    assert (one.left, one.right, one.held_level) == (other.right, other.left, other.held_level)
    assert one.angles.left.degrees == pytest.approx(other.angles.right.degrees, abs=1e-6)
    assert one.loaded[1].left_n == pytest.approx(other.loaded[1].right_n, rel=1e-5)
    assert one.loaded[1].left_n + one.loaded[1].right_n == pytest.approx(load_kg * 9.80665, rel=1e-5)


def test_softer_sinks_further_and_more_load_too() -> None:
    found = tell(both(fall(1.3, 120.0)))
    soft, usual, stiff = (one.sinks_mm for one in found.loaded)
    assert soft > usual > stiff > 0
    assert tell(both(fall(1.3, 120.0)), load_kg=120.0).loaded[1].sinks_mm > usual


def test_every_gap_is_the_distance_to_the_back() -> None:
    import numpy as np

    found = tell(both(fall(1.3, 120.0)))
    back = across(side_of(BACK[0], "left"), side_of(BACK[1], "right"))
    for one in found.unloaded.gaps:
        near, _ = nearest_on(back, np.array([one.most_at]))
        assert one.most_mm == pytest.approx(math.dist(one.most_at, near[0]), abs=1e-9)


@pytest.mark.parametrize(
    ("tree", "back", "load_kg", "says"),
    [
        (((), fall(1.0, 120.0)), BACK, 80.0, "MS30.*the left of the tree has no points"),
        ((((0.0, 0.0),), fall(1.0, 120.0)), BACK, 80.0, "MS31.*one point"),
        ((((0.0, 0.0), (50.0, 9.0), (50.0, 20.0)), fall(1.0, 120.0)), BACK, 80.0, "MS31.*after 50 mm comes 50 mm"),
        ((((0.0, 0.0), (math.nan, 9.0)), fall(1.0, 120.0)), BACK, 80.0, "MS31.*nan"),
        ((((0.0, 0.0), (9000.0, 9.0)), fall(1.0, 120.0)), BACK, 80.0, "MS31.*millimetres up to 3000"),
        (both(fall(1.0, 190.0)), BACK, 80.0, "MS32.*reaches to 190 mm and the back was traced to 160 mm"),
        (both(fall(1.0, 60.0)), BACK, 80.0, "MS31.*too short to read an angle from"),
        (both(fall(1.0, 120.0)), BACK, 0.0, "MS33.*more than 0"),
        (both(fall(1.0, 120.0)), BACK, 900.0, "MS33.*up to 250 kg"),
    ],
)  # fmt: skip
def test_what_cannot_be_laid_down_says_why(tree: Sides, back: Sides, load_kg: float, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        tell(tree, back, load_kg)


def test_points_between_points_change_nothing() -> None:
    """The same straight lines traced eight times as densely: no more is known, so the error is no smaller."""
    coarse = tell(both(fall(1.25, 120.0)))
    dense = tell(both(fall(1.25, 120.0, corners=64)), (fall(1.0, 160.0, corners=64), fall(1.0, 160.0, corners=64)))
    assert dense.unloaded.pose.lift_mm == pytest.approx(coarse.unloaded.pose.lift_mm, abs=1e-6)
    assert dense.angles.left.degrees == pytest.approx(coarse.angles.left.degrees, abs=1e-6)
    assert dense.angles.left.error_deg == pytest.approx(coarse.angles.left.error_deg, rel=1e-6)
    assert dense.loaded[1].sinks_mm == pytest.approx(coarse.loaded[1].sinks_mm, abs=0.05)


def test_a_round_tree_on_a_peak_is_held_level() -> None:
    """It would slide round the peak about its own middle; held, it sits on the top and sinks straight in."""
    arc = tuple((12.0 * n, 190.0 - math.sqrt(190.0**2 - (12.0 * n) ** 2)) for n in range(11))
    found = tell(both(arc))
    assert (found.held_level, found.word) == (True, "wider")
    assert found.unloaded.pose.roll_rad == 0.0
    assert [one.rolls_deg for one in found.loaded] == [0.0, 0.0, 0.0]
    assert found.loaded[1].left_n == pytest.approx(found.loaded[1].right_n, rel=1e-6)
