"""Whole visits of horses whose mouth, jaw, poll or neck answers, and of horses in which only nature or reflex does.

In: visits as a practitioner would write them. Out: what leads, what is done or held back, and what must not be said.
Not here: published measurements (tests/published/test_neck.py). Basis: common practice, unless a case says otherwise.
"""

from __future__ import annotations

from collections.abc import Callable

from tests.asking import Asked, shipped

Ask = Callable[[str], Asked]

MOUTH = """
horse: {name: Fennel, sex: gelding, temperament: ordinary}
visit: 2026-04-18
yard: Larkhope
examined by: Wren Aldous
before the visit:
  teeth seen: 2024-03
  bit changed: no
  appetite: eating
  fall or blow: none
at first sight: {swallowing: easy, attitude: bright, ten steps of walk: even}
standing square: {chewing: drops feed}
settled under the hand: seen
palpation:
  jaw muscle: {left: {soreness: 4, felt: [hard]}, right: {soreness: 2, felt: [nothing]}}
  jaw joint: {left: 4, right: 1}
in hand: {trot in hand: even}
ridden: {mouth: open, head tilts to: left, rein contact: strong}
"""


def test_dropping_feed_comes_before_bit_and_hand(ask: Ask) -> None:
    """Fennel drops feed and has not been seen for two years: the mouth leads, nobody asks the bit or the rider."""
    answer = ask(MOUTH)
    assert answer.band("mouth_and_teeth") == "strong"
    assert ("mouth_and_teeth", "") in answer.starting_points
    assert answer.band("jaw_clenched", "left") == "strong"
    assert ("dentist_due", "") in answer.steps
    assert "Not today, because the mouth asks to be looked at first." in answer.withheld["hold_on_the_cheek", "left"]
    assert answer.band("bit_or_hand") in ("none", "against")
    assert ("long_rein_trial", "") not in answer.steps


NEW_BIT = """
horse: {name: Tansy, sex: mare, temperament: ordinary}
visit: 2026-04-18
yard: Larkhope
before the visit: {teeth seen: 2026-01-20, bit changed: lately, appetite: eating, fall or blow: none}
standing square: {chewing: usual}
settled under the hand: seen
palpation:
  jaw muscle: {both: {soreness: 2, felt: [nothing]}}
  jaw joint: {both: 1}
  top of the poll: {both: 2}
  behind the poll: {both: 1}
  atlas pad: {both: 1}
  upper neck: {both: {soreness: 1, felt: [nothing]}}
  withers: {both: 1}
  long back: {both: 1}
in hand: {trot in hand: even, both reins: seen}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
ridden: {mouth: open, rein contact: behind the hand, head at the trot: level, ridden unwilling: no}
"""


def test_a_mouth_unquiet_since_the_new_bit_goes_back_to_the_old_one(ask: Ask) -> None:
    """Tansy: teeth in order, legs even, unquiet since the change: put back what changed last, one thing at a time."""
    answer = ask(NEW_BIT)
    assert answer.band("bit_or_hand") == "strong"
    assert {("bit_as_it_was", ""), ("look_at_bit_and_bridle", ""), ("long_rein_trial", "")} <= answer.steps
    assert answer.band("mouth_and_teeth") in ("none", "against")
    assert ("dentist_due", "") not in answer.steps
    assert answer.level == "none"


def test_the_same_mouth_over_uneven_steps_is_not_asked_of_the_bit(ask: Ask) -> None:
    """Tansy again, the right fore uneven: the legs come first, and nobody rides to find out."""
    answer = ask(NEW_BIT.replace("right fore: even", "right fore: slight"))
    assert answer.band("bit_or_hand") in ("none", "slight")
    assert ("uneven_in_front_slightly", "right") in answer.concerns
    assert "riding" in answer.stops()
    assert not {("bit_as_it_was", ""), ("long_rein_trial", "")} & answer.steps


JAW = """
horse: {name: Otter, sex: gelding}
visit: 2026-04-18
yard: Larkhope
before the visit: {teeth seen: 2026-02-10, appetite: eating, soreness onset: slow}
standing square: {chewing: usual}
settled under the hand: seen
palpation:
  jaw muscle: {left: {soreness: 4, felt: [hard]}, right: {soreness: 1, felt: [nothing]}}
  jaw joint: {left: 3, right: 1}
  underneck: {left: {soreness: 2, felt: [hard]}, right: {soreness: 1, felt: [nothing]}}
  behind the poll: {both: 2}
in hand: {trot in hand: even}
ridden: {mouth: quiet, rein contact: light and even, head tilts to: none}
"""


