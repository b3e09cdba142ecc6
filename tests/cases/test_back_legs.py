"""Whole visits for legs that are spared, an old hurt, lost muscle and a slip: what leads, what is called, what waits.

In: visits of 8 to 25 lines, each as written and in the mirror. Out: leading account, bands, calls, steps, withheld steps.
Not here: back, loin, quarters and belly (test_back.py); published figures (tests/published/test_back.py).
"""

from __future__ import annotations

from collections.abc import Callable

from tests.asking import Asked
from tests.cases.back_words import hands, said

Ask = Callable[[str], Asked]
CROUP, FORE, HIND = "croup_sore", "spares_a_foreleg", "spares_a_hind_limb"
OLD, LESS = "old_injury_still_felt", "less_muscle_on_one_side"


FORE_AND_HIND_ON_ONE_SIDE = """
horse: {name: Juno}
before the visit: {ridden hard: none in 3 days, painkillers: none}
palpation:
  croup: {left: 2, right: 5}
  rear hamstring: {left: 1, right: 5}
  outer hamstring: {left: 1, right: 4}
  triceps: {left: 1, right: 3}
in hand: {trot in hand: uneven, both reins: seen, hind push off: left, withers at the trot: right}
uneven steps: {left fore: slight, left hind: slight, seen at: trot in hand, seen by a veterinarian: no}
"""


def test_fore_and_hind_on_one_side(ask: Ask) -> None:
    """common practice, CO10 medium: same side, the hind first; the soreness across is its load, and no hand goes there."""
    answer = ask(FORE_AND_HIND_ON_ONE_SIDE)
    assert answer.starting_points == {(HIND, "left")}
    assert answer.band(HIND, "left") == "strong"
    assert answer.band(FORE, "left") in ("none", "against")
    assert ((HIND, "left"), (CROUP, "right")) in answer.chains()
    assert {("uneven_behind_slightly", "left"), ("uneven_in_front_slightly", "left")} <= answer.concerns
    assert answer.steps == {("veterinarian_for_the_spared_hind", "left")}
    assert ("hold_on_the_croup", "right") in answer.withheld
    assert "inference" in said(answer)


FORE_AND_HIND_ACROSS = """
horse: {name: Pewter}
before the visit: {ridden hard: none in 3 days, painkillers: none}
palpation:
  triceps: {left: 1, right: 5}
  shoulder blade rear: {left: 1, right: 4}
  croup: {left: 1, right: 5}
in hand: {trot in hand: uneven, withers at the trot: left}
uneven steps: {left fore: slight, right hind: slight, seen at: trot in hand, seen by a veterinarian: no}
"""


def test_fore_and_hind_across(ask: Ask) -> None:
    """common practice, CO10 medium: across, the fore first; the veterinarian sees the steps before any hand works."""
    answer = ask(FORE_AND_HIND_ACROSS)
    assert answer.starting_points == {(FORE, "left")}
    assert answer.band(HIND, "right") in ("none", "against")
    assert ("veterinarian_for_the_spared_foreleg", "left") in answer.steps
    assert ("veterinarian_for_the_spared_hind", "right") not in answer.steps
    assert hands(answer) == set()
    assert "not until" in answer.riding


UNEVEN_ON_ONE_DIAGONAL_OF_THE_RIDER_ONLY = """
horse: {name: Fennel}
before the visit: {ridden hard: none in 3 days, painkillers: none}
palpation: {croup: {both: 2}, loin: {both: 1}}
in hand: {trot in hand: even, both reins: seen, toe drag: right, hind push off: even}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
ridden: {trot under the rider: uneven on one diagonal, saddle comes to: straight, seen on: both reins}
"""


def test_uneven_on_one_diagonal_of_the_rider_only(ask: Ask) -> None:
    """CO17: even in hand, uneven on one diagonal of the rising seat; no leg is called spared and nothing is trained."""
    answer = ask(UNEVEN_ON_ONE_DIAGONAL_OF_THE_RIDER_ONLY)
    assert answer.band(HIND, "left") == answer.band(HIND, "right") == "against"
    assert "uneven under the rider on one diagonal only" in answer.spoke(HIND, "right")
    assert not {HIND, "hind_pushes_off_less"} & {key for key, _ in answer.supported}
    assert answer.steps == set()


AN_OLD_KICK_BEHIND = """
horse: {name: Otter}
before the visit:
  ridden hard: none in 3 days
  speed work: none in 3 days
  painkillers: none
  sedation: none
  soreness onset: slow
  fall or blow: none
  old injury: {left: none, right: hind end}
  visits without change: 2
settled under the hand: seen
palpation:
  rear hamstring: {left: {soreness: 1, felt: [nothing]}, right: {soreness: 4, felt: [hard]}}
  outer hamstring: {left: 1, right: 2}
  croup: {left: 2, right: 2}
standing square: {smaller quarter: right}
in hand: {trot in hand: even, both reins: seen, hind push off: even}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
"""


