"""Whole visits that end with the veterinarian: what is told first, what stops, what is folded, what nobody may say.

In: visits of 8 to 25 lines, as written and in the mirror. Out: level, concerns and side, plan steps or what holds them back.
Not here: single signs (the pages' own examples), published limits (tests/published). Basis: common practice, unless named.
"""

from __future__ import annotations

from collections.abc import Callable

from reasoner.rendering.assess_text import assess_text
from tests.asking import Asked

Ask = Callable[[str], Asked]
NOT_UNTIL = "not until the veterinarian has seen it"
QUIET_HORSE = """
visit: 2026-04-18
yard: Larkhope
examined by: Wren Aldous
settled under the hand: seen
hand pressure: moderate
before the visit: {ridden hard: none in 3 days, speed work: none in 3 days, painkillers: none, sedation: none,
  injection: none, appetite: eating, temper: usual, soreness onset: none}
at first sight: {attitude: bright, breathing: easy, standing: square, ten steps of walk: even}
"""


def keys(asked: Asked) -> set[str]:
    return {key for key, _ in asked.concerns}


def text(asked: Asked) -> str:
    return " ".join(assess_text(asked.answer).lower().split())


def causes(asked: Asked) -> set[str]:
    """Causes held for more than slight."""
    every = asked.answer.explanation.concluded.values()
    return {c.key for c in every if c.kind == "cause" and c.band in ("fair", "strong")}


def bodywork(asked: Asked) -> set[str]:
    return {s.key for s in asked.answer.plan.steps if s.kind == "bodywork"}


# -- seen only under the rider ----------------------------------------------------------------------------------------


def test_bramble_even_in_hand_and_uneven_under_the_rider(ask: Ask) -> None:
    """Even trotted up, uneven on both diagonals, count of nine: the legs come before the sore neck (Dyson and Pollard 2020)."""
    asked = ask(
        QUIET_HORSE
        + """
horse: {name: Bramble, sex: gelding, born: 2015, height: 164 cm, breed: warmblood}
in hand: {trot in hand: even, both reins: seen, hind push-off: even, toe drag: none, back carriage: level}
palpation:
  behind the poll: {left: 5, right: 5}
  front of the upper arm: {both: 5}
  loin: {both: 2}
quiet: {head: both}
ridden:
  trot under the rider: uneven on both diagonals
  ridden signs: 9
  canter against trot: same
  saddle comes to: straight
"""
    )
    assert asked.level == "routine"
    assert {"uneven_under_the_rider", "ridden_signs_at_the_total"} <= keys(asked)
    assert asked.riding == NOT_UNTIL
    assert not bodywork(asked)
    assert any("Not today" in why for many in asked.withheld.values() for why in many)
    assert not any(word in text(asked) for word in ("fault", "sound", "rider's hand is"))


def test_tansy_uneven_on_one_diagonal_only(ask: Ask) -> None:
    """The rising seat can do that by itself: nothing is stopped for it, and the neck may be worked on."""
    asked = ask(
        QUIET_HORSE
        + """
horse: {name: Tansy, sex: mare, born: 2016, height: 158 cm, in foal: no}
in hand: {trot in hand: even, both reins: seen, hind push-off: even, toe drag: none}
palpation:
  behind the poll: {left: 5, right: 5}
  front of the upper arm: {both: 5}
  loin: {both: 1}
ridden:
  trot under the rider: uneven on one diagonal
  ridden signs: 3
  saddle comes to: straight
"""
    )
    assert (asked.level, asked.concerns) == ("none", set())
    assert asked.riding != NOT_UNTIL
    assert bodywork(asked)


# -- the croup and the quarters ---------------------------------------------------------------------------------------


def test_juno_sore_on_top_of_the_croup_and_worse_in_canter(ask: Ask) -> None:
    """Answers on the right at first and less once settled, bucks into canter (Barstow and Dyson 2015): told by the worst."""
    asked = ask(
        QUIET_HORSE
        + """
horse: {name: Juno, sex: mare, born: 2013, height: 166 cm, in foal: no}
in hand: {trot in hand: even, both reins: seen, hind push-off: even}
palpation:
  top of the croup: {left: 1, right: {soreness: 5, once settled: 2}}
  croup: {left: 2, right: 3}
  loin: {left: 4, right: 4}
  long back: {both: 3}
ridden:
  canter against trot: canter worse
  saddle comes to: straight
"""
    )
    assert ("sore_top_of_the_croup_canter_worse", "right") in asked.concerns
    assert ("sore_top_of_the_croup_canter_worse", "left") not in asked.concerns
    assert {"riding", "exercises"} <= asked.stops()
    assert asked.riding == NOT_UNTIL
    assert not any(s.kind in ("exercise", "rider") for s in asked.answer.plan.steps)
    assert "sacroiliac" not in text(asked)


