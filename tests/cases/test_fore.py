"""Whole visits about the front end: girth, sling, shoulder, feet, and which side is the bigger or the easier one.

In: visits as a practitioner writes them, each also in the mirror. Out: what leads, who is called, what is done and what waits.
Not here: single rules (page examples), published figures (tests/published/test_fore.py). Basis: common practice.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.asking import Asked, shipped
from tests.cases.fore_horses import (
    BIGGER_SHOULDER_PUSHES,
    GIRTH_NEWLY_DISLIKED,
    GIRTH_TOO_FAR_FORWARD,
    JUMPER_SORE_IN_THE_SLING,
    NOTHING_FOUND_IN_FRONT,
    OLD_KNOTS_ON_THE_SHOULDER,
    ONE_EASIER_SIDE,
    OVERDUE_FEET,
    RUBBED_ON_ONE_SIDE,
    SHOE_GONE_AND_FOOT_HOT,
    SHOULDER_AND_AN_UNEVEN_FORE,
    TOWARDS_THE_BIGGER_SHOULDER,
    UNEVEN_PAIR_AND_NOTHING_ELSE,
)

Ask = Callable[[str], Asked]
#: Nothing in these pages blames a limb, a saddle or a shoulder where it was looked at and found quiet.
CAUSES = {page.id for page in shipped().book.conclusions.values() if page.kind == "cause"}


def causes(answer: Asked) -> set[tuple[str, str]]:
    """Key and side of every cause that is at least fair."""
    return {(k, s) for k, s in answer.supported if k in CAUSES and answer.band(k, s) in ("fair", "strong")}


def test_a_girth_that_lies_against_the_elbow_is_moved_before_it_is_loosened(ask: Ask) -> None:
    """common practice: sore under a girth against the elbow; one change of tack, and the other one waits for it."""
    answer = ask(GIRTH_TOO_FAR_FORWARD)
    assert {answer.band("girth_presses", side) for side in ("left", "right")} == {"strong"}
    assert {key for key, _ in answer.starting_points} == {"girth_presses"}
    assert ("girth_back_in_its_groove", "") in answer.steps
    assert any("one change of tack at a time" in why for why in answer.withheld["girth_hole_by_hole", ""])
    assert ("thoracic_sling_sore", "left") not in answer.supported  # quiet in front: it is the girth line's own


def test_a_girth_newly_minded_is_not_put_down_to_the_girth(ask: Ask) -> None:
    """common practice: what is new goes to the veterinarian before anybody treats it as muscle or changes the girth."""
    answer = ask(GIRTH_NEWLY_DISLIKED)
    assert {answer.band("girth_presses", side) for side in ("left", "right")} <= {"none", "against"}
    assert answer.band("girth_line_sore", "left") in ("fair", "strong")
    assert not {key for key, _ in answer.steps} & {"hold_along_the_girth", "girth_back_in_its_groove"}
    assert any("veterinarian" in why for why in answer.withheld["hold_along_the_girth", "left"])
    assert causes(answer) == set()


def test_a_rub_on_one_side_gets_no_girth_and_no_hand(ask: Ask) -> None:
    """common practice: hair rubbed off is the strap's own mark; nothing is laid over it and nothing is tried on it."""
    answer = ask(RUBBED_ON_ONE_SIDE)
    assert answer.band("girth_presses", "left") == "strong"
    assert answer.band("girth_presses", "right") in ("none", "against")
    assert {("leave_the_girth_off", ""), ("fitter_for_the_girth", "")} <= answer.steps
    assert answer.riding == "led, not ridden"  # every saddle has a girth
    assert ("girth_hole_by_hole", "") in answer.withheld
    assert "hold_along_the_girth" not in {key for key, _ in answer.steps}


def test_a_jumper_sore_along_the_whole_sling(ask: Ask) -> None:
    """common practice: three parts of the sling sore and more work; level ground and holds, and the girth is not named."""
    answer = ask(JUMPER_SORE_IN_THE_SLING)
    assert answer.band("thoracic_sling_sore", "left") == "strong"
    assert answer.band("thoracic_sling_sore", "right") in ("none", "against")
    steps = {
        ("level_ground_for_the_sling", ""),
        ("hold_before_the_shoulder_blade", "left"),
        ("hold_at_the_breast", "left"),
    }
    assert steps <= answer.steps
    assert answer.riding == "lightly"
    assert not {("girth_presses", "left"), ("girth_presses", "right")} & answer.supported


