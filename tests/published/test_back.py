"""Back, quarters, load and sides against published work: direction, limit and side, never the wording alone.

In: visits in which one thing differs. Out: which way the answer goes. Confidence is written beside each source.
Not here: the trade's own cases (tests/cases/test_back.py), saddle slip (test_saddle_slip.py).
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from tests.asking import Asked, shipped

Ask = Callable[[str], Asked]
BOOK = shipped().book
FORE, HIND = "spares_a_foreleg", "spares_a_hind_limb"
SIDES = ("left", "right")


def step(**legs: str) -> str:
    """Uneven steps of the legs named, such as left_fore="slight"."""
    return "uneven steps: {" + ", ".join(f"{leg.replace('_', ' ')}: {word}" for leg, word in legs.items()) + "}\n"


def withers(side: str) -> str:
    return f"in hand: {{withers at the trot: {side}}}\n"


# -- which end is looked at first --------------------------------------------------------------------------------------


def test_head_and_withers_on_one_side_speak_for_that_foreleg(ask: Ask) -> None:
    """CO06, Rhodin 2018 (high): a fore made uneven moved the withers to the same side as the head."""
    nod = step(left_fore="slight")
    same = ask(withers("left") + nod)
    assert same.certainty(FORE, "left") > ask(nod).certainty(FORE, "left")
    assert same.certainty(FORE, "left") > same.certainty(HIND, "left")
    assert same.starting_points == {(FORE, "left")}


def test_head_and_withers_at_odds_speak_for_the_hind_of_the_heads_side(ask: Ask) -> None:
    """CO05, Rhodin 2018 (high): a hind made uneven moved the withers to the OPPOSITE side."""
    odds = ask(withers("right") + step(left_fore="slight"))
    assert odds.band(HIND, "left") == "fair"
    assert odds.band(FORE, "left") in ("none", "against")
    assert odds.certainty(HIND, "right") <= 0.2
    assert odds.starting_points == {(HIND, "left")}


def test_the_withers_alone_name_no_leg(ask: Ask) -> None:
    """CO05 with CO06, Rhodin 2018 (high): one sign goes with two legs, so without the head it makes neither."""
    alone = ask(withers("left"))
    assert not {FORE, HIND} & {key for key, _ in alone.supported}


def test_the_same_side_goes_to_the_hind_and_across_to_the_fore(ask: Ask) -> None:
    """CO08, Maliye and Marshall 2016 (high); CO10 the rule made of it (medium-high, carried as medium)."""
    same = ask(step(left_hind="slight", left_fore="slight"))
    assert same.certainty(HIND, "left") > same.certainty(FORE, "left")
    across = ask(step(left_hind="slight", right_fore="slight"))
    assert across.certainty(FORE, "right") > across.certainty(HIND, "left")
    rules = {e.rule: e for e in BOOK.conclusions[FORE].evidence} | {e.rule: e for e in BOOK.conclusions[HIND].evidence}
    assert rules["the hind across looks uneven too"].sure == rules["the foreleg across is uneven"].sure == "medium"


@pytest.mark.parametrize(("end", "key"), [("fore", FORE), ("hind", HIND)])
def test_whatever_end_it_is_the_steps_are_seen_before_any_hand(ask: Ask, end: str, key: str) -> None:
    """MA09, reading of Bergh 2022 and the trials beside it (high).

    No massage study stands in for a veterinarian where steps are uneven.
    """
    answer = ask(step(**{f"left_{end}": "slight"}) + "palpation: {croup: {left: 6, right: 6}, long back: {both: 5}}")
    assert (key, "left") in answer.supported
    assert not [s.key for s in answer.answer.plan.steps if s.kind in ("bodywork", "exercise", "tack")]
    assert [s.key for s in answer.answer.plan.steps if s.kind == "call"]
    wanted = [a.id for a in BOOK.actions.values() if re.search(key, repr(a.wanted_by))]
    assert {BOOK.actions[name].kind for name in wanted} == {"call", "look"}


# -- where the load goes ---------------------------------------------------------------------------------------------


def test_the_load_of_an_uneven_fore_goes_to_the_other_fore_and_the_hind_across(ask: Ask) -> None:
    """CO12-CO13, Weishaupt 2006 and 2008 (high); CO14 soreness there is inference (medium)."""
    rule = "sore where the load would go"
    nod = step(left_fore="slight")
    for place in ("triceps", "croup", "rear hamstring"):
        assert rule in ask(nod + f"palpation: {{{place}: {{left: 1, right: 6}}}}").spoke(FORE, "left")
        assert rule not in ask(nod + f"palpation: {{{place}: {{left: 6, right: 1}}}}").spoke(FORE, "left")
    load = next(e for e in BOOK.conclusions[FORE].evidence if e.rule == rule)
    assert (load.sure, load.points) == ("medium", "slight")


def test_the_load_of_an_uneven_hind_goes_to_the_other_hind_only(ask: Ask) -> None:
    """CO11, CO13, Weishaupt 2004 and 2008 (high): the other hind; CO14 medium. The shoulder beside it adds nothing."""
    rule = "sore where the load would go"
    uneven = step(left_hind="slight")
    assert rule in ask(uneven + "palpation: {croup: {left: 1, right: 6}}").spoke(HIND, "left")
    assert rule not in ask(uneven + "palpation: {croup: {left: 6, right: 1}}").spoke(HIND, "left")
    assert rule not in ask(uneven + "palpation: {triceps: {left: 6, right: 6}}").spoke(HIND, "left")


@pytest.mark.parametrize("place", ["triceps", "croup", "rear hamstring", "outer hamstring"])
def test_soreness_alone_never_makes_a_spared_leg(ask: Ask, place: str) -> None:
    """CO14, an inference from Weishaupt 2004, 2006 and 2008 (medium).

    The shift of load was measured, the soreness was not.
    """
    answer = ask(f"palpation: {{{place}: {{left: 1, right: 8}}}}")
    assert not {FORE, HIND} & {key for key, _ in answer.supported}


# -- the rising seat ---------------------------------------------------------------------------------------------------


def test_one_diagonal_of_the_rising_seat_takes_away_from_a_weak_hind(ask: Ask) -> None:
    """CO17, Persson-Sjodin 2018 (high): the rising seat imitates a weaker push-off; a push seen in hand stands."""
    drag = "in hand: {toe drag: left}\n"
    one = ask(drag + "ridden: {trot under the rider: uneven on one diagonal}")
    both = ask(drag + "ridden: {trot under the rider: uneven on both diagonals}")
    assert one.certainty("hind_pushes_off_less", "left") < both.certainty("hind_pushes_off_less", "left")
    assert one.band("hind_pushes_off_less", "left") == "slight"
    in_hand = ask("in hand: {hind push off: left}\nridden: {trot under the rider: uneven on one diagonal}")
    assert in_hand.band("hind_pushes_off_less", "left") == "fair"


def test_one_diagonal_alone_calls_no_leg(ask: Ask) -> None:
    """CO17, Persson-Sjodin 2018 (high): under a rider on one diagonal and nothing in hand is no leg at all."""
    answer = ask("ridden: {trot under the rider: uneven on one diagonal}")
    assert not {HIND, "hind_pushes_off_less"} & {key for key, _ in answer.supported}


# -- muscle ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("place", ["loin", "beside the spines"])
def test_lost_muscle_is_read_on_its_own_side_and_asks_for_a_deeper_look(ask: Ask, place: str) -> None:
    """M05, Stubbs 2010 (high): 16 of 17 had the loss on the side of the bone; A13: a reason to look, not an answer."""
    felt = (
        f"palpation: {{{place}: {{left: {{soreness: 0, felt: [hollow]}}, right: {{soreness: 0, felt: [nothing]}}}}}}\n"
    )
    answer = ask(felt)
    assert answer.band("less_muscle_on_one_side", "left") == "fair"
    assert answer.band("less_muscle_on_one_side", "right") == "none"
    plain = ask(felt + "standing square: {smaller quarter: left}")
    assert ("veterinarian_for_lost_muscle", "left") in plain.steps
    assert ("veterinarian_for_lost_muscle", "right") not in plain.steps


def test_one_larger_side_of_the_withers_is_how_horses_are(ask: Ask) -> None:
    """L11, Merkies 2020 (high): almost six in ten larger on one side; B06: backs hardly differed."""
    answer = ask("palpation: {withers: {left: {soreness: 0, felt: [nothing]}, right: {soreness: 0, felt: [hollow]}}}")
    assert {answer.band("less_muscle_on_one_side", side) for side in SIDES} == {"none"}
    assert not {"veterinarian_for_lost_muscle", "poles_in_hand"} & {key for key, _ in answer.steps}


BENDS = """
palpation: {long back: {left: {soreness: 5, response: tightens}, right: 1}, behind the poll: {both: 1}, upper neck: {both: 1}}
in hand: {trot in hand: even, both reins: seen}
"""


def test_the_bends_are_given_as_they_were_tried_and_looked_at_when_muscle_had_grown(ask: Ask) -> None:
    """M02, Stubbs 2011 (high): five of each, five days a week, three months; M04, M09 (high, medium).

    Four weeks for the first look.
    """
    answer = ask(BENDS)
    dose = next(s.dose for s in answer.answer.plan.steps if s.key == "mobilisation_exercises")
    assert re.search(r"Five of\s+each, once a day, five days a week", dose)
    assert "four weeks" in dose
    assert "twelve" in dose
    expects = BOOK.actions["mobilisation_exercises"].expects
    assert {e.by_days for e in expects} == {28}
    assert BOOK.actions["measure_and_photograph_the_back"].recheck_days == 28
    uneven = ask(BENDS.replace("trot in hand: even", "trot in hand: uneven"))
    assert ("mobilisation_exercises", "") not in uneven.steps


# -- the hand on the back ----------------------------------------------------------------------------------------------


def test_one_dip_is_no_guarding_and_a_held_back_is(ask: Ask) -> None:
    """PR5, PR6, Baxter 2020 (high): one dip is common in quiet horses; reluctance suggests guarding."""
    sore = "palpation: {loin: {left: {soreness: 4, response: tightens}, right: 1}, long back: {left: 4, right: 1}}\n"
    dips, stiff = (
        ask(sore + f"standing square: {{press along the back: {word}}}") for word in ("one dip", "held stiff")
    )
    for key in ("lumbar_back_guards", "thoracic_back_guards"):
        assert stiff.band(key, "left") == "fair"
        assert stiff.certainty(key, "left") > ask(sore).certainty(key, "left") >= dips.certainty(key, "left")
        assert stiff.certainty(key, "right") <= 0.0  # the stroke has no side: the quiet side stays quiet
    assert dips.band("lumbar_back_guards", "left") in ("none", "against")


def test_a_difference_between_the_sides_counts_where_the_number_does_not(ask: Ask) -> None:
    """A01, A04, Haussler and Erb 2006, Varcoe-Cocks 2006 (high): sides usually alike; no published cut-off."""
    even, apart = ask("palpation: {croup: {both: 2}}"), ask("palpation: {croup: {left: 2, right: 0}}")
    assert "more than on the other side" in apart.spoke("croup_sore", "left")
    assert "more than on the other side" not in even.spoke("croup_sore", "left")
    assert apart.certainty("croup_sore", "left") > even.certainty("croup_sore", "left")
    rule = next(e for e in BOOK.conclusions["croup_sore"].evidence if e.rule == "more than on the other side")
    assert "own setting" in rule.basis


def test_a_bad_canter_leans_to_a_croup_that_answers_and_makes_none(ask: Ask) -> None:
    """DX12, Barstow and Dyson 2015 (high): canter worse in 81 of 100 with the top of the croup alone."""
    canter = "ridden: {canter against trot: canter worse}\n"
    sore = "palpation: {croup: {left: 4, right: 3}}\n"
    assert ask(sore).band("croup_sore", "left") == "slight"
    assert ask(sore + canter).band("croup_sore", "left") == "fair"
    assert ask(canter).certainty("croup_sore", "left") == 0.0


def test_dislike_of_tacking_up_leans_to_the_back_and_dislike_of_the_girth_hardly_to_the_belly(ask: Ask) -> None:
    """P28, Dyson 2021 (high): sore back muscles went with it; DX15 (high): 12 stomach, 10 bones, 3 saddle of 37."""
    back = "palpation: {long back: {both: 4}}\n"
    assert ask(back + "tacked up: {girthed: {saddling: mild dislike}}").band("thoracic_back_guards", "left") == "fair"
    assert ask(back + "tacked up: {girthed: {saddling: quiet}}").band("thoracic_back_guards", "left") == "slight"
    girth = ask("tacked up: {girthed: {girthing: marked dislike}}")
    assert {girth.band("belly_wall_sore", side) for side in SIDES} == {"none"}


def test_soreness_of_fast_work_is_read_as_work_for_three_days(ask: Ask) -> None:
    """DM07 (medium, by analogy from people): one to three days; rested, the same thigh is not put down to work."""
    thigh = "palpation: {rear hamstring: {both: 5}, croup: {both: 5}}\n"
    lately = ask("before the visit: {speed work: in the last 3 days}\n" + thigh)
    rested = ask("before the visit: {speed work: none in 3 days}\n" + thigh)
    assert "fast work, or more than it is used to" in lately.spoke("hamstrings_sore", "left")
    assert "fast work, or more than it is used to" not in rested.spoke("hamstrings_sore", "left")
    assert lately.certainty("worked_hard_lately") > rested.certainty("worked_hard_lately")
