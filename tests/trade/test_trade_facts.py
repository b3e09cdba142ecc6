"""Facts 1-4, 7, 9 and 10 of the trade, asked of the whole reasoner. Basis: common practice, no source.

In: visits as a practitioner writes them. Out: what the trade would say to them.
Not here: the two saddle patterns, the shims, the spines (files of their own beside this one).
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.asking import Asked

Ask = Callable[[str], Asked]
BRACHIO = "brachiocephalicus_overwork"


def ends(poll: str, arm: str, *more: str) -> str:
    """A visit in which the two ends of the left brachiocephalicus were graded, the right one quiet."""
    return "\n".join(
        [
            "settled under the hand: seen",
            "palpation:",
            f"  behind the poll: {{left: {poll}, right: 1}}",
            f"  front of the upper arm: {{left: {arm}, right: 1}}",
            *more,
        ]
    )


HIGH = "ridden: {head at the trot: carried high and steady}"
NODS = "ridden: {head at the trot: nods every stride}"


# -- 1: both attachments ---------------------------------------------------------------------------------------------


def test_1_both_attachments_mean_overwork(ask: Ask) -> None:
    """common practice: sore behind the poll AND at the humerus, it is overworked drawing the foreleg forward."""
    answer = ask(ends("6", "6"))
    assert answer.band(BRACHIO, "left") == "strong"
    assert answer.spoke(BRACHIO, "left") == {"sore at both ends"}
    assert answer.band(BRACHIO, "right") == "against"


@pytest.mark.parametrize(("poll", "arm"), [("10", "0"), ("0", "10"), ("6", "1"), ("1", "6")])
@pytest.mark.parametrize("more", [(), (HIGH,)], ids=["alone", "head high"])
def test_1_one_attachment_says_much_less(ask: Ask, poll: str, arm: str, more: tuple[str, ...]) -> None:
    """common practice: one alone, however sore, is at most a slight pointer, with a high head too."""
    answer = ask(ends(poll, arm, *more))
    assert answer.band(BRACHIO, "left") in ("none", "slight")
    assert "sore at both ends" not in answer.spoke(BRACHIO, "left")


def test_1_guarding_an_attachment_counts_as_sore(ask: Ask) -> None:
    """common practice: would not allow touch is a finding; quiet and not examined are not."""
    assert "sore at both ends" in ask(ends("would not allow touch", "5")).spoke(BRACHIO, "left")
    assert "sore at both ends" not in ask(ends("not examined - no time", "5")).spoke(BRACHIO, "left")


def test_1_with_one_end_sore_the_other_end_is_looked_at_first(ask: Ask) -> None:
    """common practice: too little to say, and the first thing to feel is the other end of the same muscle."""
    for here, there in (("behind_the_poll", "front_of_the_upper_arm"), ("front_of_the_upper_arm", "behind_the_poll")):
        answer = ask(f"palpation: {{{here}: {{left: 5, right: 1}}}}")
        account = answer.answer.explanation.account
        assert account.too_little
        assert (there, "left") in {(u.where, answer.side(u.side)) for u in account.look_at}


def test_1_a_high_head_goes_with_it_and_a_nod_does_not(ask: Ask) -> None:
    """common practice: a head carried high goes with it; a nod every stride is uneven steps and speaks against."""
    without = ask(ends("5", "5")).certainty(BRACHIO, "left")
    high, nods = ask(ends("5", "5", HIGH)), ask(ends("5", "5", NODS))
    assert nods.certainty(BRACHIO, "left") < without < high.certainty(BRACHIO, "left")
    assert "a nod or an uneven foreleg" in nods.spoke(BRACHIO, "left")
    assert ("uneven_at_the_trot", "") in nods.concerns
    assert high.concerns == set()


# -- 2: attachments before the belly, knots for long -----------------------------------------------------------------


def test_2_a_sore_belly_alone_makes_no_overwork(ask: Ask) -> None:
    """common practice, kept weak: the ends come first; the belly alone is no pointer, with both ends quiet against."""
    alone = ask("palpation: {neck strap: {left: 6, right: 1}}")
    assert alone.band(BRACHIO, "left") == "none"
    assert alone.spoke(BRACHIO, "left") == {"the belly of the muscle is sore"}
    assert ask(ends("1", "1", "  neck strap: {left: 6, right: 1}")).band(BRACHIO, "left") == "against"


def test_2_the_knot_and_not_the_sore_belly_speaks_for_long_standing(ask: Ask) -> None:
    """common practice: knots and spasm mean it has gone on for long; a belly as sore as the ends does not."""
    for felt in ("knot", "spasm"):
        knotted = ask(ends("4", "4", f"  neck strap: {{left: {{soreness: 4, felt: {felt}}}, right: 1}}"))
        assert knotted.band("long_standing") == "fair"
    sore = ask(ends("6", "6", "  neck strap: {left: {soreness: 6, felt: nothing}, right: 1}"))
    assert sore.band("long_standing") == "none"


# -- 3: the pinch ----------------------------------------------------------------------------------------------------

PINCH = """
before the visit: {ridden hard: none in 3 days, painkillers: none}
settled under the hand: seen
palpation:
  withers: {both: {soreness: 5, depth: surface}}
  behind the poll: {both: 4}
  front of the upper arm: {both: 4}
  long back: {both: 4}
  croup: {both: 4}
