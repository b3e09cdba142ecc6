"""What published work found of trees too narrow and too wide, beside what laying them down says.

In: straight shapes of two widths. Out: failures where the direction differs. Only directions are held: no study gives the lines.
"""

from __future__ import annotations

import math

import pytest

from reasoner.consult import load_rulebook
from reasoner.facts.measured_tree import table_of
from reasoner.measures.contact import laid
from reasoner.measures.contact_along import laid_along, length_word
from tests.measures.shapes import fall, hollow

BOOK = load_rulebook(None).book
TABLE = table_of(BOOK)
BACK = (fall(1.0, 160.0), fall(1.0, 160.0))


def of(degrees: float) -> tuple[tuple[tuple[float, float], ...], ...]:
    """Both sides of a straight tree whose sides stand so much steeper than the back."""
    side = fall(math.tan(math.radians(45.0 + degrees)), 120.0)
    return side, side


def told(degrees: float) -> tuple[str, float, float]:
    found = laid(BACK, of(degrees), 80.0, TABLE)  # type: ignore[arg-type]
    return found.word, found.unloaded.pose.lift_mm, found.loaded[1].most_down_mm


def test_one_width_is_ten_degrees_and_five_a_side_is_told() -> None:
    """half_pad_and_shims_2023 (H01): one width of the saddle was 10 degrees, taken here as between the two sides."""
    assert [told(by)[0] for by in (5.0, 0.0, -5.0)] == ["narrower", "follows", "wider"]


def test_narrow_stands_high_and_wide_comes_down() -> None:
    """mackechnie_guire_2019 (P16), figure 10: a tree too narrow lifts the front, a tree too wide drops it. The wide tree of a
    straight ridge cannot drop below flush, so it is held to stand no higher."""
    narrow, right, wide = (told(by)[1] for by in (5.0, 0.0, -5.0))
    assert narrow > right + 10
    assert wide == pytest.approx(right, abs=1e-4)


def test_narrow_presses_low_and_wide_close_to_the_spine() -> None:
    """meschan_2004 (P12): a tree too wide loaded the middle third and, at the walk, the strip close to the spine; trade: points
    that are too narrow press at their ends."""
    narrow, wide = told(5.0)[2], told(-5.0)[2]
    assert narrow > 100 > 40 > wide


def test_a_bridge_carries_front_and_rear() -> None:
    """greve_dyson_saddles_2014 (P18): contact in front and behind with none in the middle, and the pressure under the two."""
    straight = tuple((50.0 * n, 0.0) for n in range(9))
    found = laid_along(hollow(20.0, 400.0, 16), straight, 40.0, TABLE, "left")
    assert found.contact == "bridges"
    front, middle, rear = found.kpa[1]
    assert min(front, rear) > 2 * middle


def test_what_reaches_behind_the_last_rib_is_too_long() -> None:
    """dyson_carson_fisher_2015 (P29): not behind T18, the last rib; haussler_stover_willits_1997 (K06): found by hand, so what
    is just behind it is at it."""
    assert length_word(60.0, TABLE) == "behind_the_last_rib"
    assert length_word(5.0, TABLE) == "at_the_last_rib"


@pytest.mark.parametrize(
    ("word", "source"),
    [("narrower", "meschan_2007"), ("narrower", "mackechnie_guire_2019"), ("narrower", "devereux_care"),
     ("wider", "meschan_2007"), ("wider", "half_pad_and_shims_2023"), ("behind_the_last_rib", "dyson_carson_fisher_2015")],
)  # fmt: skip
def test_what_is_known_names_its_source(word: str, source: str) -> None:
    """P10-P12, P15-P17 (both places of a wide tree's load stand), H08, H01, P29."""
    assert any(one.word == word and source in one.basis for one in TABLE.known)
