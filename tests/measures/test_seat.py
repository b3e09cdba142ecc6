"""Where a saddle sits: within its error it is the middle, the mirror image mirrors, and what cannot be is refused.

In: seats, and the shipped table. Out: sides and rolls.
Not here: wedges and loads (test_roll.py), visits (test_shims_at_a_visit.py).
"""

from __future__ import annotations

from dataclasses import replace
from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import nominal_value

from reasoner.measures.seat import Seat, differing, radius_of, rolls_of, side_of, sides_seen, to_one_side
from reasoner.problems import BadInput
from reasoner.rulebook.measures.shims import Shims
from tests.asking import OTHER, shipped

TABLE = cast(Shims, shipped().book.measures["shims"])
CLEAR = TABLE.clear_from.times * TABLE.reading_error.off_mm


def mirrored(seat: Seat) -> Seat:
    """The same saddle on the mirror image of the horse."""
    return replace(
        seat,
        off_mm=None if seat.off_mm is None else -seat.off_mm,
        roll_deg=None if seat.roll_deg is None else -seat.roll_deg,
        heights_mm=None if seat.heights_mm is None else (seat.heights_mm[1], seat.heights_mm[0]),
    )


seats = st.builds(
    Seat,
    off_mm=st.none() | st.floats(-60, 60),
    roll_deg=st.none() | st.floats(-20, 20),
    heights_mm=st.none() | st.tuples(st.floats(1000, 1100), st.floats(1000, 1100)),
    apart_mm=st.none() | st.floats(300, 500),
    radius_mm=st.none() | st.floats(180, 400),
)


@given(seats)
def test_the_mirror_image_has_gone_to_the_other_side(seat: Seat) -> None:
    side, other = side_of(seat, TABLE), side_of(mirrored(seat), TABLE)
    assert other == (side if side in (None, "straight") else OTHER[side])
    rolls = [(roll.how, -nominal_value(roll.deg)) for roll in rolls_of(seat, TABLE)]
    assert [(roll.how, nominal_value(roll.deg)) for roll in rolls_of(mirrored(seat), TABLE)] == rolls


@pytest.mark.parametrize(
    ("seat", "side"),
    [
        (Seat(off_mm=CLEAR), "straight"),
        (Seat(off_mm=CLEAR + 0.1), "right"),
        (Seat(off_mm=-CLEAR - 0.1), "left"),
        (Seat(roll_deg=1.0), "straight"),
        (Seat(roll_deg=1.1), "right"),
        (Seat(heights_mm=(1108.0, 1100.0)), "straight"),
        (Seat(heights_mm=(1109.0, 1100.0)), "right"),
        (Seat(heights_mm=(1100.0, 1109.0)), "left"),
        (Seat(off_mm=20.0, roll_deg=0.2), "right"),
        (Seat(off_mm=20.0, roll_deg=-5.0), "left"),
        (Seat(bars_mm=240.0), None),
    ],
)
def test_a_side_is_told_beyond_the_error_of_reading_only(seat: Seat, side: str | None) -> None:
    assert side_of(seat, TABLE) == side


@given(seats)
def test_a_second_reading_never_takes_a_side_away(seat: Seat) -> None:
    """A side may ask for a look at the legs; whatever else is measured, some side stays told."""
    for bare in (replace(seat, off_mm=None), replace(seat, roll_deg=None), replace(seat, heights_mm=None)):
        if side_of(bare, TABLE) in ("left", "right"):
            assert side_of(seat, TABLE) in ("left", "right")
    assert differing(seat, TABLE) == ({"left", "right"} <= set(sides_seen(seat, TABLE)))


def test_the_most_direct_reading_stands_first() -> None:
    seat = Seat(roll_deg=3.0, heights_mm=(1120.0, 1100.0), apart_mm=400.0, off_mm=12.0, radius_mm=240.0)
    assert [roll.how for roll in rolls_of(seat, TABLE)] == ["by degrees", "by heights", "by millimetres and a radius"]
    assert sides_seen(seat, TABLE) == ("right", "right", "right")


def test_millimetres_are_no_degrees_without_a_radius() -> None:
    assert list(rolls_of(Seat(off_mm=12.0), TABLE)) == []
    assert list(rolls_of(Seat(off_mm=12.0, bars_mm=240.0), TABLE)) == []
    assert len(list(rolls_of(Seat(off_mm=12.0, radius_mm=240.0), TABLE))) == 1
    traced = Seat(off_mm=12.0, bars_mm=240.0, drop_mm=40.0)
    assert nominal_value(radius_of(traced, TABLE)) == pytest.approx(200)
    assert len(list(rolls_of(traced, TABLE))) == 1


def test_heights_without_their_distance_tell_a_side_and_no_roll() -> None:
    seat = Seat(heights_mm=(1120.0, 1100.0))
    assert side_of(seat, TABLE) == "right"
    assert list(rolls_of(seat, TABLE)) == []


def test_off_to_both_sides_cannot_be() -> None:
    with pytest.raises(BadInput, match="only be off to one side"):
        to_one_side(5, 3)
    with pytest.raises(BadInput, match="write 0 or more"):
        to_one_side(-5, None)
    assert to_one_side(0, 3) == 3
    assert to_one_side(0, 0) == 0


@pytest.mark.parametrize("seat", [Seat(roll_deg=31.0), Seat(off_mm=200.0, radius_mm=100.0)])
def test_no_saddle_leans_so_far(seat: Seat) -> None:
    with pytest.raises(BadInput, match="nothing is worked out above 30°"):
        list(rolls_of(seat, TABLE))