def test_a_held_jaw_with_teeth_in_order_gets_a_quiet_hand(ask: Ask) -> None:
    """Otter: hard cheek, hinge and strap, chews as ever, teeth lately seen: a hold from outside, and no cause claimed."""
    answer = ask(JAW)
    assert answer.band("jaw_clenched", "left") == "strong"
    assert answer.band("jaw_clenched", "right") in ("none", "against")
    assert ("hold_on_the_cheek", "left") in answer.steps
    assert ("hold_on_the_cheek", "right") not in answer.steps
    assert answer.band("mouth_and_teeth") == "against"
    assert answer.band("bit_or_hand") in ("none", "against")


def test_the_same_jaw_with_teeth_nobody_has_seen_is_left_alone(ask: Ask) -> None:
    """Otter without a date: the hold waits for whoever may look into the mouth."""
    answer = ask(JAW.replace("teeth seen: 2026-02-10, ", ""))
    (sentence,) = answer.withheld["hold_on_the_cheek", "left"]
    assert "looked at the teeth" in sentence


PULLED_BACK = """
horse: {name: Rook, sex: gelding, temperament: ordinary}
visit: 2026-04-18
yard: Larkhope
before the visit: {fall or blow: 2026-03-28, soreness onset: slow, teeth seen: 2026-01-10, old injury: {left: none, right: none}}
settled under the hand: seen
palpation:
  behind the poll: {left: 3, right: 1}
  atlas pad: {left: 5, right: 1}
  top of the poll: {left: 4, right: 1}
  upper neck: {left: {soreness: 4, felt: [hard]}, right: {soreness: 1, felt: [nothing]}}
  lower neck: {both: {soreness: 1, felt: [nothing]}}
in hand: {trot in hand: even}
ridden: {harder to bend to: right, head tilts to: none}
"""


def test_a_horse_that_hung_back_is_asked_about_before_it_is_worked(ask: Ask) -> None:
    """Rook hung back three weeks ago: poll and upper neck answer, the pad is left alone and the veterinarian asked."""
    answer = ask(PULLED_BACK)
    assert answer.band("behind_the_poll_and_upper_neck", "left") in ("fair", "strong")
    assert answer.band("behind_the_poll_and_upper_neck", "right") in ("none", "against")
    assert ("veterinarian_for_the_neck", "") in answer.steps
    for hold in ("hold_behind_the_atlas", "hold_behind_the_poll", "upper_neck_by_stage"):
        assert (hold, "left") in answer.withheld
        assert (hold, "left") not in answer.steps
    assert answer.band("neck_is_the_source", "left") in ("none", "slight", "against")


OWN_NECK = """
horse: {name: Juno, sex: mare, temperament: ordinary, type: middling}
visit: 2026-04-18
yard: Larkhope
before the visit:
  old injury: {left: neck, right: none}
  soreness onset: slow
  fall or blow: none
  teeth seen: 2026-01-10
  visits without change: 1
standing square: {chewing: usual}
settled under the hand: seen
palpation:
  neck strap: {left: {soreness: 3, felt: [knot]}, right: {soreness: 1, felt: [nothing]}}
  upper neck: {left: {soreness: 4, felt: [knot]}, right: {soreness: 1, felt: [nothing]}}
  lower neck: {left: {soreness: 2, felt: [knot]}, right: {soreness: 1, felt: [nothing]}}
  withers: {both: 1}
  behind the shoulder blade: {both: 1}
  long back: {both: {soreness: 1, felt: [nothing]}}
in hand: {trot in hand: even, both reins: seen}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
ridden: {harder to bend to: left, head at the trot: level}
"""


def test_a_knotted_neck_with_quiet_saddle_and_legs_is_its_own_beginning(ask: Ask) -> None:
    """Juno: three knotted places where she was hurt, all else quiet: the neck leads, and its veterinarian is asked."""
    answer = ask(OWN_NECK)
    assert answer.band("neck_is_the_source", "left") == "strong"
    assert answer.band("neck_is_the_source", "right") == "against"
    assert ("neck_is_the_source", "left") in answer.starting_points
    assert ("veterinarian_for_the_neck", "") in answer.steps
    assert "a veterinarian agrees before it is bent" in " ".join(answer.withheld["reach_for_a_titbit", ""])
    assert "hurt before" in " ".join(answer.withheld["upper_neck_by_stage", "left"])
    assert answer.band("long_standing") in ("fair", "strong")
    assert answer.band("fresh_soreness") == "against"
    for key in ("withers_pinch", "saddle_to_one_side"):
        assert answer.band(key, "left") in ("none", "against")


