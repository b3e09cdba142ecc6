"""Slopes of the fore feet, differences of a gait system, totals and grades: laws and faults.

In: random slopes and amounts. Out: failures.
Not here: published values (tests/published/test_measured_feet_and_gait.py).
"""

from __future__ import annotations

from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as some

from reasoner.measures.given_numbers import (
    DIFFERENCES,
    Graded,
    Lean,
    change,
    checked_total,
    face_total,
    order_of,
    place_on,
    repeat_mm,
)
from reasoner.measures.hoof import slopes
from reasoner.problems import BadInput
from reasoner.rulebook.grade_scales import grade_scales
from reasoner.rulebook.measures.feet_and_gait import FeetAndGait
from tests.asking import shipped

BOOK = shipped().book
TABLE = cast(FeetAndGait, BOOK.measures["feet_and_gait"])
SCALES = grade_scales(BOOK.vocabulary)
TURNED = {"left": "right", "right": "left", "even": "even"}
angles = some.integers(300, 800).map(lambda tenths: tenths / 10)


@given(angles, angles, some.sampled_from([None, 0.2, 1.0, 3.0]))
def test_the_mirror_of_a_pair_of_feet(left: float, right: float, error: float | None) -> None:
    here, there = slopes(left, right, TABLE, error), slopes(right, left, TABLE, error)
    assert there.difference == -here.difference
    assert there.difference_error == here.difference_error
    assert (there.steeper, there.flatter) == (TURNED[here.steeper], TURNED[here.flatter])
    assert (there.left_called, there.right_called) == (here.right_called, here.left_called)


@given(angles, angles, some.sampled_from([0.2, 1.0, 3.0]))
def test_a_side_only_beyond_both_the_error_and_the_published_difference(
    left: float, right: float, error: float
) -> None:
    found = slopes(left, right, TABLE, error)
    beyond = abs(found.difference) > max(TABLE.classes.uneven_above_deg, 2**0.5 * error + 1e-6)
    if beyond:
        assert found.steeper == ("right" if right > left else "left")
    elif abs(abs(found.difference) - 2**0.5 * error) > 1e-6:
        assert found.steeper == "even"


def test_a_coarse_gauge_tells_no_side_where_a_fine_one_does() -> None:
    assert slopes(53, 50.5, TABLE, 0.5).steeper == "left"
    coarse = slopes(53, 50.5, TABLE, 2.0)
    assert (coarse.steeper, coarse.within_error) == ("even", True)


@pytest.mark.parametrize(("left", "right", "error"), [(0, 50, 1), (90, 50, 1), (50, -3, 1), (50, 50, 0), (50, 50, -1)])
def test_slopes_that_cannot_be(left: float, right: float, error: float) -> None:
    with pytest.raises(BadInput, match="MS45"):
        slopes(left, right, TABLE, error)


@pytest.mark.parametrize("key", DIFFERENCES)
def test_a_change_smaller_than_the_spread_is_none(key: str) -> None:
    spread = repeat_mm(key, TABLE)
    before = Lean(side="left", mm=spread)
    assert change(key, before, Lean(side="left", mm=0.5), TABLE) == (spread - 0.5, False)
    assert change(key, before, Lean(side="right", mm=0.0), TABLE) == (spread, True)
    assert change(key, before, Lean(side="right", mm=2.0), TABLE) == (spread + 2, True)


@given(some.sampled_from(DIFFERENCES), some.floats(0, 50), some.floats(0, 50), some.booleans())
def test_the_mirror_of_a_change(key: str, before: float, now: float, crossed: bool) -> None:
    here = change(key, Lean(side="left", mm=before), Lean(side="right" if crossed else "left", mm=now), TABLE)
    there = change(key, Lean(side="right", mm=before), Lean(side="left" if crossed else "right", mm=now), TABLE)
    assert there == (-here[0], here[1])


@given(some.lists(some.integers(0, 2), min_size=6, max_size=6))
def test_the_parts_of_the_face_add_up(parts: list[int]) -> None:
    assert face_total(parts, TABLE) == sum(parts) <= 12


@pytest.mark.parametrize("parts", [[0] * 5, [0] * 7, [3, 0, 0, 0, 0, 0], [0, 0, 0, 0, 0, -1]])
def test_parts_of_the_face_that_cannot_be(parts: list[int]) -> None:
    with pytest.raises(BadInput, match="MS46"):
        face_total(parts, TABLE)


@pytest.mark.parametrize(("total", "most"), [(13, 12), (-1, 12), (25, 24)])
def test_totals_that_no_list_gives(total: int, most: int) -> None:
    with pytest.raises(BadInput, match=f"0 to {most}"):
        checked_total(total, most, "total")


@given(some.integers(0, 5), some.integers(0, 5))
def test_grades_of_one_scale_are_an_order(one: int, two: int) -> None:
    order = order_of(Graded(scale="AAEP", grade=str(one)), Graded(scale="aaep scale", grade=f"{two}/5"), SCALES)
    assert order.later == ("same" if one == two else "higher" if two > one else "lower")


@given(some.integers(0, 5), some.integers(0, 8))
def test_grades_of_two_scales_are_not_compared(one: int, two: int) -> None:
    for other in ("UK 0-10", "0-8"):
        order = order_of(Graded(scale="AAEP", grade=str(one)), Graded(scale=other, grade=str(two)), SCALES)
        assert order.later == "not compared"
        assert "two scales" in order.why


def test_a_scale_that_is_not_in_the_table_is_named_with_the_nearest() -> None:
    order = order_of(Graded(scale="AEEP", grade="2"), Graded(scale="AEEP", grade="3"), SCALES)
    assert order.later == "not compared"
    assert 'Near: "AAEP"' in order.why


@pytest.mark.parametrize(
    ("scale", "grade"), [("AAEP", "6"), ("AAEP", "2/10"), ("UK 0-10", "11"), ("0-8", "9"), ("AAEP", "bad")]
)
def test_grades_that_are_not_on_their_scale(scale: str, grade: str) -> None:
    with pytest.raises(BadInput, match="MS48"):
        place_on(Graded(scale=scale, grade=grade), SCALES)