def test_an_old_kick_behind(ask: Ask) -> None:
    """common practice: an old hurt, a hard band and a smaller quarter on one side; who treated it is asked first."""
    answer = ask(AN_OLD_KICK_BEHIND)
    assert answer.starting_points == {(OLD, "right")}
    assert answer.band(OLD, "right") == "strong"
    assert answer.band(OLD, "left") == "against"
    assert {
        ("ask_who_treated_the_old_injury", "right"),
        ("cross_fibre_behind", "right"),
        ("slow_course", ""),
    } <= answer.steps
    fresh = ask(AN_OLD_KICK_BEHIND.replace("soreness onset: slow", "soreness onset: sudden"))
    assert fresh.certainty(OLD, "right") < answer.certainty(OLD, "right")
    assert any("fresh" in why for why in fresh.withheld["cross_fibre_behind", "right"])


MUSCLE_GONE_ON_ONE_SIDE = """
horse: {name: Sorrel}
before the visit: {ridden hard: none in 3 days, painkillers: none, soreness onset: slow}
settled under the hand: seen
palpation:
  loin: {left: {soreness: 2, felt: [hollow]}, right: {soreness: 1, felt: [nothing]}}
  croup: {left: {soreness: 2, felt: [hollow]}, right: {soreness: 1, felt: [nothing]}}
standing square: {smaller quarter: left, topline: fallen away, lower hip: level}
in hand: {trot in hand: even, both reins: seen, hind push off: left, toe drag: none}
uneven steps: {left hind: even, right hind: even}
ridden: {trot under the rider: even}
"""


def test_muscle_gone_on_one_side(ask: Ask) -> None:
    """common practice: loin, croup and quarter say the same side; it is shown to the veterinarian and measured, not trained."""
    answer = ask(MUSCLE_GONE_ON_ONE_SIDE)
    assert answer.band(LESS, "left") == "strong"
    assert answer.band(LESS, "right") == "against"
    assert {("veterinarian_for_lost_muscle", "left"), ("measure_and_photograph_the_back", "")} <= answer.steps
    assert any("before anybody makes it stronger" in why for why in answer.withheld["poles_in_hand", ""])
    even = ask(MUSCLE_GONE_ON_ONE_SIDE.replace("hind push off: left", "hind push off: even"))
    assert ("poles_in_hand", "") in even.steps


PAIRED_HOLLOWS_ARE_NO_SIDE = """
horse: {name: Bramble}
before the visit: {ridden hard: none in 3 days, painkillers: none}
palpation:
  behind the shoulder blade: {both: {soreness: 3, felt: [hollow]}}
  withers: {both: {soreness: 4, felt: [hollow]}}
  long back: {both: 2}
standing square: {smaller quarter: even, topline: thin}
in hand: {trot in hand: even, both reins: seen}
tacked up: {saddle: {type: panelled, front: high, tree width: looks narrow}}
"""


def test_paired_hollows_are_no_side(ask: Ask) -> None:
    """common practice: hollows alike on both sides belong to the saddle's front and to no side of the horse."""
    answer = ask(PAIRED_HOLLOWS_ARE_NO_SIDE)
    assert {answer.band(LESS, side) for side in ("left", "right")} <= {"none", "against"}
    inside = {key for chain in answer.chains() for key in chain}
    assert {("withers_pinch", "left"), ("withers_pinch", "right")} <= inside
    assert answer.starting_points & {("tree_too_narrow", ""), ("withers_pinch", "left")}
    assert not {key for key, _ in answer.steps} & {"veterinarian_for_lost_muscle", "poles_in_hand"}


A_SLIP_TWO_WEEKS_AGO = """
visit: 2026-04-18
horse: {name: Juno}
before the visit:
  ridden hard: none in 3 days
  painkillers: none
  sedation: none
  fall or blow: 2026-04-02
  soreness onset: slow
at first sight: {ten steps of walk: even}
settled under the hand: seen
palpation:
  inner thigh: {left: 4, right: 1}
  inner hamstring: {left: 4, right: 1}
  front edge of the thigh: {both: 1}
in hand: {trot in hand: even, both reins: seen, hind push off: even}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
"""


def test_a_slip_two_weeks_ago(ask: Ask) -> None:
    """common practice: a sore inner thigh after a slip is ridden straight and left alone by every hand."""
    answer = ask(A_SLIP_TWO_WEEKS_AGO)
    assert answer.starting_points == {("inner_thigh_sore", "left")}
    assert ("straight_lines_for_the_inner_thigh", "") in answer.steps
    assert hands(answer) == set()
    lately = ask(A_SLIP_TWO_WEEKS_AGO.replace("2026-04-02", "2026-04-15"))
    assert ("fall_or_blow_lately", "") in lately.concerns
    assert ("straight_lines_for_the_inner_thigh", "") not in lately.steps
