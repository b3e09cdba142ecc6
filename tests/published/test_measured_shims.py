"""Shims and stirrups against arithmetic and published work.

In: the formulas, the shipped tables and pages. Out: values to the digits printed. Beside each check stands its source.
Not here: laws (tests/measures). No published thickness or angle for a shim was found (saddle_back_spine: H09), so none is here.
"""

from __future__ import annotations

from typing import cast

import pytest
from uncertainties import nominal_value

from reasoner.measures.roll import rise_mm, wedge_deg
from reasoner.measures.shim import shim_for
from reasoner.measures.stirrup import pair_of
from reasoner.rendering.measured_stirrups import told_pair
from reasoner.rulebook.measures.shims import Shims
from reasoner.rulebook.measures.stirrups import Stirrups
from tests.asking import shipped

BOOK = shipped().book
SHIMS, STIRRUPS = cast(Shims, BOOK.measures["shims"]), cast(Stirrups, BOOK.measures["stirrups"])

#: saddle_back_spine G03 (trigonometry; high): thickness on a base of 100 mm, and the angle.
G03 = [(3, 1.72), (5, 2.86), (6, 3.43), (8, 4.57), (10, 5.71), (13, 7.41), (15, 8.53), (20, 11.31)]
#: G04 (trigonometry; high): a 13 mm shim on other bases.
G04 = [(50, 14.57), (80, 9.23), (120, 6.18), (150, 4.95), (400, 1.86)]
#: G05 (trigonometry; high): angle, base, thickness.
G05 = [
    (1, 100, 1.75), (2, 100, 3.49), (3, 100, 5.24), (5, 100, 8.75), (10, 100, 17.63),
    (1, 400, 6.98), (2, 400, 13.97), (3, 400, 20.96), (5, 400, 35.00),
]  # fmt: skip


@pytest.mark.parametrize(("thickness", "angle"), G03)
def test_wedges_on_a_hundred_millimetres(thickness: float, angle: float) -> None:
    assert round(wedge_deg(thickness, 100), 2) == angle


@pytest.mark.parametrize(("base", "angle"), G04)
def test_thirteen_millimetres_on_other_bases(base: float, angle: float) -> None:
    assert round(wedge_deg(13, base), 2) == angle


@pytest.mark.parametrize(("angle", "base", "thickness"), G05)
def test_the_thickness_for_an_angle(angle: float, base: float, thickness: float) -> None:
    assert round(rise_mm(angle, base), 2) == thickness


def test_the_common_figure_is_a_check_and_not_an_answer() -> None:
    """common practice: 19 mm (3/4 in), soft, under bars, uncompressed; a published thickness was not found (H09)."""
    assert (SHIMS.common_figure.thickness_mm, SHIMS.common_figure.basis) == (19, "common practice")
    assert round(wedge_deg(19, 240), 2) == 4.53
    shim = shim_for(wedge_deg(19, 240), 240, SHIMS, 0.0)
    assert nominal_value(shim.from_common_mm) == pytest.approx(0, abs=1e-9)
    for setting in (
        SHIMS.reading_error,
        SHIMS.clear_from,
        SHIMS.possible,
        SHIMS.pressed_away,
        SHIMS.most,
        SHIMS.radius_from,
    ):
        assert setting.basis == "own setting"


def test_shims_raised_the_pressure_in_front() -> None:
    """half_pad_and_shims_2023 (saddle_back_spine H01, high): front means in kPa, shimmed wide against right width.

    G08 (arithmetic; high): +29.1 % walk, +19.8 % rising trot, +11.1 % two-point trot, +24.5 % canter.
    """
    paces = SHIMS.front_pressure.paces
    assert SHIMS.front_pressure.basis == "half_pad_and_shims_2023"
    read = {
        name: (p.shimmed_kpa, p.shimmed_sd_kpa, p.right_width_kpa, p.right_width_sd_kpa) for name, p in paces.items()
    }
    assert read == {
        "walk": (14.2, 1.7, 11.0, 1.8), "rising trot": (10.9, 1.7, 9.1, 2.2),
        "two-point trot": (18.0, 1.6, 16.2, 3.0), "canter": (17.8, 3.1, 14.3, 3.4),
    }  # fmt: skip
    rises = {name: round(100 * (p.shimmed_kpa / p.right_width_kpa - 1), 1) for name, p in paces.items()}
    assert rises == {"walk": 29.1, "rising trot": 19.8, "two-point trot": 11.1, "canter": 24.5}


def test_the_warnings_of_published_work() -> None:
    """H08 devereux_care (high): padding under a narrow tree presses harder. H02 half_pad_and_shims_2023 (high): 29.8 against
    31.2 cm, -4.5 %. H06 kotschwar_2010 (high): no single pad for all horses and paces."""
    said = {warned.basis: warned.says for warned in SHIMS.warnings}
    assert "under a narrow tree" in said["devereux_care"]
    assert "not a fitted one" in said["half_pad_and_shims_2023"]
    assert "29.8 cm" in said["half_pad_and_shims_2023"]
    assert "31.2 cm" in said["half_pad_and_shims_2023"]
    assert round(100 * (29.8 / 31.2 - 1), 1) == -4.5
    assert "no single pad" in said["kotschwar_2010"]


def test_a_thickness_is_for_the_saddles_of_the_step_alone() -> None:
    """common practice: the table and the page of the step name the same saddles."""
    page = next(page for page in BOOK.actions.values() if page.calculation == "shim")
    needs = [need.need["saddle_type"] for need in page.only_after if "saddle_type" in need.need]
    assert needs == [SHIMS.thickness_for.types[0]]
    assert len(SHIMS.thickness_for.types) == 1
    assert set(SHIMS.thickness_for.types) <= {w.key for w in BOOK.vocabulary.observations["saddle_type"].readings}


def test_a_shorter_left_stirrup_by_published_work_and_by_the_trade() -> None:
    """mackechnie_guire_2020 (R04, high for the direction): left 5 cm shorter, hips to the right and trunk to the left.

    gunst_2019 (R03, high), R05 (medium): what the rider does decides, the tape does not; symes_ellis_2009 (R01, high).
    """
    told = told_pair(pair_of(730, 780, STIRRUPS), BOOK)
    said = " ".join(told.lines)
    assert "hips to the right and trunk to the left" in said
    assert "here to the right" in said, "the trade starts the rider to the far side"
    assert "the tape alone names no side of the back" in said
    assert {"common practice", "mackechnie_guire_2020", "gunst_2019", "symes_ellis_2009"} <= set(told.rests_on)
    assert any("neither is chosen" in caution for caution in told.cautions)
