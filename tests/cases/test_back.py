"""Whole visits for back, loin, quarters and belly: what leads, what is done, what waits.

In: visits of 8 to 25 lines, each as written and in the mirror. Out: leading account, bands, calls, steps, withheld steps.
Not here: legs that are spared, old hurts, lost muscle (test_back_legs.py); published figures (tests/published/test_back.py).
"""

from __future__ import annotations

import re
from collections.abc import Callable

from tests.asking import Asked
from tests.cases.back_words import hands, said

Ask = Callable[[str], Asked]
THORACIC, LUMBAR, CROUP, HAMS = "thoracic_back_guards", "lumbar_back_guards", "croup_sore", "hamstrings_sore"
FORE, HIND, OLD = "spares_a_foreleg", "spares_a_hind_limb", "old_injury_still_felt"
MINE = {
    THORACIC, LUMBAR, CROUP, HAMS, FORE, HIND, OLD, "less_muscle_on_one_side",
    "front_of_the_thigh_sore", "inner_thigh_sore", "belly_wall_sore",
}  # fmt: skip
VERDICTS = re.compile(r"\b(sound|healthy|lame|fit to ride|diagnosed)\b", re.IGNORECASE)


A_GUARDED_BACK_IN_A_BOXED_HORSE = """
horse: {name: Tansy, temperament: ordinary, type: middling}
before the visit:
  ridden hard: none in 3 days
  speed work: none in 3 days
  painkillers: none
  sedation: none
  turnout: none
  warm up: short
  work lately: steady
at first sight: {ten steps of walk: even}
settled under the hand: seen
palpation:
  withers: {both: 1}
  behind the shoulder blade: {both: 1}
  long back: {left: {soreness: 5, response: tightens, felt: [hard]}, right: {soreness: 4, response: tightens}}
  rib side back: {left: 4, right: 2}
  loin: {both: {soreness: 2, felt: [nothing], response: none}}
  croup: {both: 2}
  behind the poll: {both: 1}
  upper neck: {both: 1}
standing square: {press along the back: held stiff, lifts its back: a little}
in hand: {trot in hand: even, both reins: seen, hind push off: even}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
"""


def test_a_guarded_back_in_a_boxed_horse(ask: Ask) -> None:
    """common practice: both sides guard, the left more; hands, easy work, walk and turnout; the fresh band is not crossed."""
    answer = ask(A_GUARDED_BACK_IN_A_BOXED_HORSE)
    assert answer.band(THORACIC, "left") == "strong"
    assert answer.certainty(THORACIC, "left") > answer.certainty(THORACIC, "right")
    assert (THORACIC, "left") in answer.starting_points  # the right, less sore, is reached from it
    assert answer.concerns == set()
    assert answer.riding == "lightly"
    assert {("hold_on_the_long_back", "left"), ("turn_it_out_longer", ""), ("walk_before_the_trot", "")} <= answer.steps
    assert any("how long it has been sore" in why for why in answer.withheld["cross_fibre_on_the_back", "left"])
    assert "withers_pinch" not in {key for key, _ in answer.supported}
    assert not VERDICTS.search(said(answer))


THE_WEEK_AFTER_HARD_WORK = """
horse: {name: Rook}
before the visit:
  ridden hard: in the last 3 days
  speed work: in the last 3 days
  painkillers: none
  sedation: none
  soreness onset: none
at first sight: {ten steps of walk: even, urine: usual, sweating: none}
settled under the hand: seen
palpation:
  long back: {both: 2}
  loin: {both: {soreness: 5, felt: [nothing], response: none}}
  croup: {both: 5}
  outer hamstring: {both: 5}
  rear hamstring: {both: 4}
in hand: {trot in hand: even, both reins: seen, hind push off: even}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
"""


def test_the_week_after_hard_work(ask: Ask) -> None:
    """common practice: work leads, both sides alike; the soreness behind is its consequence and no leg is spared."""
    answer = ask(THE_WEEK_AFTER_HARD_WORK)
    assert answer.starting_points == {("worked_hard_lately", "")}
    assert (("worked_hard_lately", ""), (CROUP, "left")) in answer.chains()
    assert answer.band(HAMS, "left") == answer.band(HAMS, "right") == "fair"
    assert answer.band(LUMBAR, "left") in ("none", "against")  # it answers and is soft, so it is not held
    assert ("rest_after_hard_work", "") in answer.steps
    assert not {FORE, HIND, OLD} & {key for key, _ in answer.supported}


