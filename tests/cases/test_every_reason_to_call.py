"""One horse that is to be worked on, and one sign more: each reason to call is raised, at its level, and hands and saddle stop.

In: a whole visit in order but for a sore neck strap; then the same with one entry otherwise, as written and in the mirror.
Out: which reason, on which side or place, how pressing, and whether the bodywork that was wanted still stands.
Not here: several reasons together and what is folded (test_concerns), limits (tests/published). Basis: common practice.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from reasoner.rulebook.pages import Concern
from tests.asking import Asked, shipped
from tests.cases.test_concerns import bodywork

Ask = Callable[[str], Asked]
HORSE = """
visit: 2026-04-18
horse: {name: Sorrel, sex: mare, in foal: no}
yard: Larkhope
examined by: Wren Aldous
before the visit: {soreness onset: slow, ridden hard: none in 3 days, painkillers: none, sedation: none, injection: none,
  appetite: eating, temper: usual, other horses ill: no}
at first sight: {attitude: bright, breathing: easy, standing: square, ten steps of walk: even, swallowing: normal,
  eyes: open and bright, bleeding: none, feet and pulses: cool, belly signs: none, discharge: none, skin: clear, wound: none}
vital signs: {temperature: 37.8 °C, pulse: 36 /min, gum refill: 2 s}
settled under the hand: seen
palpation:
  behind the poll: {left: {soreness: 5, felt: [hard]}, right: 1}
  front of the upper arm: {left: 5, right: 1}
  withers: {left: {soreness: 2, felt: [nothing]}, right: 1}
  loin: {left: 2, right: 2}
  ribs: {left: {soreness: 1, felt: [nothing]}, right: 1}
  fore tendons: {left: {soreness: 1, felt: [nothing]}, right: 1}
