"""Fact 5 of the trade: the one-sided pattern and the limb pattern look alike from behind, and are told apart.

In: visits in which the saddle comes to one side. Out: the pattern, who looks first, and what stays not checked.
Not here: what is done about the one-sided pattern (fact 6), the published counts (tests/published).
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.asking import Asked

Ask = Callable[[str], Asked]
SADDLE, LIMB, HIND = "saddle_to_one_side", "saddle_follows_the_hind_limb", "hind_pushes_off_less"
PROOF = """
settled under the hand: seen
palpation:
  shoulder blade front: {left: 1, right: 4}
  shoulder blade rear: {left: 0, right: 4}
  behind the shoulder blade: {left: 0, right: {soreness: 5, depth: deep}}
  withers: {left: {soreness: 3, depth: surface, felt: nothing}, right: 1}
  croup: {CROUP}
in hand: {trot in hand: even, both reins: seen, hind push off: WEAK}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
tacked up: {saddle: {type: with bars, panels: even, tree width: looks right}, rests: right}
ridden: {lead preferred: left, saddle comes to: right, seen on: both reins}
"""
ONE_SIDED = PROOF.replace("WEAK", "left").replace("CROUP", "left: 1, right: 1")
OF_THE_LIMB = PROOF.replace("WEAK", "right").replace("CROUP", "left: 1, right: 4").replace("lead preferred: left, ", "")


def test_5_left_lead_weight_right_saddle_right(ask: Ask) -> None:
    """common practice: prefers the left lead, drops its weight on the right fore, the saddle comes to the right."""
    answer = ask(ONE_SIDED)
    assert (answer.band(SADDLE, "right"), answer.band(HIND, "left")) == ("strong", "strong")
    assert answer.band("weight_on_one_fore", "right") == "fair"
    assert "the shoulder is tighter on this side" in answer.spoke("weight_on_one_fore", "right")
    assert answer.starting_points == {("prefers_lead", "left")}
    way = (("prefers_lead", "left"), ("weight_on_one_fore", "right"), (SADDLE, "right"))
    assert any(chain[:3] == way for chain in answer.chains())


def test_5_it_presses_deep_on_its_own_side_and_rubs_the_far_withers(ask: Ask) -> None:
    """common practice: deep behind the blade on the saddle's side; the far withers on the surface, and less."""
    answer = ask(ONE_SIDED)
    accounted = {(f.where, answer.side(f.side)) for f in answer.concluded(SADDLE, "right").accounts_for}
    assert {("behind_the_shoulder_blade", "right"), ("withers", "left")} <= accounted
    assert not {("behind_the_shoulder_blade", "left"), ("withers", "right")} & accounted
    deep = ask(ONE_SIDED.replace("{soreness: 3, depth: surface, felt: nothing}", "{soreness: 3, depth: deep}"))
    accounted = {(f.where, deep.side(f.side)) for f in deep.concluded(SADDLE, "right").accounts_for}
    assert ("withers", "left") not in accounted
    assert answer.answer.explanation.account.unexplained == ()


def test_5_a_surface_rub_on_the_far_withers_is_no_pinch(ask: Ask) -> None:
    """common practice: the withers that hold the saddle are rubbed; that is not a saddle that pinches."""
    answer = ask(ONE_SIDED)
    assert answer.band("withers_pinch", "left") in ("none", "against")
    assert "only the skin and the saddle goes to the other side" in answer.spoke("withers_pinch", "left")


def test_5_even_the_full_pattern_asks_for_the_hind_on_the_saddle_side(ask: Ask) -> None:
    """common practice: with the right hind to be looked at too, and the veterinarian asked before the next session."""
    answer = ask(ONE_SIDED.replace("left hind: even, right hind: even", "left hind: even"))
    assert ("look_at_the_hind_limb", "right") in answer.steps
    assert ("saddle_comes_over_look_at_the_legs", "right") in answer.concerns
    assert (answer.level, answer.stops()) == ("routine", set())


