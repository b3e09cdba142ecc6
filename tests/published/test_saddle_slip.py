"""Saddle slip and the hind limb, against the two published series and the counts our pages restate.

In: visits in which the saddle comes to one side. Out: which page outweighs the other, and the counts in the pages.
Not here: the trade's one-sided pattern (tests/trade). Greve and Dyson 2013 (S01-S05, high), 2014 (S07 high, S09 medium).
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.asking import Asked, shipped

Ask = Callable[[str], Asked]
BOOK = shipped().book
# S01-S03, Greve and Dyson 2013 (high): horses with slip of all horses, by what else they had.
SLIPPED = {"hind": (38, 71), "fore": (1, 26), "back or top of the croup": (0, 20), "level": (0, 11)}
TOWARDS, OF = 32, 37
GONE, BLOCKED = 37, 38


def because(page: str, rule: str) -> str:
    """The reason written under a rule."""
    return next(e.because for e in BOOK.conclusions[page].evidence if e.rule == rule)


def test_the_counts_and_their_published_percentages() -> None:
    """S01-S03 with G10 (arithmetic): 54, 86 and 97 in a hundred as printed, within one point."""
    hind, all_hind = SLIPPED["hind"]
    for part, whole, printed in ((hind, all_hind, 54), (TOWARDS, OF, 86), (GONE, BLOCKED, 97)):
        assert 100 * part / whole == pytest.approx(printed, abs=1.0)
    assert round(OF / (OF - TOWARDS)) == 7  # "about one in seven went the other way"


def test_the_pages_carry_these_counts_and_no_others() -> None:
    """S01-S03: the limb page restates 38 of 71, none of eleven, 32 of 37, 37 of 38; the one-sided page 32 of 37."""
    limb = because("saddle_follows_the_hind_limb", "to the side of an uneven hind")
    for count in ("38 of 71", "eleven level ones", "32 of 37", "37 of 38", "506"):
        assert count in limb.replace("\n", " ")
    assert "32 of 37" in because("saddle_to_one_side", "to the side of an uneven hind")
    assert "one in seven" in because("saddle_follows_the_hind_limb", "the saddle goes away from the uneven hind")


def test_the_limb_page_rests_on_the_paper_and_the_trade_says_so_where_it_does_not() -> None:
    """S01-S03, S07: the rule cites both papers; reading a weak push-off the same way is the trade's own step."""
    rules = {e.rule: e for e in BOOK.conclusions["saddle_follows_the_hind_limb"].evidence}
    assert rules["to the side of an uneven hind"].basis == ("greve_dyson_2013", "greve_dyson_2014")
    assert rules["to the side of the hind that pushes off less"].basis == "common practice"
    assert "No published work supports" in BOOK.conclusions["saddle_to_one_side"].can_mislead


SLIP = "ridden: {saddle comes to: left, seen on: both reins}\n"


@pytest.mark.parametrize("degree", ["slight", "marked"])
def test_slip_towards_the_uneven_hind_is_read_at_the_limb(ask: Ask, degree: str) -> None:
    """S02 (high): the limb page points to the same side as the uneven hind, and outweighs the one-sided page."""
    answer = ask(SLIP + f"uneven steps: {{left hind: {degree}}}")
    limb, saddle = ("saddle_follows_the_hind_limb", "left"), ("saddle_to_one_side", "left")
    assert answer.certainty(*limb) > answer.certainty(*saddle)
    assert answer.band(*limb) == "fair"
    assert answer.band(*saddle) in ("none", "against")
    assert answer.band("saddle_follows_the_hind_limb", "right") in ("none", "against")


def test_slip_away_from_the_uneven_hind_is_not_called_the_limb_pattern(ask: Ask) -> None:
    """S02 (high): five of 37 went the other way, so it speaks against, and the leg is asked about all the same."""
    answer = ask(SLIP + "uneven steps: {right hind: slight}")
    assert answer.band("saddle_follows_the_hind_limb", "left") in ("none", "against")
    assert answer.band("saddle_follows_the_hind_limb", "right") == "against"
    assert ("uneven_behind_slightly", "right") in answer.concerns


def test_an_uneven_fore_does_not_make_the_limb_pattern(ask: Ask) -> None:
    """S01 (high): one of 26 horses uneven in front had slip."""
    answer = ask(SLIP + "uneven steps: {left fore: slight}")
    assert answer.band("saddle_follows_the_hind_limb", "left") in ("none", "against")


def test_an_even_trot_on_one_day_does_not_close_the_question(ask: Ask) -> None:
    """S09 (medium): three in ten with slip were not plainly uneven behind; a veterinarian's look is still asked for."""
    answer = ask(SLIP + "in hand: {trot in hand: even, both reins: seen}")
    assert ("saddle_comes_over_look_at_the_legs", "left") in answer.concerns
    assert answer.level == "routine"


def test_a_straight_saddle_says_nothing_about_the_limb(ask: Ask) -> None:
    """S01 (high): 33 of 71 horses uneven behind had no slip, so straight never clears the uneven hind."""
    answer = ask("ridden: {saddle comes to: straight}\nuneven steps: {left hind: slight}")
    assert ("uneven_behind_slightly", "left") in answer.concerns
    assert answer.certainty("hind_pushes_off_less", "left") == ask("uneven steps: {left hind: slight}").certainty(
        "hind_pushes_off_less", "left"
    )


def test_uneven_panels_and_a_crooked_rider_are_weighed_against(ask: Ask) -> None:
    """S04, S10 (high).

    Two horses went on slipping under unevenly filled saddles; a crooked rider is cause or result.
    """
    plain = ask(SLIP + "uneven steps: {left hind: slight}").certainty("saddle_follows_the_hind_limb", "left")
    text = SLIP.replace("left,", "left, rider shape: hip collapses,") + "uneven steps: {left hind: slight}\n"
    crooked = ask(text + "tacked up: {saddle: {panels: not even}}")
    assert {"the two panels are not alike", "the rider is not level"} <= crooked.spoke(
        "saddle_follows_the_hind_limb", "left"
    )
    assert 0.2 < crooked.certainty("saddle_follows_the_hind_limb", "left") < plain