between the spinous processes: {T14-T15: {soreness: 1, touch: light}}
in hand: {trot in hand: even, both reins: seen, hind push off: even, toe drag: none}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
ridden: {saddle comes to: straight, seen on: both reins}
after work: {saddle rub: {left: none, right: none}}
"""
HOLD = "hold_behind_the_poll"
#: What is written otherwise, and what has to be raised: (reason, side or place, as it was, as it is written now).
SIGNS = [
    ("down_and_not_rising", "", "standing: square", "standing: down"),
    ("leg_held_up_at_rest", "", "standing: square", "standing: leg not loaded"),
    ("dull_or_trembling", "", "attitude: bright", "attitude: dull"),
    ("food_comes_back_through_the_nose", "", "swallowing: normal", "swallowing: food from the nose"),
    ("half_closed_or_watering_eye", "", "eyes: open and bright", "eyes: half closed or watering"),
    ("hurt_eye", "", "eyes: open and bright", "eyes: injured"),
    ("heavy_bleeding", "", "bleeding: none", "bleeding: heavy"),
    ("hot_feet_with_strong_pulses", "", "feet and pulses: cool", "feet and pulses: hot with strong pulses"),
    ("signs_of_belly_pain", "", "belly signs: none", "belly signs: looks at flank"),
    ("signs_that_may_spread", "", "discharge: none", "discharge: thick or coloured"),
    ("skin_that_may_spread", "", "skin: clear", "skin: spreading patches"),
    ("wound_that_cannot_wait", "", "wound: none", "wound: near a joint"),
    ("vital_signs_alarming", "", "breathing: easy", "breathing: laboured"),
    ("vital_signs_well_outside", "", "temperature: 37.8 °C", "temperature: 39.0 °C"),
    ("uneven_at_the_walk", "", "ten steps of walk: even", "ten steps of walk: uneven"),
    ("unsteady_on_its_feet", "", "ten steps of walk: even", "ten steps of walk: unsteady"),
    ("unwilling_to_walk", "", "ten steps of walk: even", "ten steps of walk: unwilling"),
    ("uneven_at_the_trot", "", "trot in hand: even", "trot in hand: uneven"),
    ("off_its_feed", "", "appetite: eating", "appetite: off feed"),
    ("temper_suddenly_changed", "", "temper: usual", "temper: suddenly changed"),
    ("sedated_today", "", "sedation: none", "sedation: given"),
    ("several_horses_ill", "", "other horses ill: no", "other horses ill: yes"),
    ("late_in_foal", "", "in foal: no", "in foal: last third"),
    ("foreleg_not_bearing_weight", "left", "left fore: even", "left fore: not bearing weight"),
    ("uneven_in_front_markedly", "right", "right fore: even", "right fore: marked"),
    ("hind_leg_not_bearing_weight", "left", "left hind: even", "left hind: not bearing weight"),
    ("hind_does_less_and_drags_its_toe", "left", "hind push off: even, toe drag: none",
     "hind push off: left, toe drag: left"),
    ("saddle_goes_to_the_weaker_hind", "right", "saddle comes to: straight", "saddle comes to: right"),
    ("rubbed_by_the_saddle", "left", "saddle rub: {left: none", "saddle rub: {left: closed"),
    ("rubbed_place_under_the_saddle", "left withers", "{soreness: 2, felt: [nothing]}", "{soreness: 2, felt: [rubbed]}"),
    ("skin_trouble_under_the_tack", "", "{soreness: 2, felt: [nothing]}", "{soreness: 2, felt: [swollen]}"),
    ("moves_away_from_the_hand", "left withers", "{soreness: 2, felt: [nothing]}",
     "{soreness: 7, response: moves away}"),
    ("very_sore_or_threatens", "left loin", "loin: {left: 2", "loin: {left: 9"),
    ("open_hot_or_swollen_place", "left ribs", "ribs: {left: {soreness: 1, felt: [nothing]}",
     "ribs: {left: {soreness: 1, felt: [open]}"),
    ("draining_or_hot_and_swollen_place", "left ribs", "ribs: {left: {soreness: 1, felt: [nothing]}",
     "ribs: {left: {soreness: 1, felt: [hot, swollen]}"),
    ("hot_or_sore_swollen_leg", "left", "fore tendons: {left: {soreness: 1, felt: [nothing]}",
     "fore tendons: {left: {soreness: 2, felt: [hot]}"),
    ("answers_between_the_spines_once", "space_t14_t15", "{soreness: 1, touch: light}",
     "{soreness: 4, touch: light, response: flinches}"),
]  # fmt: skip
#: What has to be written as well, for a reason that takes two things.
AND = {
    "saddle_goes_to_the_weaker_hind": ("hind push off: even", "hind push off: right"),
    "several_horses_ill": ("discharge: none", "discharge: clear"),
}


def page(key: str) -> Concern:
    return shipped().book.concerns[key]


def with_sign(key: str, was: str, now: str) -> str:
    """The visit with that one entry, and the second one it takes, written otherwise."""
    out = HORSE
    for old, new in [(was, now), *([AND[key]] if key in AND else [])]:
        assert out.count(old) == 1, old
        out = out.replace(old, new)
    return out


def test_without_any_of_them_nobody_is_called_and_the_neck_is_held(ask: Ask) -> None:
    answer = ask(HORSE)
    assert (answer.concerns, answer.level) == (set(), "none")
    assert (HOLD, "left") in answer.steps


@pytest.mark.parametrize(("key", "where", "was", "now"), SIGNS, ids=[row[0] for row in SIGNS])
def test_one_sign_more_and_it_is_raised_there_and_its_stops_hold(
    key: str, where: str, was: str, now: str, ask: Ask
) -> None:
    answer = ask(with_sign(key, was, now))
    assert {place for reason, place in answer.concerns if reason == key} == {where}
    order = ["routine", "prompt", "emergency"]
    assert order.index(answer.level) >= order.index(page(key).call)
    if "hands-on work" in page(key).stops:
        assert bodywork(answer) == set()
        assert (HOLD, "left") in answer.withheld
    if "riding" in page(key).stops:
        assert answer.riding == "not until the veterinarian has seen it"


def test_most_reasons_that_stop_the_hands_stand_here() -> None:
    """The table names no reason twice, and what the veterinarian's list holds at its most pressing is in it."""
    keys = [key for key, *_ in SIGNS]
    assert len(keys) == len(set(keys))
    elsewhere = {
        "stiff_and_sweating_after_work",
        "fall_or_blow_lately",
        "sudden_severe_soreness",
        "dark_urine",
    }  # test_concerns
    pressing = {k for k, c in shipped().book.concerns.items() if c.call == "emergency"}
    assert pressing - elsewhere <= set(keys)
