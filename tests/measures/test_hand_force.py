"""The hand-held gauge and the hand on a scale: units, tips, and what may be compared with what.

In: random readings and pushes. Out: failures.
Not here: published values (tests/published/test_measured_sides.py).
"""

from __future__ import annotations

from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as some

from reasoner.measures.hand_force import Press, Reading, kg_per_cm2, may_be_compared, pressure_kpa, sides_of_gauge
from reasoner.problems import BadInput
from reasoner.quantities import read_quantity
from reasoner.rulebook.measures.sides import Sides
from tests.asking import shipped

TABLE = cast(Sides, shipped().book.measures["sides"])


@given(some.integers(1, 4000), some.sampled_from(["0.5", "1", "2"]))
def test_a_force_over_its_tip_is_the_pressure_the_same_gauge_would_show(hundredths: int, tip: str) -> None:
    kg = hundredths / 100
    force = float(read_quantity(f"{kg:.2f} kg", "force"))
    pressure = float(read_quantity(f"{kg:.2f} kg/cm2", "pressure"))
    area = float(read_quantity(f"{tip} cm2", "area"))
    assert pressure_kpa(force, area) * area == pytest.approx(pressure)
    assert kg_per_cm2(pressure) == pytest.approx(kg)


@given(some.floats(1, 3000), some.floats(1, 3000))
def test_the_mirror(left: float, right: float) -> None:
    here = sides_of_gauge(Reading(kpa=left, tip_cm2=1.0), Reading(kpa=right, tip_cm2=1.0), TABLE)
    there = sides_of_gauge(Reading(kpa=right, tip_cm2=1.0), Reading(kpa=left, tip_cm2=1.0), TABLE)
    assert there.difference == -here.difference
    assert there.index_percent == -here.index_percent
    assert there.difference_error == here.difference_error


def test_two_tips_are_refused_and_one_unwritten_is_not() -> None:
    with pytest.raises(BadInput, match="MS41") as caught:
        sides_of_gauge(Reading(kpa=600, tip_cm2=1.0), Reading(kpa=600, tip_cm2=0.5), TABLE)
    assert "smaller tip reads lower" in str(caught.value)
    assert sides_of_gauge(Reading(kpa=600, tip_cm2=1.0), Reading(kpa=600), TABLE).larger == "even"


@pytest.mark.parametrize("tip", [0.0, -1.0])
def test_a_tip_has_an_area(tip: float) -> None:
    with pytest.raises(BadInput, match="MS41"):
        pressure_kpa(40.0, tip)


def test_a_wider_error_makes_the_same_pair_alike() -> None:
    left, right = Reading(kpa=600, tip_cm2=1.0), Reading(kpa=500, tip_cm2=1.0)
    assert sides_of_gauge(left, right, TABLE, percent=5).larger == "left"
    assert sides_of_gauge(left, right, TABLE, percent=20).larger == "even"


@pytest.mark.parametrize(("before", "now", "how_far"), [
    (Press(word="firm"), Press(word="firm"), "both ways"),
    (Press(word="firm"), Press(word="light"), "not"),
    (Press(), Press(word="light"), "not"),
    (Press(), Press(), "not"),
    (Press(push_kg=40), Press(push_kg=43), "both ways"),
    (Press(push_kg=40), Press(push_kg=60), "one way"),
    (Press(push_kg=40, word="firm"), Press(push_kg=60, word="firm"), "one way"),
    (Press(push_kg=40, word="firm"), Press(push_kg=42, word="moderate"), "both ways"),
    (Press(push_kg=40), Press(word="firm"), "not"),
    (Press(push_kg=40, who="Wren Aldous"), Press(push_kg=40, who="Dr Mossop"), "not"),
    (Press(push_kg=40, who="Wren Aldous"), Press(push_kg=40, who="wren aldous"), "both ways"),
])  # fmt: skip
def test_how_far_scores_of_two_days_may_be_compared(before: Press, now: Press, how_far: str) -> None:
    """The scale decides where both hands were on it, else the word; every judgement says why."""
    judged = may_be_compared(before, now, TABLE)
    assert judged.how_far == how_far
    assert judged.reasons
    assert may_be_compared(now, before, TABLE).how_far == how_far


def test_one_way_names_the_lighter_day() -> None:
    assert "the later one" in may_be_compared(Press(push_kg=60), Press(push_kg=40), TABLE).reasons[1]
    assert "the earlier one" in may_be_compared(Press(push_kg=40), Press(push_kg=60), TABLE).reasons[1]


@pytest.mark.parametrize("push", [0.0, -3.0])
def test_a_hand_on_a_scale_shows_something(push: float) -> None:
    with pytest.raises(BadInput, match="MS43"):
        may_be_compared(Press(push_kg=push), Press(push_kg=40), TABLE)