in hand: {trot in hand: even, both reins: seen, back carriage: hollow}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
tacked up: {saddle: {type: panelled, front: FRONT, panels: even, tree width: WIDTH}}
ridden: {head at the trot: carried high and steady, back under saddle: held hollow, saddle comes to: straight}
after work: {dry patch: {left: seen, right: seen}}
"""


def pinch(front: str = "level", width: str = "looks right") -> str:
    """An even pinch under a saddle of this look."""
    return PINCH.replace("FRONT", front).replace("WIDTH", width)


def test_3_a_pinch_leads_to_a_hollow_back_and_that_to_the_neck(ask: Ask) -> None:
    """common practice: pinched at the withers it hollows its back, which overworks quarters and brachiocephalicus."""
    answer = ask(pinch())
    assert {("withers_pinch", "left"), ("withers_pinch", "right"), ("back_held_hollow", "")} <= answer.supported
    for side in ("left", "right"):
        for neck in ("left", "right"):
            assert (("withers_pinch", side), ("back_held_hollow", ""), (BRACHIO, neck)) in answer.chains()
    assert answer.starting_points == {("withers_pinch", "left"), ("withers_pinch", "right")}
    assert answer.answer.explanation.account.unexplained == ()


def test_3_without_sore_withers_there_is_no_pinch_to_lead_anywhere(ask: Ask) -> None:
    """common practice: the chain begins at the sore trapezius and not at the hollow back."""
    answer = ask(pinch().replace("withers: {both: {soreness: 5, depth: surface}}", "withers: {both: 1}"))
    assert not {("withers_pinch", "left"), ("withers_pinch", "right")} & answer.starting_points
    assert ("back_held_hollow", "") in answer.starting_points


@pytest.mark.parametrize("front", ["level", "high", "low"])
def test_3_a_pinch_claims_no_tree_width(ask: Ask, front: str) -> None:
    """common practice: narrow and wide have opposite remedies; neither conclusion nor step says which it is."""
    answer = ask(pinch(front))
    said = [f"{c.words} {c.plain}" for c in answer.answer.explanation.supported()]
    said += [f"{s.words} {s.plain}" for s in answer.answer.plan.steps]
    said += [f"{t.words} {t.stop_and_ring_me_if}" for t in answer.answer.plan.owner_tasks]
    assert any("withers" in sentence for sentence in said)
    assert [sentence for sentence in said if "narrow" in sentence or "wide" in sentence] == []
    assert ("fitter_for_the_front", "") in answer.steps


def test_3_the_width_seen_changes_nothing_about_the_pinch(ask: Ask) -> None:
    """common practice: a narrow and a wide tree both pinch; the width is a question of its own."""
    seen = {width: ask(pinch(width=width)) for width in ("looks narrow", "looks right", "looks wide")}
    assert len({answer.certainty("withers_pinch", "left") for answer in seen.values()}) == 1


# -- 4: the loin -----------------------------------------------------------------------------------------------------


def loin(work: str, left: str, right: str, *more: str) -> str:
    """A visit in which the loin was felt and the last days asked for."""
    return "\n".join(
        [
            f"before the visit: {{ridden hard: {work}}}",
            "settled under the hand: seen",
            f"palpation: {{loin: {{left: {left}, right: {right}}}}}",
            *more,
        ]
    )


HARD, RESTED = "in the last 3 days", "none in 3 days"


def test_4_the_loin_answers_after_hard_work(ask: Ask) -> None:
    """common practice: ridden hard in the last days, both sides answer; the work accounts for it."""
    answer = ask(loin(HARD, "5", "5"))
    assert answer.band("worked_hard_lately") == "fair"
    assert answer.starting_points == {("worked_hard_lately", "")}
    assert answer.answer.explanation.account.unexplained == ()


def test_4_an_answer_in_a_rested_horse_is_not_explained_by_work(ask: Ask) -> None:
    """common practice: in a rested horse something else is looked for."""
    answer = ask(loin(RESTED, "5", "5"))
    assert answer.band("worked_hard_lately") == "against"
    assert answer.band("loin_answers", "left") == answer.band("loin_answers", "right") == "fair"
    assert not [key for key, _ in answer.steps if key == "rest_after_hard_work"]


def test_4_quiet_in_a_rested_horse_says_nothing(ask: Ask) -> None:
    """common practice: a quiet loin in a rested horse moves no conclusion but the loin's own."""
    quiet = ask(loin(RESTED, "0", "0"))
    unfelt = ask(f"before the visit: {{ridden hard: {RESTED}}}\nsettled under the hand: seen")
    moved = {
        key
        for key, found in quiet.answer.explanation.concluded.items()
        if found.certainty != unfelt.answer.explanation.concluded[key].certainty
    }
    assert moved == {("loin_answers", "left"), ("loin_answers", "right")}


