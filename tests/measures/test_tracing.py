"""Widths, ratios and slopes of a traced line, against shapely and scipy on random shapes, and against formulas worked by hand.

In: random lines. Out: failures.
Not here: published values (tests/published/test_measured_tracing.py), reading a file (tests/visit/test_outlines.py).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal
from typing import cast

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.interpolate import interp1d
from scipy.optimize import brentq
from shapely.geometry import LineString
from shapely.geometry import Point as Dot
from uncertainties import UFloat, ufloat

from reasoner.measures.tracing import NotReached, Point, Tracer, below_midline, half_width_mm
from reasoner.measures.tracing_change import change_of
from reasoner.rulebook.measures.tracing import Between, Instrument

EXACT = Instrument(key="exact", called="none", line_mm=0, midline_mm=0, depth_mm=0, basis="own setting")
CURVE = Instrument(key="curve", called="a curve", line_mm=3, midline_mm=2, depth_mm=2, basis="own setting")
SHOWN = 2.0
Line = tuple[Point, ...]


@st.composite
def lines(draw: st.DrawFn, *, falling: bool = False) -> Line:
    """A side from the midline outwards, in quarter millimetres; `falling` never rises and is never level."""
    out = down = 0
    points: list[Point] = [(0.0, 0.0)]
    for _ in range(draw(st.integers(1, 12))):
        out += draw(st.integers(1, 200))
        down += draw(st.integers(1 if falling else -80, 200))
        points.append((out / 4, down / 4))
    return tuple(points)


def depths(line: Line) -> st.SearchStrategy[float]:
    """Depths that the line comes down to, its own corners among them."""
    lowest = max(down for _, down in line)
    corners = [down for _, down in line if 0 < down <= lowest] or [lowest]
    return st.one_of(st.sampled_from(corners), st.integers(1, 63).map(lambda part: lowest * part / 64))


@given(st.data())
def test_the_width_is_where_shapely_meets_the_line_furthest_out(data: st.DataObject) -> None:
    line = data.draw(lines())
    assume(max(down for _, down in line) > 0)
    depth = data.draw(depths(line))
    furthest = line[-1][0]
    met = LineString(line).intersection(LineString([(-1, depth), (furthest + 1, depth)]))
    pieces = getattr(met, "geoms", [met])
    out, _ = half_width_mm("left", line, depth)
    assert out == pytest.approx(max(piece.bounds[2] for piece in pieces if not piece.is_empty), abs=1e-6)
    assert LineString(line).distance(Dot(out, depth)) < 1e-6


@given(st.data())
def test_the_width_of_a_falling_line_is_scipys_root(data: st.DataObject) -> None:
    line = data.draw(lines(falling=True))
    depth = data.draw(depths(line))
    along = interp1d([out for out, _ in line], [down for _, down in line])
    root = brentq(lambda out: float(along(out)) - depth, 0, line[-1][0], xtol=1e-12)
    out, crossings = half_width_mm("right", line, depth)
    assert out == pytest.approx(root, abs=1e-6)
    assert crossings == 1


@given(st.data())
def test_a_point_added_on_the_line_changes_nothing(data: st.DataObject) -> None:
    """Not the width, not its error, not the slope."""
    line, other = data.draw(lines(falling=True)), data.draw(lines(falling=True))
    depth = data.draw(depths(line))
    assume(depth <= other[-1][1])
    at = data.draw(st.integers(0, len(line) - 2))
    part = data.draw(st.integers(1, 7)) / 8
    (out, down), (next_out, next_down) = line[at], line[at + 1]
    finer = (*line[: at + 1], (out + part * (next_out - out), down + part * (next_down - down)), *line[at + 1 :])
    one, two = (Tracer({"left": some, "right": other}, CURVE) for some in (line, finer))
    half = Between(upper_mm=depth / 2, lower_mm=depth, basis="own setting")
    readings: list[Callable[[Tracer], UFloat]] = [
        lambda tracer: tracer.widths(depth, SHOWN).full,
        lambda tracer: tracer.widths(depth, SHOWN).difference,
        lambda tracer: tracer.slope_deg("left", half),
    ]
    for read in readings:
        a, b = read(one), read(two)
        assert (a.n, a.s) == (pytest.approx(b.n, abs=1e-6), pytest.approx(b.s, abs=1e-6))


@given(lines(), lines(), st.integers(1, 400))
def test_the_mirror_image_has_the_widths_of_the_other_side(left: Line, right: Line, quarters: int) -> None:
    depth = quarters / 4
    assume(depth <= min(max(down for _, down in line) for line in (left, right)))
    one = Tracer({"left": left, "right": right}, CURVE).widths(depth, SHOWN)
    two = Tracer({"left": right, "right": left}, CURVE).widths(depth, SHOWN)
    assert one.left.n + one.right.n == pytest.approx(one.full.n)
    assert (two.left.n, two.right.n, two.difference.n) == (one.right.n, one.left.n, -one.difference.n)
    assert two.full.n == pytest.approx(one.full.n)
    assert two.full.s == pytest.approx(one.full.s)
    assert two.narrower == {"left": "right", "right": "left", "even": "even"}[one.narrower]


def test_the_error_of_a_straight_side_is_the_formula_worked_by_hand() -> None:
    """A side that goes out k mm for each mm down: var = line^2 + midline^2 + (k depth)^2; the midline drops out of the whole
    width and counts twice in the difference; the depth is shared, so it counts (k + k)^2 in the whole and not in the difference
    of equal sides."""
    k = 2.0
    line: Line = ((0, 0), (400 * k, 400))
    read = Tracer({"left": line, "right": line}, CURVE).widths(150, SHOWN)
    assert read.left.s == pytest.approx(math.sqrt(3**2 + 2**2 + (k * 2) ** 2))
    assert read.full.s == pytest.approx(math.sqrt(2 * 3**2 + (2 * k * 2) ** 2))
    assert read.difference.s == pytest.approx(math.sqrt(2 * 3**2 + (2 * 2) ** 2))
    assert (read.full.n, read.difference.n, read.narrower) == (600, 0, "even")


def test_the_errors_are_those_of_a_thousand_hands() -> None:
    """Traced, marked and read again at random with those errors, the spread of width, difference and slope is what is said."""
    left: Line = ((0, 0), (40, 10), (80, 40), (120, 120), (150, 260))
    right: Line = ((0, 0), (50, 12), (95, 45), (130, 130), (155, 260))
    tracer = Tracer({"left": left, "right": right}, CURVE)
    between = Between(upper_mm=30, lower_mm=150, basis="own setting")
    read, slope = tracer.widths(150, SHOWN), tracer.slope_deg("left", between)
    rng = np.random.default_rng(7)
    hands = 4000

    def out(side: Line, depth: float, deeper: np.ndarray, moved: np.ndarray) -> np.ndarray:
        along = np.interp(depth + deeper, [down for _, down in side], [out for out, _ in side])
        return cast(np.ndarray, along + rng.normal(0, CURVE.line_mm, hands) + moved)

    midline, low, high = (rng.normal(0, CURVE.midline_mm, hands), rng.normal(0, CURVE.depth_mm, hands),
                          rng.normal(0, CURVE.depth_mm, hands))  # fmt: skip
    at_left, at_right = out(left, 150, low, midline), out(right, 150, low, -midline)
    upper = out(left, 30, high, midline)
    assert np.std(at_left + at_right) == pytest.approx(read.full.s, rel=0.05)
    assert np.std(at_left - at_right) == pytest.approx(read.difference.s, rel=0.05)
    assert np.std(np.degrees(np.arctan2(120, at_left - upper))) == pytest.approx(slope.s, rel=0.06)


def test_a_side_is_narrower_only_beyond_the_error() -> None:
    """Flat of the error: 2 x sqrt(2 x 3^2 + (2 x 2)^2) = 11.66 mm on equal slopes."""
    base: Line = ((0, 0), (100, 100), (200, 200))
    limit = SHOWN * math.sqrt(2 * 3**2 + 4**2)
    for off, narrower in ((limit - 0.05, "even"), (limit + 0.05, "left")):
        wider: Line = ((0, 0), (100 + off, 100), (200 + off, 200))
        read = Tracer({"left": base, "right": wider}, CURVE).widths(150, SHOWN)
        assert read.difference.n == pytest.approx(-off)
        assert read.narrower == narrower


def test_the_slope_is_the_angle_from_the_horizontal() -> None:
    """tan 60 degrees is sqrt 3; level is 0, upright 90."""
    between = Between(upper_mm=30, lower_mm=150, basis="own setting")
    steep: Line = ((0, 0), (200 / math.sqrt(3), 200))
    assert Tracer({"left": steep}, EXACT).slope_deg("left", between).n == pytest.approx(60)
    gentle: Line = ((0, 0), (200 * math.sqrt(3), 200))
    assert Tracer({"right": gentle}, EXACT).slope_deg("right", between).n == pytest.approx(30)


def test_the_ratio_is_the_upper_width_over_the_lower() -> None:
    between = Between(upper_mm=30, lower_mm=150, basis="own setting")
    left: Line = ((0, 0), (30, 30), (90, 150))
    right: Line = ((0, 0), (50, 30), (110, 150))
    assert Tracer({"left": left, "right": right}, EXACT).ratio(between).n == pytest.approx(80 / 200)


def test_a_line_that_ends_too_early_says_so() -> None:
    with pytest.raises(NotReached, match="the right side ends 92 mm down; 150 mm was asked") as no:
        Tracer({"left": ((0, 0), (9, 200)), "right": ((0, 0), (80, 92))}, CURVE).widths(150, SHOWN)
    assert (no.value.side, no.value.ends_mm, no.value.asked_mm) == ("right", 92, 150)


def test_a_dip_is_read_where_the_line_passes_last() -> None:
    """Down to 40, up to 20, down again: 30 is passed three times."""
    line: Line = ((0, 0), (20, 40), (40, 20), (60, 40))
    assert half_width_mm("left", line, 30) == (50, 3)
    assert half_width_mm("left", line, 40) == (60, 2)


def test_depth_counts_from_the_midline_and_not_from_the_highest_point() -> None:
    """A full back rises beside its midline."""
    rising = [(Decimal(0), Decimal(6)), (Decimal(30), Decimal(0)), (Decimal(60), Decimal(36))]
    assert below_midline(rising) == ((0, 0), (30, -6), (60, 30))
    assert half_width_mm("left", below_midline(rising), 30)[0] == 60


def test_a_change_counts_beyond_the_error_of_both_days() -> None:
    limit = SHOWN * math.sqrt(3**2 + 4**2)
    for by, way in ((limit - 0.01, "within the error"), (limit + 0.01, "larger"), (-limit - 0.01, "smaller")):
        found = change_of(ufloat(300, 3), ufloat(300 + by, 4), SHOWN)
        assert found.change.n == pytest.approx(by)
        assert found.change.s == pytest.approx(5)
        assert found.way == way