def test_5_the_weak_hind_on_the_saddle_side_is_the_limb_pattern(ask: Ask) -> None:
    """common practice: saddle to the weak hind's side is the limb pattern, and the veterinarian's."""
    answer = ask(OF_THE_LIMB)
    assert answer.band(LIMB, "right") in ("fair", "strong")
    assert answer.band(SADDLE, "right") in ("none", "slight")
    assert (HIND, "right") in answer.starting_points
    assert SADDLE not in {key for key, _ in answer.starting_points}
    assert "to the side of the hind that pushes off less" in answer.spoke(SADDLE, "right")
    assert ("saddle_goes_to_the_weaker_hind", "right") in answer.concerns
    assert ("veterinarian_for_the_hind_limb", "right") in answer.steps
    assert {"riding", "exercises"} <= answer.stops()
    assert answer.riding == "not until the veterinarian has seen it"
    assert not {key for key, _ in answer.steps} & {"shims_under_the_side", "stirrup_trial", "straightening_in_hand"}


def test_5_the_same_saddle_with_the_hinds_changed_over_changes_the_answer(ask: Ask) -> None:
    """common practice: both stand side by side; only the side of the weak hind tells one from the other."""
    one, limb = ask(ONE_SIDED), ask(OF_THE_LIMB)
    assert one.certainty(SADDLE, "right") > one.certainty(LIMB, "right")
    assert limb.certainty(LIMB, "right") > limb.certainty(SADDLE, "right")
    assert one.band(LIMB, "right") in ("none", "against")
    assert one.band(LIMB, "left") == limb.band(LIMB, "left")  # the saddle does not go there in either


@pytest.mark.parametrize("degree", ["slight", "marked"])
def test_5_an_uneven_step_on_the_saddle_side_is_the_limb_pattern_too(ask: Ask, degree: str) -> None:
    """common practice: uneven steps no veterinarian has seen stop hands-on work and riding at every degree."""
    text = ONE_SIDED.replace("right hind: even", f"right hind: {degree}").replace(
        "hind push off: left", "toe drag: none"
    )
    answer = ask(text.replace("lead preferred: left, ", ""))
    assert answer.certainty(LIMB, "right") > answer.certainty(SADDLE, "right")
    assert {"hands_on_work", "riding"} <= answer.stops()
    assert answer.level == {"slight": "routine", "marked": "prompt"}[degree]


def test_5_slip_with_no_trot_up_is_routine_and_the_legs_stay_not_looked_at(ask: Ask) -> None:
    """common practice: a saddle that comes over with no trot-up recorded is routine; the legs stay in the answer."""
    answer = ask("ridden: {saddle comes to: right, seen on: both reins}")
    assert answer.level == "routine"
    assert answer.concerns == {("saddle_comes_over_look_at_the_legs", "right")}
    assert answer.band(SADDLE, "right") == "fair"
    unchecked = {u.where for u in answer.answer.explanation.not_checked}
    assert {"hind_step", "hind_push_off", "trot_in_hand"} <= unchecked
    named = {one.name for one in answer.answer.explanation.not_checked}
    assert {"hind step", "weaker hind push-off", "trot in hand"} <= named
    assert {key for key, _ in answer.steps} & {"shims_under_the_side", "stirrup_trial"} == set()
    assert any("has not been seen to trot evenly" in s for s in answer.withheld["shims_under_the_side", "right"])


def test_5_a_trot_up_closes_that_question_and_only_that(ask: Ask) -> None:
    """common practice: once trotted up, the trot no longer stands under not checked; the routine concern does."""
    answer = ask(
        "in hand: {trot in hand: even, both reins: seen, hind push off: even}\n"
        "uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}\n"
        "ridden: {saddle comes to: right, seen on: both reins}"
    )
    assert answer.level == "routine"
    assert not {"hind_step", "hind_push_off", "trot_in_hand"} & {u.where for u in answer.answer.explanation.not_checked}