THE_SAME_SORENESS_WITH_DARK_URINE = """
horse: {name: Rook}
before the visit:
  ridden hard: in the last 3 days
  speed work: in the last 3 days
  painkillers: none
  sedation: none
  soreness onset: none
at first sight: {ten steps of walk: stiff, urine: dark, sweating: drenched}
settled under the hand: seen
palpation:
  long back: {both: 2}
  loin: {both: {soreness: 5, felt: [nothing], response: none}}
  croup: {both: 5}
  outer hamstring: {both: 5}
  rear hamstring: {both: 4}
in hand: {trot in hand: even, both reins: seen, hind push off: even}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
"""


def test_the_same_soreness_with_dark_urine(ask: Ask) -> None:
    """common practice: the same hand's findings with stiffness, sweat and dark urine are an emergency; every hand is withheld."""
    answer = ask(THE_SAME_SORENESS_WITH_DARK_URINE)
    assert answer.level == "emergency"
    assert ("stiff_and_sweating_after_work", "") in answer.concerns
    assert answer.steps == set()
    assert any("dark" in why for why in answer.withheld["hold_on_the_croup", "left"])
    assert any("dark" in why for why in answer.withheld["flat_hand_on_the_hamstrings", "right"])


A_QUIET_HORSE_WITH_A_PREFERRED_LEAD = """
horse: {name: Clover, temperament: ordinary, type: middling}
before the visit:
  ridden hard: none in 3 days
  speed work: none in 3 days
  painkillers: none
  old injury: {left: none, right: none}
  turnout: all day
  warm up: ten minutes or more
settled under the hand: seen
palpation:
  long back: {both: {soreness: 1, felt: [nothing], response: none}}
  rib side back: {both: 1}
  beside the withers: {both: 1}
  loin: {both: {soreness: 2, felt: [nothing], response: flinches}}
  loin tongue: {both: 1}
  croup: {both: {soreness: 1, felt: [nothing]}}
  side of the croup: {both: 1}
  top of the croup: {both: 1}
  outer hamstring: {both: {soreness: 1, response: skin twitch}}
  rear hamstring: {both: {soreness: 1, felt: [nothing], response: skin twitch}}
  front edge of the thigh: {both: {soreness: 1, response: skin twitch}}
  front of the thigh: {both: 1}
  inner thigh: {both: {soreness: 2, response: skin twitch}}
  flank: {both: {soreness: 2, response: skin twitch}}
  belly: {both: 1}
standing square:
  press along the back: one dip
  lifts its back: yes
  smaller quarter: even
  topline: filled
  lower hip: level
in hand: {trot in hand: even, both reins: seen, hind push off: even, toe drag: none, withers at the trot: even}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
ridden: {lead preferred: left, canter against trot: same, trot under the rider: even}
"""


def test_a_quiet_horse_with_a_preferred_lead(ask: Ask) -> None:
    """common practice: usual reflexes, twitching skin and a preferred lead are nothing found; nothing of these pages stands."""
    answer = ask(A_QUIET_HORSE_WITH_A_PREFERRED_LEAD)
    assert not {key for key, _ in answer.supported} & MINE
    assert answer.concerns == set()
    for key in (THORACIC, LUMBAR, CROUP, HAMS, FORE, HIND):
        assert answer.band(key, "left") == answer.band(key, "right") == "against"
    assert hands(answer) == set()
    assert answer.riding == "as usual"


A_HELD_LOIN_UNDER_A_LONG_SADDLE = """
horse: {name: Magpie}
before the visit:
  ridden hard: none in 3 days
  speed work: none in 3 days
  painkillers: none
  sedation: none
  turnout: few hours
at first sight: {ten steps of walk: even, urine: usual, sweating: none}
settled under the hand: seen
palpation:
  long back: {both: 2}
  loin: {left: {soreness: 5, felt: [hard], response: tightens}, right: {soreness: 2, felt: [nothing], response: none}}
  loin tongue: {left: 4, right: 1}
  croup: {both: 2}
standing square: {press along the back: held stiff}
in hand: {trot in hand: even, both reins: seen, hind push off: even}
tacked up: {saddle: {length: behind the last rib}}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
ridden: {harder to bend to: right, canter against trot: same}
"""