def test_rook_one_hip_lower_and_everything_else_alike(ask: Ask) -> None:
    """Points of the hip of unlike height stand in many horses without trouble: written down, and nobody is rung."""
    asked = ask(
        QUIET_HORSE
        + """
horse: {name: Rook, sex: gelding, born: 2012}
standing square: {lower hip: left, smaller quarter: even, topline: filled, condition: middling}
in hand: {trot in hand: even, both reins: seen, hind push-off: even, toe drag: none}
palpation:
  croup: {both: {soreness: 1, felt: [nothing]}}
  top of the croup: {both: 1}
  loin: {both: 1}
  rear hamstring: {both: 1}
"""
    )
    assert (asked.level, asked.concerns) == ("none", set())
    assert causes(asked) == set()
    assert "hind_pushes_off_less" not in {key for key, _ in asked.starting_points}


def test_pewter_a_quarter_that_has_fallen_away(ask: Ask) -> None:
    """Less on the left to the eye, hollow to the hand, the right hip lower, a sore croup: no building up before a look."""
    asked = ask(
        QUIET_HORSE
        + """
horse: {name: Pewter, sex: gelding, born: 2009}
standing square: {lower hip: right, smaller quarter: left, topline: fallen away}
in hand: {trot in hand: even, hind push-off: left, toe drag: none}
palpation:
  croup: {left: {soreness: 4, felt: [hollow]}, right: 1}
  side of the croup: {left: {soreness: 2, felt: [hollow]}, right: 0}
  outer hamstring: {left: 3, right: 1}
  loin: {left: 5, right: 2}
"""
    )
    told = {("less_muscle_on_one_quarter", "left"), ("pelvis_not_level", "left"), ("topline_fallen_away", "")}
    assert told <= asked.concerns
    assert not {("less_muscle_on_one_quarter", "right"), ("pelvis_not_level", "right")} & asked.concerns
    assert asked.level == "routine"
    assert not {s.kind for s in asked.answer.plan.steps} & {"exercise"}
    assert asked.riding == NOT_UNTIL


# -- tacking up -------------------------------------------------------------------------------------------------------


def test_fennel_suddenly_minds_the_girth(ask: Ask) -> None:
    """Few of such horses were put down to the saddle (Millares-Ramirez and Le Jeune 2019): asked about, nothing treated."""
    asked = ask(
        QUIET_HORSE
        + """
horse: {name: Fennel, sex: mare, born: 2014, in foal: no}
palpation:
  girth line: {left: 5, right: 4}
  behind the elbow: {left: 4, right: 3}
  withers: {both: 1}
  long back: {both: 1}
tacked up:
  rests: straight
  girth holes: even
  saddle: {type: panelled, front: level, panels: even}
  girthed: {girthing: new dislike, saddling: quiet, girth tightness: flat hand passes}
in hand: {trot in hand: even, both reins: seen}
"""
    )
    assert ("dislikes_girthing", "") in asked.concerns
    assert "dislikes_saddling" not in keys(asked)
    assert asked.riding == NOT_UNTIL
    assert not causes(asked) & {"withers_pinch", "saddle_to_one_side", "against_the_shoulder_blade"}
    assert "ulcer" not in text(asked)


def test_magpie_swings_away_from_the_saddle_and_drops_under_the_rider(ask: Ask) -> None:
    """Marked at saddling, new at mounting, sore under the saddle (Dyson and others 2021): nobody gets on to try it."""
    asked = ask(
        QUIET_HORSE
        + """
horse: {name: Magpie, sex: mare, born: 2012, in foal: no}
palpation:
  withers: {left: 6, right: 5}
  long back: {left: 4, right: 4}
  loin: {both: 3}
tacked up:
  rests: straight
  saddle: {type: panelled, front: low, tree width: looks wide}
  girthed: {girthing: mild dislike, saddling: marked dislike}
  rider up: {mounting: new dislike, mounted from: block}
in hand: {trot in hand: even, both reins: seen}
"""
    )
    assert {"dislikes_saddling", "dislikes_mounting"} <= keys(asked)
    assert "dislikes_girthing" not in keys(asked)
    assert "riding" in asked.stops()
    assert asked.riding == NOT_UNTIL
    assert asked.band("withers_pinch", "left") in ("fair", "strong")
    assert ("leave_this_saddle_off", "") in asked.steps
    assert {s.key for s in asked.answer.plan.steps if s.kind == "tack"} <= {"fitter_for_the_front"}  # somebody is asked