def test_4_the_side_that_flinches_more_is_weak_and_opens_the_hind_limb(ask: Ask) -> None:
    """common practice: more on one side leans to that lead, and equally asks for hind limb and top of the croup."""
    answer = ask(loin(RESTED, "6", "2"))
    assert answer.spoke("prefers_lead", "left") == {"the loin flinches more on this side"}
    assert answer.band("prefers_lead", "left") == "none"
    assert answer.band("prefers_lead", "right") == "none"
    assert {("look_at_the_hind_limb", "left")} == {step for step in answer.steps if step[0] == "look_at_the_hind_limb"}
    unchecked = answer.unchecked("hind_pushes_off_less", "left")
    assert {"hind_push_off", "top_of_the_croup", "hind_step"} <= unchecked


# -- 7: three of ten -------------------------------------------------------------------------------------------------


def test_7_three_of_ten_even_cool_and_settled_is_mild_and_common(ask: Ask) -> None:
    """common practice: 3 on both sides explains nothing, raises nothing and asks for no step."""
    answer = ask(
        "settled under the hand: seen\n"
        "palpation: {withers: {both: 3}, behind the shoulder blade: {both: 3}, girth line: {both: 3}}"
    )
    assert answer.supported == set()
    assert answer.answer.explanation.notable == ()
    assert (answer.level, answer.steps) == ("none", set())
    for side in ("left", "right"):
        assert answer.band("against_the_shoulder_blade", side) == answer.band("withers_pinch", side) == "against"