def test_a_held_loin_under_a_long_saddle(ask: Ask) -> None:
    """common practice: held hard is more than an answer; light strokes, easy work, and a look at the hind of that side."""
    answer = ask(A_HELD_LOIN_UNDER_A_LONG_SADDLE)
    assert (LUMBAR, "left") in {key for chain in answer.chains() for key in chain}
    assert answer.starting_points <= {("saddle_too_long", ""), (LUMBAR, "left")}
    assert answer.band(LUMBAR, "left") == "strong"
    assert answer.band(LUMBAR, "right") == "against"
    assert {("long_strokes_over_the_loin", "left"), ("look_at_the_hind_limb", "left")} <= answer.steps
    dose = next(s.dose for s in answer.answer.plan.steps if s.key == "long_strokes_over_the_loin")
    assert "nothing on the spines" in dose
    assert "edge of the loin" in dose


A_TICKLISH_BELLY = """
horse: {name: Clover, temperament: sharp}
at first sight: {belly signs: none, breathing: easy}
before the visit: {appetite: eating, work lately: steady, painkillers: none}
palpation:
  flank: {both: {soreness: 5, response: skin twitch}}
  belly: {both: {soreness: 2, response: skin twitch}}
standing square: {lifts its back: yes}
tacked up: {girthed: {girthing: quiet}}
"""


def test_a_ticklish_belly(ask: Ask) -> None:
    """common practice: five of ten with a twitching skin is ticklish; nothing is made of it and no hand is sent there."""
    answer = ask(A_TICKLISH_BELLY)
    assert answer.band("belly_wall_sore", "left") in ("none", "against")
    assert answer.steps == set()
    assert answer.concerns == set()


A_BELLY_THAT_IS_WATCHED = """
horse: {name: Bramble}
at first sight: {belly signs: looks at flank, breathing: easy}
before the visit: {appetite: off feed, work lately: steady, painkillers: none}
palpation: {flank: {both: 6}}
"""


def test_a_belly_that_is_watched(ask: Ask) -> None:
    """common practice: a guarded flank in a horse that looks at it is the belly and not its wall; the veterinarian, now."""
    answer = ask(A_BELLY_THAT_IS_WATCHED)
    assert answer.level == "emergency"
    assert answer.band("belly_wall_sore", "left") == "against"
    assert answer.steps == set()
    assert ("resting_hand_on_the_flank", "left") not in answer.withheld  # nobody even wants it


A_GUARDED_BACK_WHOSE_SPINES_ANSWER = f"""{A_GUARDED_BACK_IN_A_BOXED_HORSE}between the spinous processes:
  T15-T16: {{soreness: 4, touch: light, response: flinches, once settled: {{soreness: 4, touch: light, response: flinches}}}}
"""


def test_a_guarded_back_whose_spines_answer(ask: Ask) -> None:
    """common practice: guarding stands, and every step for the back waits for the veterinarian."""
    answer = ask(A_GUARDED_BACK_WHOSE_SPINES_ANSWER)
    assert answer.band(THORACIC, "left") == "strong"
    assert ("answers_between_the_spines_twice", "space_t15_t16") in answer.concerns
    assert hands(answer) == set()
    assert any("spines answered" in why for why in answer.withheld["hold_on_the_long_back", "left"])
    assert any("spines answered" in why for why in answer.withheld["mobilisation_exercises", ""])


A_SORE_CROUP_AND_A_BAD_CANTER = """
horse: {name: Tansy}
before the visit:
  ridden hard: none in 3 days
  speed work: none in 3 days
  painkillers: none
  sedation: none
  warm up: short
at first sight: {ten steps of walk: even, urine: usual, sweating: none}
settled under the hand: seen
palpation:
  croup: {left: 5, right: 2}
  top of the croup: {left: 5, right: 1}
  long back: {both: {soreness: 3, felt: [hard]}}
  outer hamstring: {left: 2, right: 1}
  rear hamstring: {left: 2, right: 1}
in hand: {trot in hand: even, both reins: seen, hind push off: even, toe drag: none}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
ridden: {canter against trot: canter worse, trot under the rider: even}
"""


def test_a_sore_croup_and_a_bad_canter(ask: Ask) -> None:
    """common practice with Barstow and Dyson 2015: the croup leads, the back is tense beside it; nothing is named beneath it."""
    answer = ask(A_SORE_CROUP_AND_A_BAD_CANTER)
    assert answer.band(CROUP, "left") == "strong"
    assert answer.band(CROUP, "right") in ("none", "against")
    assert answer.band(THORACIC, "left") == answer.band(THORACIC, "right") == "fair"
    assert ("hold_on_the_croup", "left") in answer.steps
    assert "no rocking at the top of the croup" in said(answer)
    assert not re.search(r"sacroiliac|joint", said(answer))