# -- sudden, severe, guarded ------------------------------------------------------------------------------------------


def test_otter_marked_overnight_and_the_whole_horse_shows_it(ask: Ask) -> None:
    """Seven at the right loin since yesterday, and sweating at rest: for now, not for today; told once, not thrice."""
    asked = ask("""
visit: 2026-04-18
horse: {name: Otter, sex: gelding, born: 2010}
before the visit: {soreness onset: sudden, ridden hard: none in 3 days, appetite: eating, painkillers: none}
at first sight: {attitude: bright, breathing: easy, standing: square, sweating: patchy, ten steps of walk: stiff}
vital signs: {pulse: 48 /min, temperature: 38.2 °C}
palpation:
  loin: {left: 3, right: {soreness: 7, response: tightens}}
  croup: {left: 2, right: 4}
  long back: {left: 2, right: 3}
""")
    assert asked.level == "emergency"
    assert ("sudden_severe_soreness", "right loin") in asked.listed
    assert ("sudden_marked_soreness", "right loin") in asked.concerns - asked.listed
    assert not asked.steps
    assert asked.riding == NOT_UNTIL
    assert {"hands_on_work", "this_place", "riding", "exercises"} <= asked.stops()


def test_clover_guards_the_inner_thigh(ask: Ask) -> None:
    """Will not have the left inner thigh touched and hardens at the flank: hands off there, and no leg is stretched."""
    asked = ask(
        QUIET_HORSE
        + """
horse: {name: Clover, sex: mare, born: 2015, in foal: no}
in hand: {trot in hand: even, both reins: seen, hind push-off: even}
palpation:
  inner thigh: {left: would not allow touch, right: 1}
  flank: {left: {soreness: 5, response: tightens}, right: {soreness: 1, response: skin twitch}}
  behind the poll: {left: 5, right: 5}
  front of the upper arm: {both: 5}
  loin: {left: 2, right: 2}
"""
    )
    assert {w for k, w in asked.concerns if k == "guards_groin_or_flank"} == {"left inner_thigh", "left flank"}
    assert asked.level == "routine"
    assert {"this_place", "exercises"} <= asked.stops()
    assert "hands_on_work" not in asked.stops()
    assert bodywork(asked) & {"hold_behind_the_poll", "hold_front_of_the_upper_arm"}
    assert not any(s.kind == "exercise" for s in asked.answer.plan.steps)


# -- what the hand can no longer tell ---------------------------------------------------------------------------------


def test_sorrel_stitches_last_week_and_a_sore_shoulder(ask: Ask) -> None:
    """What the withers say of the saddle is still said; until whoever stitched it has been asked, nobody lays a hand on it."""
    chart = """
horse: {name: Sorrel, sex: gelding, born: 2011}
palpation:
  withers: {left: 5, right: 5}
  behind the shoulder blade: {left: 4, right: 4}
  loin: {both: 2}
tacked up:
  rests: straight
  saddle: {type: panelled, front: low, clearance: touches}
in hand: {trot in hand: even, both reins: seen}
"""
    before = ask(QUIET_HORSE + chart)
    asked = ask((QUIET_HORSE + chart).replace("appetite: eating", "appetite: eating, procedure: stitches"))
    assert "procedure_lately" in keys(asked)
    assert {"hands_on_work", "riding", "exercises"} <= asked.stops()
    assert not bodywork(asked)
    for side in ("left", "right"):
        assert asked.certainty("withers_pinch", side) == before.certainty("withers_pinch", side) > 0
    assert bodywork(before)
    assert "heal" not in text(asked)


def test_hazel_injected_in_the_neck(ask: Ask) -> None:
    """A neck that answers on one side after an injection is left alone and is hardly a witness for anything else."""
    chart = """
horse: {name: Hazel, sex: mare, born: 2014, in foal: no}
palpation:
  lower neck: {left: 5, right: 1}
  upper neck: {left: 5, right: 0}
  loin: {both: 2}
  withers: {both: 1}
in hand: {trot in hand: even, both reins: seen}
"""
    before = ask(QUIET_HORSE + chart)
    asked = ask((QUIET_HORSE + chart).replace("injection: none", "injection: recent"))
    assert {w for k, w in asked.concerns if k == "injected_lately_and_answers"} == {
        "left lower_neck",
        "left upper_neck",
    }
    assert before.certainty("lower_neck_knotted") > asked.certainty("lower_neck_knotted")
    assert asked.level == "routine"
    assert "slow_work_in_the_lower_neck" not in {key for key, _ in asked.steps}


