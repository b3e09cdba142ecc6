"""The shim beside the common figure and its limits, and two stirrups in holes.

In: rolls, thicknesses and lengths, and the shipped tables. Out: what `Shim` and `Pair` hold.
Not here: whether a shim may be laid in (tests/trade), visits (test_shims_at_a_visit.py).
"""

from __future__ import annotations

from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import nominal_value, ufloat

from reasoner.measures.roll import rise_mm
from reasoner.measures.shim import laid_in, pressed, roll_of_thickness_deg, shim_for
from reasoner.measures.stirrup import pair_of
from reasoner.problems import BadInput
from reasoner.rulebook.measures.shims import Shims
from reasoner.rulebook.measures.stirrups import Stirrups
from tests.asking import OTHER, shipped

SHIMS = cast(Shims, shipped().book.measures["shims"])
STIRRUPS = cast(Stirrups, shipped().book.measures["stirrups"])


@given(st.floats(0.1, 40), st.floats(0, 0.95))
def test_what_is_laid_in_is_what_is_left_and_what_is_pressed_away(thickness: float, share: float) -> None:
    assert pressed(laid_in(thickness, share), share) == pytest.approx(thickness)


@given(st.floats(0.5, 5), st.floats(100, 300), st.floats(0, 0.6))
def test_a_shim_is_the_wedge_and_the_stuff_it_loses(roll: float, bars: float, share: float) -> None:
    shim = shim_for(ufloat(roll, 0.5), ufloat(bars, 5), SHIMS, share)
    assert nominal_value(shim.under_load_mm) == pytest.approx(rise_mm(roll, bars))
    assert nominal_value(shim.laid_in_mm) * (1 - share) == pytest.approx(rise_mm(roll, bars))
    assert nominal_value(shim.from_common_mm) == pytest.approx(nominal_value(shim.laid_in_mm) - 19)
    assert shim.common_left_mm == pytest.approx(19 * (1 - share))
    assert (shim.beyond != "") == (nominal_value(shim.laid_in_mm) > SHIMS.most.thickness_mm)


def test_the_share_is_the_tables_where_nobody_measured_it() -> None:
    own, given_ = shim_for(3, 240, SHIMS), shim_for(3, 240, SHIMS, 0.25)
    assert (own.pressed_share, own.share_given, given_.share_given) == (0.25, False, True)
    assert own.laid_in_mm == given_.laid_in_mm


def test_the_two_upper_limits() -> None:
    assert shim_for(5.0, 150, SHIMS, 0.0).beyond == ""
    assert shim_for(5.1, 150, SHIMS, 0.0).beyond == "more than 5° of roll"
    assert shim_for(4.9, 300, SHIMS, 0.0).beyond == "thicker than 25 mm"


@pytest.mark.parametrize("share", [-0.1, 1.0, 1.5])
def test_a_share_that_cannot_be(share: float) -> None:
    for refused in (lambda: pressed(19, share), lambda: laid_in(19, share), lambda: shim_for(3, 240, SHIMS, share)):
        with pytest.raises(BadInput, match="pressed away was read"):
            refused()


@pytest.mark.parametrize("roll", [-1.0, 31.0])
def test_a_roll_that_cannot_be(roll: float) -> None:
    with pytest.raises(BadInput, match="0° to 30° was expected"):
        shim_for(roll, 240, SHIMS)


@pytest.mark.parametrize("thickness", [0.0, -3.0])
def test_a_shim_of_nothing(thickness: float) -> None:
    with pytest.raises(BadInput, match="more than 0 mm was expected"):
        roll_of_thickness_deg(thickness, ufloat(240, 5), SHIMS)


lengths = st.floats(300, 1000)


@given(lengths, lengths)
def test_two_stirrups_in_the_mirror(left: float, right: float) -> None:
    pair, other = pair_of(left, right, STIRRUPS), pair_of(right, left, STIRRUPS)
    assert nominal_value(other.difference_mm) == -nominal_value(pair.difference_mm)
    assert other.shorter == ("even" if pair.shorter == "even" else OTHER[pair.shorter])
    assert other.holes == pair.holes


@pytest.mark.parametrize(
    ("left", "right", "shorter"),
    [(780, 780, "even"), (780, 772, "even"), (780, 771, "right"), (771, 780, "left"), (740, 780, "left")],
)
def test_shorter_beyond_the_error_of_reading_only(left: float, right: float, shorter: str) -> None:
    assert pair_of(left, right, STIRRUPS).shorter == shorter


def test_holes_by_the_distance_measured_else_by_our_own() -> None:
    own, measured = pair_of(780, 740, STIRRUPS), pair_of(780, 740, STIRRUPS, 20)
    assert (own.holes, own.spacing_given) == (40 / STIRRUPS.holes.spacing_mm, False)
    assert (measured.holes, measured.spacing_given) == (2, True)


@pytest.mark.parametrize(("left", "right", "hole"), [(0, 780, None), (780, -1, None), (780, 740, 0)])
def test_lengths_that_cannot_be(left: float, right: float, hole: float | None) -> None:
    with pytest.raises(BadInput, match="more than 0 was expected"):
        pair_of(left, right, STIRRUPS, hole)
