"""What a hand on the back can tell, and what saddle pressure goes with, against published measurements.

In: even and uneven readings, and the published means. Out: what moves, and by which words our pages restate the figures.
Not here: our ramps as such (own settings, declared). Each source stands beside its check.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from reasoner.rulebook.conditions import leaves
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.rulebook import rule_id
from reasoner.rulebook.strict_yaml import parse
from tests.asking import Asked, shipped

Ask = Callable[[str], Asked]
BOOK = shipped().book
DIFFERENCE_RULES = {
    rule_id(page, BOOK.conclusions[page].evidence[int(where.split()[1])].rule): condition
    for (page, where), condition in BOOK.parsed.items()
    if where.startswith("evidence") and "more" in {w for leaf in leaves(condition) for w in leaf.words}
}


def everywhere(left: str, right: str) -> str:
    """Every paired place of the body graded."""
    places = [p.name for p in BOOK.vocabulary.places.values() if p.sides == "each"]
    lines = "".join(f"  {name}: {{left: {left}, right: {right}}}\n" for name in places)
    return f"settled under the hand: seen\npalpation:\n{lines}"


@pytest.mark.parametrize(("left", "right"), [("3", "3"), ("3", "2"), ("4", "3"), ("2.5", "3.5")])
def test_no_difference_where_none_is_usual(ask: Ask, left: str, right: str) -> None:
    """A01, Haussler and Erb 2006 (high).

    Left and right do not usually differ; up to 1 counts as no difference (own).
    """
    answer = ask(everywhere(left, right))
    fired = {rule.id for rule in answer.answer.record.applied if rule.state == "fired"}
    positive = {
        name
        for name, condition in DIFFERENCE_RULES.items()
        if all("more" in leaf.words for leaf in leaves(condition)) and "not" not in repr(condition).casefold()
    }
    assert len(positive) >= 4
    assert fired & positive == set()


def test_a_clear_difference_is_listened_to(ask: Ask) -> None:
    """A04, Varcoe-Cocks 2006 (high): larger side differences went with trouble at the top of the croup."""
    answer = ask(everywhere("6", "2"))
    assert "the croup answers more on this side" in answer.spoke("hind_pushes_off_less", "left")
    assert "the croup answers more on this side" not in answer.spoke("hind_pushes_off_less", "right")


def test_no_published_cut_off_is_claimed_for_a_difference() -> None:
    """A05: no published limit for a meaningful difference was found, so ours is declared an own setting."""
    node = parse((shipped_rules() / "scales" / "soreness.yaml").read_bytes(), "soreness.yaml")
    basis, more = node.get("basis"), BOOK.scales.ramps["more"]
    assert basis is not None
    assert basis.text == "own setting"
    assert (more.none_at, more.of) == (1.0, "difference")


def test_the_withers_answer_sooner_than_the_croup() -> None:
    """A01, Haussler and Erb 2006 (high): thresholds rise from front to back, and whoever presses is told so."""
    how = BOOK.vocabulary.observations["hand_pressure"].how
    assert "withers answer sooner than the croup" in how
    assert "two sides usually answer alike" in how


def test_repeated_pressing_makes_it_answer_sooner() -> None:
    """A09, Merrifield-Jones 2019 (high): horses drifted on repeat tests, so whoever presses is told to press once."""
    assert "Repeated pressing makes a horse more sensitive" in BOOK.vocabulary.observations["hand_pressure"].how
    assert "press once" in BOOK.actions["look_again"].because


# P01-P03, von Peinen 2010 (high): mean pressure at the withers in kPa at walk, trot and canter.
WELL_FITTING, DRY, SORE = (7.8, 9.8, 10.9), (15.3, 18.1, 21.4), (24.0, 29.7, 28.6)


def test_dry_spots_about_twice_and_fresh_sores_about_three_times() -> None:
    """P01-P03 and G07 (arithmetic): the words of our page are true at every gait."""
    rule = next(e for e in BOOK.conclusions["withers_pinch"].evidence if e.rule.startswith("dry or rubbed"))
    assert rule.basis == ("von_peinen_2010",)
    assert "about twice" in rule.because
    assert "about three times" in rule.because.replace("\n", " ")
    for fits, dry, sore in zip(WELL_FITTING, DRY, SORE, strict=True):
        assert dry / fits == pytest.approx(2, abs=0.2)
        assert sore / fits == pytest.approx(3, abs=0.4)


def test_pressure_is_not_pain_and_the_page_says_so() -> None:
    """P13, Dittmann 2021 (high) beside P01-P04: in a large group size of pressure did not go with sore backs."""
    assert "Pressure is not pain" in BOOK.conclusions["withers_pinch"].can_mislead
    assert "dittmann_2021" in BOOK.sources


def test_where_a_wide_tree_presses_two_papers_differ_and_both_stand(ask: Ask) -> None:
    """P11, Meschan 2007 (high) middle third; P15, MacKechnie-Guire 2019 (high) front: neither outweighs the other."""
    answer = ask("tacked up: {saddle: {front: low}}\npalpation: {withers: {both: 1}}")
    rules = answer.rules("against_the_shoulder_blade", "left")
    low, wide = rules["low in front"], rules["a wide tree loads the middle"]
    assert low.strength == -wide.strength
    assert low.counted + wide.counted == 0
    evidence = {e.rule: e for e in BOOK.conclusions["against_the_shoulder_blade"].evidence}
    assert evidence["low in front"].basis == ("mackechnie_guire_2019",)
    assert evidence["a wide tree loads the middle"].basis == ("meschan_2007",)


def test_narrow_trees_load_the_rear_in_both_papers(ask: Ask) -> None:
    """P10, Meschan 2007, and P15, MacKechnie-Guire 2019 (high).

    A front that stands high speaks a little against the withers, and cites both.
    """
    answer = ask("tacked up: {saddle: {front: high}}\npalpation: {withers: {both: 5}}")
    assert "a front that stands high loads the rear" in answer.spoke("withers_pinch", "left")
    rule = next(e for e in BOOK.conclusions["withers_pinch"].evidence if e.rule.startswith("a front that stands high"))
    assert set(rule.basis) == {"meschan_2007", "mackechnie_guire_2019"}
    assert rule.against is not None


def test_a_sore_back_makes_one_look_at_the_legs(ask: Ask) -> None:
    """CO15-CO16, Landman 2004 (high): 74 in 100 horses with a back problem were uneven; not first put to the saddle."""
    text = "palpation: {withers: {both: 5}}\n"
    with_leg = ask(text + "uneven steps: {left hind: slight}")
    assert with_leg.certainty("withers_pinch", "left") < ask(text).certainty("withers_pinch", "left")
    rule = next(e for e in BOOK.conclusions["withers_pinch"].evidence if e.rule == "uneven steps were seen")
    assert "three in four" in rule.because
    assert rule.basis == ("landman_2004",)