# -- visits, mouths, young horses -------------------------------------------------------------------------------------


def test_teasel_three_visits_and_nothing_better(ask: Ask) -> None:
    """Third visit without change: no fourth session, whatever the neck asks for. At two the work may go on."""
    chart = (
        QUIET_HORSE.replace("appetite: eating", "appetite: eating, visits without change: %d")
        + """
horse: {name: Teasel, sex: gelding, born: 2013}
palpation:
  behind the poll: {left: 5, right: 5}
  front of the upper arm: {both: 5}
  neck strap: {both: 4}
  loin: {both: 1}
in hand: {trot in hand: even, both reins: seen}
"""
    )
    two, three = ask(chart % 2), ask(chart % 3)
    assert two.concerns == set()
    assert bodywork(two)
    assert keys(three) == {"no_better_after_agreed_visits"}
    assert not bodywork(three)
    assert {"hands_on_work", "exercises"} <= three.stops()
    assert three.riding != NOT_UNTIL


def test_thistle_drops_feed_and_a_sore_jaw(ask: Ask) -> None:
    """Balls of hay under the rack, a sore left jaw, yellow at the nose: the mouth is for somebody who may open it."""
    asked = ask(
        QUIET_HORSE.replace("standing: square", "standing: square, discharge: none")
        + """
horse: {name: Thistle, sex: gelding, born: 2007}
standing square: {chewing: drops feed, topline: thin}
palpation:
  jaw muscle: {left: 5, right: 2}
  jaw joint: {left: 5, right: 1}
  behind the poll: {left: 4, right: 3}
ridden: {head tilts to: left, rein contact: strong}
"""
    )
    assert "drops_feed" in keys(asked)
    assert asked.level == "routine"
    assert asked.riding == NOT_UNTIL
    (mouth,) = (c for c in asked.answer.referral.concerns if c.key == "drops_feed")
    assert any("No hand" in line and "mouth" in line for line in mouth.while_you_wait)
    assert not any(word in text(asked) for word in ("abscess", "tooth root"))


def test_plover_foal_whose_numbers_are_given_on(ask: Ask) -> None:
    """Seven months, 38.8 and 46: told today with its age, the grown horse's limit folded in and still stopping."""
    asked = ask("""
visit: 2026-04-18
horse: {name: Plover, sex: filly, born: 2025-09-14}
before the visit: {appetite: eating, fall or blow: none, painkillers: none, temper: usual}
at first sight: {attitude: bright, breathing: easy, standing: square, ten steps of walk: even, gums: pink}
vital signs: {temperature: 38.8 °C, pulse: 46 /min, breaths: 18 /min}
palpation:
  withers: {both: 1}
  loin: {both: 0}
""")
    assert asked.level == "prompt"
    assert {key for key, _ in asked.listed} == {"numbers_under_twelve_months", "under_twelve_months"}
    assert "vital_signs_just_outside" in keys(asked)
    assert not asked.steps
    assert {"hands_on_work", "riding", "exercises"} <= asked.stops()
    assert "not judged here" in " ".join(c.plain for c in asked.answer.referral.concerns)


def test_barley_slight_when_the_veterinarian_saw_it_and_marked_today(ask: Ask) -> None:
    """The word of last week was about a slight left hind; today it is marked, and the hands stay off."""
    asked = ask("""
visit: 2026-04-18
settled under the hand: seen
horse: {name: Barley, sex: gelding, born: 2008}
at first sight: {attitude: bright, standing: square, ten steps of walk: even}
in hand: {trot in hand: uneven, hind push-off: left}
uneven steps: {left hind: {is: marked, seen at: trot in hand}}
veterinarian's word:
  who: Dr Mossop
  seen: 2026-04-10
  about: [uneven steps]
  allows: [hands-on work, riding]
  until: 2026-05-10
  grade: {scale: AAEP, left hind: 2}
palpation:
  behind the poll: {left: 5, right: 5}
  loin: {left: 5, right: 2}
""")
    assert asked.level == "prompt"
    assert ("uneven_behind_markedly", "left") in asked.concerns
    assert {"hands_on_work", "riding"} <= asked.stops()
    assert not bodywork(asked)
    (release,) = asked.answer.referral.releases
    assert not release.holds
    assert "has come up" in release.closed_because