def test_7_speed_work_alone_can_cause_more_under_the_shoulder(ask: Ask) -> None:
    """common practice: after fast work five of ten under both shoulders is the work before it is the saddle."""
    under = "settled under the hand: seen\npalpation: {behind the shoulder blade: {both: 5}}"
    fast = ask("before the visit: {speed work: in the last 3 days}\n" + under)
    slow = ask("before the visit: {speed work: none in 3 days}\n" + under)
    assert fast.supported == {("worked_hard_lately", "")}
    assert fast.band("against_the_shoulder_blade", "left") == "against"
    assert slow.certainty("against_the_shoulder_blade", "left") > fast.certainty("against_the_shoulder_blade", "left")
    assert ("worked_hard_lately", "") not in slow.supported


@pytest.mark.parametrize(("left", "right", "differs"), [("4", "3", False), ("4", "3.5", False), ("5", "3", True)])
def test_7_a_difference_of_one_is_no_difference(ask: Ask, left: str, right: str, differs: bool) -> None:
    """own setting: only more than 1 between the sides is a difference."""
    answer = ask(loin(RESTED, left, right))
    assert ("the loin flinches more on this side" in answer.spoke("prefers_lead", "left")) is differs
    assert "the loin flinches more on this side" not in answer.spoke("prefers_lead", "right")


# -- 9: the lower neck -----------------------------------------------------------------------------------------------


def test_9_a_knotted_lower_neck_looks_in_front_and_infers_no_side(ask: Ask) -> None:
    """common practice: it goes with unevenness in front; the side of the knot is not the side of the leg."""
    answer = ask("palpation: {lower neck: {left: {soreness: 4, felt: knot}, right: 1}}")
    assert answer.band("lower_neck_knotted") == "fair"
    assert ("look_at_the_fore_end", "") in answer.steps
    assert {key for key, side in answer.supported if side} == set()
    assert {"fore_step", "trot_in_hand"} <= answer.unchecked("lower_neck_knotted")


def test_9_the_same_knot_on_either_side_says_the_same(ask: Ask) -> None:
    """common practice: no side is inferred, so the other side's knot gives the very same certainty."""
    left, right = (
        ask(f"palpation: {{lower neck: {{{here}: {{soreness: 4, felt: knot}}, {there}: 1}}}}")
        for here, there in (("left", "right"), ("right", "left"))
    )
    assert left.certainty("lower_neck_knotted") == right.certainty("lower_neck_knotted")
    assert left.starting_points == right.starting_points == {("lower_neck_knotted", "")}


# -- 10: settled under the hand --------------------------------------------------------------------------------------


def graded(settled: str, reading: str) -> str:
    """One sore place under one hand."""
    return f"settled under the hand: {settled}\npalpation: {{withers: {{left: {reading}, right: 1}}}}"


def test_10_scores_taken_before_it_settles_weigh_less(ask: Ask) -> None:
    """common practice: a horse that has not accepted the hand answers everything."""
    unsettled, settled = ask(graded("not seen", "6")), ask(graded("seen", "6"))
    assert 0.0 < unsettled.certainty("withers_pinch", "left") < settled.certainty("withers_pinch", "left")
    rule = unsettled.rules("withers_pinch", "left")["sore on this side"]
    assert rule.degree == pytest.approx(settled.rules("withers_pinch", "left")["sore on this side"].degree / 2)


def test_10_a_settled_second_reading_weighs_full(ask: Ask) -> None:
    """common practice: graded again once settled, the second number counts, and counts in full."""
    again = ask(graded("not seen", "{soreness: 9, once settled: 5}"))
    assert again.certainty("withers_pinch", "left") == ask(graded("seen", "5")).certainty("withers_pinch", "left")
    assert ("very_sore_or_threatens", "left withers") in again.concerns  # the first answer is still told


def test_10_nobody_wrote_whether_it_settled(ask: Ask) -> None:
    """Silence is no evidence: not written counts in full, and stands under not checked."""
    silent = ask("palpation: {withers: {left: 6, right: 1}}")
    assert silent.certainty("withers_pinch", "left") == ask(graded("seen", "6")).certainty("withers_pinch", "left")
    unchecked = silent.unchecked("withers_pinch", "left")
    assert "settled_under_the_hand" in unchecked
    assert not {"jaw_muscle", "loin", "croup"} & unchecked  # of the whole body only what this conclusion listens to