def test_the_same_neck_never_hurt_before_reaches_for_a_titbit(ask: Ask) -> None:
    """Juno without the old injury: small bends of her own, strokes by the stage of the knot, nothing pulled."""
    answer = ask(OWN_NECK.replace("left: neck", "left: none"))
    assert answer.band("neck_is_the_source", "left") == "strong"
    assert {
        ("reach_for_a_titbit", ""),
        ("upper_neck_by_stage", "left"),
        ("strokes_along_the_neck", "left"),
    } <= answer.steps
    assert ("veterinarian_for_the_neck", "") not in answer.steps


def test_the_same_neck_beside_a_sore_saddle_place_is_not_the_beginning(ask: Ask) -> None:
    """Juno with withers at 6: the neck may be carried for the saddle, so it drops below what leads to anything."""
    plain, sore = ask(OWN_NECK), ask(OWN_NECK.replace("withers: {both: 1}", "withers: {left: 6, right: 2}"))
    key = ("neck_is_the_source", "left")
    assert "it answers under the saddle" in sore.spoke(*key)
    assert "saddle and legs give nothing to see" not in sore.spoke(*key)
    assert sore.certainty(*key) < plain.certainty(*key) - 0.2
    assert sore.band("withers_pinch", "left") == "fair"


def test_the_same_neck_over_a_nodding_head_is_the_legs(ask: Ask) -> None:
    """Juno with a nod every stride: the neck pays for a foreleg, and the titbits wait."""
    answer = ask(OWN_NECK.replace("head at the trot: level", "head at the trot: nods every stride"))
    assert "uneven steps were seen" in answer.spoke("neck_is_the_source", "left")
    assert answer.certainty("neck_is_the_source", "left") < ask(OWN_NECK).certainty("neck_is_the_source", "left")


SHARP = """
horse: {name: Magpie, sex: mare, temperament: sharp, type: fine skinned}
visit: 2026-04-18
yard: Larkhope
before the visit: {temper: usual, soreness onset: none, teeth seen: 2026-02-01}
standing square: {press along the back: one dip, lifts its back: yes, chewing: usual}
settled under the hand: seen
palpation:
  withers: {both: {soreness: 1, response: skin twitch, felt: [nothing]}}
  long back: {both: {soreness: 1, response: skin twitch, felt: [nothing]}}
  loin: {both: {soreness: 1, response: skin twitch, felt: [nothing]}}
  jaw muscle: {both: {soreness: 1, felt: [nothing]}}
  jaw joint: {both: 0}
  upper neck: {both: {soreness: 1, felt: [nothing]}}
  behind the poll: {both: 1}
  atlas pad: {both: 1}
  top of the poll: {both: 1}
in hand: {trot in hand: even}
ridden: {mouth: quiet, rein contact: light and even, harder to bend to: neither}
"""
CAUSES = (("mouth_and_teeth", ""), ("bit_or_hand", ""), ("neck_is_the_source", "left"), ("neck_is_the_source", "right"))


def test_a_sharp_mare_that_only_twitches_has_nothing_to_be_worked_on(ask: Ask) -> None:
    """Magpie twitches and dips once: reflex and nature, no cause of this region, and no hand laid on her for it."""
    answer = ask(SHARP)
    assert answer.band("answers_loudly") == "strong"
    assert answer.band("reflexes_only") == "strong"
    assert all(answer.band(*cause) in ("none", "against") for cause in CAUSES)
    assert answer.steps == set()
    assert answer.level == "none"


def test_the_same_mare_whose_back_dips_each_time_is_no_longer_reflex(ask: Ask) -> None:
    """Magpie, sore at the loin and dipping each time: the trait takes nothing away from it."""
    text = SHARP.replace("one dip", "dips every time").replace(
        "loin: {both: {soreness: 1, response: skin twitch", "loin: {left: {soreness: 5, response: flinches"
    )
    text = text.replace("flinches, felt: [nothing]}}", "flinches, felt: [nothing]}, right: 1}")
    answer = ask(text)
    assert answer.band("reflexes_only") in ("none", "against")
    assert answer.band("answers_loudly") == "strong"


