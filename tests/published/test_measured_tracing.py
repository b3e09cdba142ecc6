"""Tracings against published work: which stations, which depths, what the ratio is made of, and what is told beside them.

In: the shipped table, and lines drawn for the purpose. Out: failures. Confidence is written beside each source.
Not here: the geometry (tests/measures/test_tracing.py). No error of a tracing in millimetres was found in print, and the wasted
muscle, time and limit of a difference between the sides neither; none of them is checked, and none is told as published.
"""

from __future__ import annotations

import pytest

from reasoner.facts.traced import stations, table_of
from reasoner.measures.tracing import Tracer
from reasoner.rendering.measured import measured
from reasoner.rulebook.strict_yaml import parse
from reasoner.visit.model import Visit
from reasoner.visit.reading import visit_from_node
from tests.asking import ask, shipped

BOOK = shipped().book
TABLE = table_of(BOOK)


def visit(text: str) -> Visit:
    return visit_from_node(
        parse(f"visit: 2026-04-18\n{text}".encode(), "made_up.yaml"), "made_up.yaml", BOOK.vocabulary
    )


def lines_of(text: str) -> str:
    (told,) = measured(visit(text), BOOK)
    return "\n".join((*told.lines, *told.cautions))


@pytest.mark.parametrize("station", ["t8", "t13", "t18"])
def test_the_published_stations_are_read_at_3_and_15_cm(station: str) -> None:
    """B01, Greve and Dyson 2014 (high for sites and depths): T8, T13, T18; 3 cm and 15 cm below the midline of the back."""
    site = TABLE.site(station)
    assert list(site.depths_mm) == [30, 150]
    assert site.basis == "greve_dyson_back_shape_2014"


def test_the_ratio_is_of_the_two_published_depths_and_its_order_is_said_to_be_ours() -> None:
    """B01 (medium for the order: the abstract says only that ratios of the two widths were formed)."""
    assert (TABLE.ratio.upper_mm, TABLE.ratio.lower_mm) == (30, 150)
    assert "own setting" in TABLE.ratio.basis
    # Half-widths 60 and 150 on both sides: 120 / 300.
    line = ((0.0, 0.0), (60.0, 30.0), (150.0, 150.0))
    read = Tracer({"left": line, "right": line}, TABLE.instrument(""))
    assert read.ratio(TABLE.ratio).n == pytest.approx(0.4)
    assert "ratio of the widths 3 cm : 15 cm: 0.40" in lines_of("back tracings: {T13: {both: 0/0 60/30 150/150}}")


def test_t10_is_read_at_15_cm_and_published_widths_stand_beside_it() -> None:
    """B11, H02, conference abstract 2023 (high): 31.2 +- 2.4 cm and 29.8 +- 1.43 cm in 8 horses. Told as an order of size."""
    assert list(TABLE.site("t10").depths_mm) == [150]
    told = lines_of("back tracings: {T10: {both: 0/0 60/30 156/150}}")
    assert "312 ± 24 mm (the spread of 8 horses)" in told
    assert "298 ± 14 mm (the spread of 8 horses)" in told
    assert "no limit" in told
    published = [one.mean_mm for one in TABLE.in_print]
    assert (published[0] - published[1]) / published[0] == pytest.approx(0.045, abs=0.001)  # H02: -4.5 %


def test_a_width_of_the_published_order_is_read_from_a_line_of_that_width() -> None:
    """B11 as plausibility only: a back 312 mm wide 15 cm down reads as 312, within the published spread."""
    (at,) = stations(visit("back tracings: {T10: {both: 0/0 60/30 110/80 156/150 160/170}}"), TABLE)
    assert at.full[150].n == pytest.approx(312)
    assert abs(at.full[150].n - 312) <= 24


def test_how_long_the_shape_took_to_change() -> None:
    """B02, Greve and Dyson 2014 (high): T8 and T18 had changed after 2 months, T13 after 4."""
    assert {one.station: one.months for one in TABLE.changed_after_months} == {"t8": 2, "t13": 4, "t18": 2}


def test_what_went_with_a_ratio_that_moved() -> None:
    """B03 (high): falling at T8 with ill-fitting saddles, saddles tipping back, pain and age; rising at T18 with weight gain."""
    moves = {(one.station, one.way): one.says for one in TABLE.ratio_moves}
    assert set(moves) == {("t8", "falls"), ("t18", "rises")}
    for word in ("did not suit", "tipped back", "soreness", "age"):
        assert word in moves["t8", "falls"]
    assert "gaining weight" in moves["t18", "rises"]


def test_before_and_after_work_and_hardly_differed_are_told_with_every_tracing() -> None:
    """B05, Greve, Murray and Dyson 2015 (high): 63 horses; B06, Greve and Dyson 2014 (high): 506 horses."""
    told = lines_of("back tracings: {T13: {both: 0/0 60/30 150/150}}")
    assert "63 horses" in told
    assert "before AND after work" in told
    assert "506 riding horses the two sides of the back hardly differed" in told


def test_wider_on_the_left_at_the_withers_is_told_as_common_only_there() -> None:
    """L11, Merkies and others (high): almost 60 % of 490 wither tracings larger on the left; no population default side."""
    assert "six in ten of 490" in lines_of("back tracings: {withers: {both: 0/0 60/30 150/150}}")
    assert "490" not in lines_of("back tracings: {T13: {both: 0/0 60/30 150/150}}")


def test_no_figure_of_error_claims_a_source() -> None:
    """Nobody printed the error of a tracing in millimetres; B10's agreement (ICC) is of another line and no length."""
    assert {one.basis for one in TABLE.instruments} == {"own setting"}
    assert TABLE.errors_shown.basis == "own setting"
    assert "own settings, none are in print" in lines_of("back tracings: {T13: {both: 0/0 60/30 150/150}}")


def test_a_back_that_differs_takes_a_little_from_the_limb_and_no_more() -> None:
    """S05, S10, Greve and Dyson 2013 (high): no horse whose saddle slipped had a back that differed; a differing back is one of
    the named causes of slip. The limb is still looked at first."""
    slip = "uneven steps: {left hind: slight}\nridden: {saddle comes to: left}\n"
    narrow = slip + "back tracings: {T13: {left: 0/0 40/30 130/150, right: 0/0 60/30 160/150}}\n"
    before, after = ask(slip), ask(narrow)
    assert after.certainty("saddle_follows_the_hind_limb", "left") < before.certainty(
        "saddle_follows_the_hind_limb", "left"
    )
    assert after.band("saddle_follows_the_hind_limb", "left") in ("fair", "slight")
    assert after.level == before.level