def test_a_sore_shoulder_across_from_an_uneven_fore_waits_for_the_veterinarian(ask: Ask) -> None:
    """common practice: the shoulder that carries for the other leg; the leg comes first and no hand works."""
    answer = ask(SHOULDER_AND_AN_UNEVEN_FORE)
    assert answer.band("shoulder_muscles_sore", "right") == "strong"
    assert answer.band("shoulder_muscles_sore", "left") in ("none", "against")
    assert ("uneven_in_front_slightly", "left") in answer.concerns
    assert {"hands_on_work", "riding"} <= answer.stops()
    kinds = {step.kind for step in answer.answer.plan.steps}
    assert kinds <= {"call", "look"}  # the veterinarian is asked, and the film that exists is read
    assert {("strokes_over_the_shoulder", "right"), ("hold_the_triceps", "right")} <= set(answer.withheld)
    assert ("against_the_shoulder_blade", "right") not in causes(answer)


def test_long_feet_are_read_before_the_knots_above_them(ask: Ask) -> None:
    """common practice: feet ten weeks old and long lead to a knotted lower neck and sore forearms; the farrier comes."""
    answer = ask(OVERDUE_FEET)
    assert answer.band("feet_overdue") == "strong"
    assert answer.starting_points == {("feet_overdue", "")}
    ends = {chain[-1][0] for chain in answer.chains()}
    assert {"lower_neck_knotted", "arm_and_forearm_sore"} <= ends
    assert ("farrier_due", "") in answer.steps
    assert ("loose_shoe_first", "") not in answer.steps
    assert ("farrier_for_the_pair", "left") not in answer.steps


def test_a_lost_shoe_with_a_hot_foot_is_not_due_feet(ask: Ask) -> None:
    """common practice: heat and strong pulses come before any farrier; nothing of the shoe stands in the plan."""
    answer = ask(SHOE_GONE_AND_FOOT_HOT)
    assert answer.level == "emergency"
    assert answer.steps == set()
    assert answer.band("feet_overdue") == "fair"
    for key in ("loose_shoe_first", "farrier_due", "hold_the_arm"):
        assert key not in {step for step, _ in answer.steps}
    cool = ask(SHOE_GONE_AND_FOOT_HOT.replace("hot with strong pulses", "cool and quiet"))
    assert ("loose_shoe_first", "") in cool.steps


def test_a_bigger_shoulder_pushes_the_saddle_to_the_other_side(ask: Ask) -> None:
    """common practice: left shoulder bigger, legs level, no lead: the saddle goes to the right, and that is one chain."""
    answer = ask(BIGGER_SHOULDER_PUSHES)
    assert answer.band("saddle_to_one_side", "right") == "strong"
    assert answer.band("saddle_to_one_side", "left") in ("none", "against")
    assert "away from the bigger shoulder" in answer.spoke("saddle_to_one_side", "right")
    assert (("bigger_shoulder_trait", "left"), ("saddle_to_one_side", "right")) in {c[:2] for c in answer.chains()}
    assert ("saddle_comes_over_look_at_the_legs", "right") in answer.concerns
    assert ("withers_pinch", "left") not in answer.supported  # the far withers are rubbed, not pinched


def test_a_saddle_that_goes_towards_the_bigger_shoulder_is_not_pushed_by_it(ask: Ask) -> None:
    """common practice: saddle, weak hind and bigger shoulder on one side are the limb pattern; no shim, a veterinarian."""
    answer = ask(TOWARDS_THE_BIGGER_SHOULDER)
    assert "away from the bigger shoulder" not in answer.spoke("saddle_to_one_side", "left")
    assert answer.band("saddle_to_one_side", "left") in ("none", "against")
    assert answer.band("saddle_follows_the_hind_limb", "left") == "fair"
    assert ("veterinarian_for_the_hind_limb", "left") in answer.steps
    assert not {key for key, _ in answer.steps} & {"shims_under_the_side"}