STOIC = """
horse: {name: Pewter, sex: gelding, temperament: stoic, type: cob or heavy}
visit: 2026-04-18
yard: Larkhope
before the visit: {painkillers: none, sedation: none, teeth seen: 2024-11-01}
standing square: {chewing: usual}
settled under the hand: seen
palpation:
  jaw muscle: {both: {soreness: 1, felt: [nothing]}}
  jaw joint: {both: 0}
  neck strap: {both: {soreness: 1, felt: [hard]}}
  upper neck: {both: {soreness: 1, felt: [nothing]}}
  lower neck: {both: {soreness: 1, felt: [nothing]}}
in hand: {trot in hand: even}
"""


def test_a_stoic_cob_is_quiet_by_nature_and_his_teeth_are_due(ask: Ask) -> None:
    """Pewter: quiet by nature; a date alone makes no cause of his mouth, and is kept all the same."""
    answer = ask(STOIC)
    assert answer.band("answers_quietly") == "strong"
    assert answer.band("mouth_and_teeth") in ("none", "against")
    assert ("dentist_due", "") in answer.steps
    assert answer.band("jaw_clenched", "left") in ("none", "against")


def test_the_same_cob_after_a_powder_is_not_called_quiet_by_nature(ask: Ask) -> None:
    """Pewter with something for pain in him: quiet is the powder, and a veterinarian is named."""
    answer = ask(STOIC.replace("painkillers: none", "painkillers: given"))
    assert answer.band("answers_quietly") in ("slight", "fair")
    assert answer.certainty("answers_quietly") < ask(STOIC).certainty("answers_quietly")
    assert answer.concerns >= {("something_given_for_pain", "")}


FRESH = """
horse: {name: Clover, sex: mare, temperament: ordinary, type: middling}
visit: 2026-04-18
yard: Larkhope
before the visit:
  soreness onset: sudden
  ridden hard: none in 3 days
  work lately: more than it is used to
  fall or blow: none
  old injury: {left: none, right: none}
  visits without change: 0
at first sight: {ten steps of walk: even, sweating: none}
settled under the hand: seen
palpation:
  neck strap: {left: {soreness: 5, felt: [nothing]}, right: {soreness: 2, felt: [nothing]}}
  upper neck: {left: {soreness: 5, felt: [nothing]}, right: {soreness: 2, felt: [nothing]}}
  lower neck: {left: {soreness: 4, felt: [nothing]}, right: {soreness: 2, felt: [nothing]}}
  withers: {both: 1}
  behind the shoulder blade: {both: 1}
  long back: {both: {soreness: 1, felt: [nothing]}}
in hand: {trot in hand: even, stiff after work: yes}
"""


def test_a_neck_sore_and_soft_since_yesterday_is_left_alone(ask: Ask) -> None:
    """Clover: fresh, soft and from work; light days and a second look, no strokes across it and no bends."""
    answer = ask(FRESH)
    assert answer.band("fresh_soreness") in ("fair", "strong")
    assert answer.band("long_standing") in ("none", "against")
    assert ("leave_fresh_soreness_alone", "") in answer.steps
    assert answer.riding == "lightly"
    assert {("upper_neck_by_stage", "left"), ("strokes_along_the_neck", "left")} <= set(answer.withheld)
    assert ("reach_for_a_titbit", "") not in answer.steps


def test_the_same_neck_knotted_is_not_fresh_whatever_the_owner_saw(ask: Ask) -> None:
    """Clover with knots: a knot takes weeks, so the days of rest are not the answer."""
    answer = ask(FRESH.replace("felt: [nothing]}, right: {soreness: 2", "felt: [knot]}, right: {soreness: 2"))
    assert answer.certainty("fresh_soreness") < ask(FRESH).certainty("fresh_soreness") - 0.3
    assert ("leave_fresh_soreness_alone", "") not in answer.steps


def test_fingers_never_go_into_a_mouth() -> None:
    """common practice and law: no page of this slice tells anybody to feel the teeth or open the mouth."""
    book = shipped().book
    for key in ("dentist_due", "hold_on_the_cheek", "look_at_bit_and_bridle", "bit_as_it_was"):
        page = book.actions[key]
        words = f"{page.says} {page.plain} {page.dose}".casefold()
        assert not any(phrase in words for phrase in ("open the mouth", "feel the teeth", "rasp", "float"))
    assert "Nobody feels in the mouth" in book.actions["dentist_due"].dose
    assert "nothing in the mouth" in book.actions["hold_on_the_cheek"].dose.replace("\n", " ")