def test_an_uneven_pair_and_nothing_else_is_a_question_for_the_farrier(ask: Ask) -> None:
    """common practice: one steeper foot on a quiet horse names no cause, calls nobody and keeps it in work."""
    answer = ask(UNEVEN_PAIR_AND_NOTHING_ELSE)
    assert answer.band("uneven_fore_feet", "left") == "strong"
    assert answer.band("uneven_fore_feet", "right") == "against"
    assert causes(answer) == set()
    assert (answer.level, answer.riding) == ("none", "as usual")
    assert ("farrier_for_the_pair", "left") in answer.steps
    assert ("farrier_due", "") not in answer.steps


def test_one_easier_side_on_a_quiet_horse_is_a_habit_and_no_cause(ask: Ask) -> None:
    """common practice: bends to the left, right rein stronger, right shoulder bigger: even work, and no saddle is blamed."""
    answer = ask(ONE_EASIER_SIDE)
    assert answer.band("prefers_side", "left") == "strong"
    assert answer.band("prefers_side", "right") == "against"
    assert causes(answer) == set()
    assert answer.level == "none"
    assert ("both_reins_alike", "left") in answer.steps
    assert answer.band("saddle_to_one_side", "left") in ("none", "against")


def test_nothing_found_in_front_stays_nothing_found(ask: Ask) -> None:
    """common practice: two and three of ten alike, a preferred lead, feet in order: no pattern, no cause, nobody called."""
    answer = ask(NOTHING_FOUND_IN_FRONT)
    assert causes(answer) == set()
    mine = ("thoracic_sling_sore", "shoulder_muscles_sore", "girth_line_sore", "arm_and_forearm_sore", "girth_presses",
            "bigger_shoulder_trait", "uneven_fore_feet", "prefers_side")  # fmt: skip
    assert {key for key, _ in answer.supported} & {*mine, "feet_overdue"} == set()
    assert answer.level == "none"
    bodywork = {page.id for page in shipped().book.actions.values() if page.kind == "bodywork"}
    assert {key for key, _ in answer.steps} & bodywork == set()


def test_old_knots_on_the_shoulder_are_crossed_and_fresh_ones_are_not(ask: Ask) -> None:
    """common practice: across the fibres only where it is old and below 5; the same shoulder after fast work is left."""
    answer = ask(OLD_KNOTS_ON_THE_SHOULDER)
    assert answer.band("shoulder_muscles_sore", "left") == "fair"
    assert ("cross_fibre_over_the_shoulder", "left") in answer.steps
    fresh = ask(OLD_KNOTS_ON_THE_SHOULDER.replace("speed work: none in 3 days", "speed work: in the last 3 days"))
    assert ("cross_fibre_over_the_shoulder", "left") not in fresh.steps
    sorer = ask(OLD_KNOTS_ON_THE_SHOULDER.replace("{soreness: 4.5, felt: [hard]}", "{soreness: 5, felt: [hard]}"))
    assert ("cross_fibre_over_the_shoulder", "left") not in sorer.steps
    assert ("strokes_over_the_shoulder", "left") in sorer.steps


@pytest.mark.parametrize("side", ["left", "right"])
def test_no_side_is_assumed_where_nobody_looked(side: str, ask: Ask) -> None:
    """common practice: without a look at shoulders, feet and bend there is no bigger, no steeper and no easier side."""
    answer = ask("settled under the hand: seen\npalpation: {withers: {both: 3}}")
    for trait in ("bigger_shoulder_trait", "uneven_fore_feet", "prefers_side"):
        assert answer.certainty(trait, side) == 0.0


def test_a_preferred_lead_over_quiet_places_is_no_cause_in_any_degree(ask: Ask) -> None:
    """common practice: most horses prefer a lead; where nothing answers it gives no cause, not even a slight one, and no step."""
    for felt in ("0", "1"):
        places = "".join(f"  {p}: {{both: {felt}}}\n" for p in ("withers", "long back", "croup", "shoulder blade front",
                         "shoulder blade rear", "behind the shoulder blade", "loin"))  # fmt: skip
        answer = ask(
            f"palpation:\n{places}in hand: {{trot in hand: even, both reins: seen}}\nridden: {{lead preferred: left}}\n"
        )
        assert answer.band("prefers_lead", "left") == "strong"
        assert {key for key, _ in answer.supported} & CAUSES == set()
        assert (answer.concerns, answer.steps) == (set(), set())
