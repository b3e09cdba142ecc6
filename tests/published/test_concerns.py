"""Reasons to call the veterinarian, against published work: what raises them, what does not, and what they never say.

In: visits with one published sign, near its limit and away from it. Out: concerns, levels, stops, and conclusions left alone.
Not here: whole visits (tests/cases), the vital signs of grown horses (test_vital_signs). Each check names its source.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from reasoner.rulebook.pages import Concern, bases
from tests.asking import Asked, shipped

Ask = Callable[[str], Asked]
BOOK = shipped().book
EVEN = "in hand: {trot in hand: even, both reins: seen}\n"


def keys(asked: Asked) -> set[str]:
    """The concerns raised, wherever."""
    return {key for key, _ in asked.concerns}


def sign(page: str, name: str) -> tuple[Concern, tuple[str, ...], str]:
    """A page, and the basis and confidence of one of its signs."""
    concern = BOOK.concerns[page]
    found = next(s for s in concern.signs if s.sign == name)
    return concern, bases(found.basis), found.sure


def causes_above_slight(asked: Asked) -> set[str]:
    """The causes that the answer holds for more than slight."""
    every = asked.answer.explanation.concluded.values()
    return {c.key for c in every if c.kind == "cause" and c.band in ("fair", "strong")}


# -- the count of ridden behaviours ----------------------------------------------------------------------------------


@pytest.mark.parametrize(("count", "raised"), [(0, False), (7, False), (8, True), (24, True)])
def test_eight_of_twenty_four_is_the_published_total(ask: Ask, count: int, raised: bool) -> None:
    """PA01: Dyson, Berger, Ellis and Mullard 2018 (high): 8 or more of 24 suggest pain in the moving parts."""
    asked = ask(f"ridden: {{ridden signs: {count}}}\n")
    assert ("ridden_signs_at_the_total" in keys(asked)) is raised
    assert (asked.level == "routine") is raised


def test_at_the_total_it_is_the_veterinarian_and_not_our_hands(ask: Ask) -> None:
    """PA06, Dyson and Pollard 2021 (high, a rule after PA01).

    From 8 on a veterinarian and not massage; what was wanted waits.
    """
    sore = "settled under the hand: seen\npalpation: {behind the poll: {left: 5, right: 5}, front of the upper arm: {both: 5}}\n"
    before, after = ask(sore), ask(sore + "ridden: {ridden signs: 9}\n")
    assert {key for key, _ in before.steps} & {"hold_behind_the_poll", "hold_front_of_the_upper_arm"}
    assert not {s.kind for s in after.answer.plan.steps} & {"bodywork", "exercise"}
    assert after.riding == "not until the veterinarian has seen it"


def test_a_low_count_lowers_nothing(ask: Ask) -> None:
    """PA06 and PA04: Dyson and Pollard 2021 (high).

    A low count rules nothing out; at the top of the sport 7 told already.
    """
    uneven = "uneven steps: {left hind: slight}\npalpation: {loin: {both: 5}}\n"
    without, low = ask(uneven), ask(uneven + "ridden: {ridden signs: 2}\n")
    assert low.concerns == without.concerns
    assert low.level == without.level
    assert low.stops() == without.stops()
    assert "7" in BOOK.concerns["ridden_signs_at_the_total"].can_mislead


# -- uneven only under the rider -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("trot", "raised"), [("even", False), ("uneven on one diagonal", False), ("uneven on both diagonals", True)]
)
def test_one_diagonal_may_be_the_rising_and_both_are_not(ask: Ask, trot: str, raised: bool) -> None:
    """R06 and CO17: Persson-Sjodin and others 2018, 26 horses (high).

    Rising lowers one half of the hips' rise by itself.
    """
    asked = ask(f"{EVEN}ridden: {{trot under the rider: {trot}}}\n")
    assert ("uneven_under_the_rider" in keys(asked)) is raised
    assert ("riding" in asked.stops()) is raised


@pytest.mark.parametrize("in_hand", ["", EVEN])
def test_an_even_trot_in_hand_takes_nothing_back(ask: Ask, in_hand: str) -> None:
    """LM10: Dyson and Pollard 2020, 60 horses (high).

    73% of ridden horses thought to be right went unevenly in some leg.
    """
    asked = ask(f"{in_hand}ridden: {{trot under the rider: uneven on both diagonals}}\n")
    assert "uneven_under_the_rider" in keys(asked)
    assert {"hands_on_work", "riding", "exercises"} <= asked.stops()


# -- dislike of the tack ---------------------------------------------------------------------------------------------

TACK = {
    "girthing": ("girthed", "dislikes_girthing"),
    "saddling": ("girthed", "dislikes_saddling"),
    "mounting": ("rider up", "dislikes_mounting"),
}


@pytest.mark.parametrize("what", TACK)
@pytest.mark.parametrize(
    ("dislike", "raised"), [("quiet", False), ("mild dislike", False), ("marked dislike", True), ("new dislike", True)]
)
def test_a_new_or_marked_dislike_goes_to_the_veterinarian_first(
    ask: Ask, what: str, dislike: str, raised: bool
) -> None:
    """P28: Dyson, Bondi, Routh, Pollard and others 2021, 193 horses (high); DX16, the rule after DX15 (high)."""
    section, key = TACK[what]
    asked = ask(f"tacked up: {{{section}: {{{what}: {dislike}}}}}\n")
    assert (key in keys(asked)) is raised
    assert asked.level == ("routine" if raised else "none")


@pytest.mark.parametrize("what", TACK)
def test_a_dislike_alone_names_neither_saddle_nor_back_nor_leg(ask: Ask, what: str) -> None:
    """P28, Dyson and others 2021 (high).

    Tight points, sore backs and uneven legs all went with it, so that by itself it makes no cause.
    """
    section, _ = TACK[what]
    assert causes_above_slight(ask(f"tacked up: {{{section}: {{{what}: marked dislike}}}}\n")) == set()


def test_the_sore_place_under_a_disliked_girth_is_not_worked_on(ask: Ask) -> None:
    """DX15: Millares-Ramirez and Le Jeune 2019 (high).

    3 of 37 were put down to the saddle; DX16, a rule after it: veterinarian first.
    """
    assert round(100 * 3 / 37) == 8
    asked = ask(
        "palpation: {girth line: {both: 5}, breastbone: 4}\ntacked up: {girthed: {girthing: new dislike}}\n"
        "settled under the hand: seen\n"
    )
    worked_on = {place for step, _ in asked.steps for entry in BOOK.actions[step].works_on for place in entry}
    assert not worked_on & {"girth_line", "breastbone", "behind_the_elbow"}
    assert asked.riding == "not until the veterinarian has seen it"
    assert not causes_above_slight(asked) & {"withers_pinch", "saddle_to_one_side"}


# -- the top of the croup --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("gaits", "raised"), [("canter worse", True), ("trot worse", False), ("same", False)])
def test_canter_worse_than_trot_is_the_sign_beside_a_sore_croup(ask: Ask, gaits: str, raised: bool) -> None:
    """DX12 and DX13: Barstow and Dyson 2015 (high).

    Canter worse in 81% of 43 and 73% of all 296; on the side that answers.
    """
    asked = ask(f"palpation: {{top of the croup: {{left: 1, right: 4}}}}\nridden: {{canter against trot: {gaits}}}\n")
    found = {where for key, where in asked.concerns if key == "sore_top_of_the_croup_canter_worse"}
    assert found == ({"right"} if raised else set())


def test_the_whole_horse_is_to_be_looked_at(ask: Ask) -> None:
    """DX14, Barstow and Dyson 2015 (high).

    253 of 296 had another source as well, so no cause is named, and the legs are to be told of too.
    """
    assert round(100 * 253 / 296) == 85
    asked = ask("palpation: {top of the croup: {left: 5, right: 1}}\nridden: {canter against trot: canter worse}\n")
    assert causes_above_slight(asked) == set()
    page = BOOK.concerns["sore_top_of_the_croup_canter_worse"]
    assert any("trot in hand" in line for line in page.tell_the_vet)


# -- muscle lost -----------------------------------------------------------------------------------------------------


def test_muscle_fallen_away_along_the_back_is_asked_about_and_stops_nothing(ask: Ask) -> None:
    """DX17: Riccio and others 2018 (high).

    79% of veterinarians asked took loss beside the spine for a sign; an opinion.
    """
    asked = ask("standing square: {topline: fallen away}\n")
    assert keys(asked) == {"topline_fallen_away"}
    assert (asked.level, asked.stops(), asked.riding) == ("routine", set(), "as usual")
    assert keys(ask("standing square: {topline: thin}\n")) == set()


# -- the lists of what is rung for -----------------------------------------------------------------------------------


def test_chewing_trouble_is_for_the_next_days_and_not_eating_for_now(ask: Ask) -> None:
    """RF01 (high) puts off feed at once.

    RF02, one practice's sheet (high as that), puts chewing trouble in the next days.
    """
    order = list(BOOK.scales.calls)
    drops, left = ask("standing square: {chewing: drops feed}\n"), ask("before the visit: {appetite: off feed}\n")
    assert (drops.level, left.level) == ("routine", "emergency")
    assert order.index(left.level) > order.index(drops.level)
    assert ask("standing square: {chewing: drops feed}\nbefore the visit: {appetite: off feed}\n").level == "emergency"


def test_a_recent_operation_stops_the_hands_everywhere_and_a_recent_injection_at_the_place(ask: Ask) -> None:
    """CI02: Hourdebaigt's handbook (medium; operations and injections added from memory): both are left alone."""
    operated = ask("before the visit: {procedure: recent}\npalpation: {upper neck: {left: 4, right: 0}}\n")
    injected = ask("before the visit: {injection: recent}\npalpation: {upper neck: {left: 4, right: 0}}\n")
    assert "hands_on_work" in operated.stops()
    assert injected.stops() == {"this_place"}
    assert {where for _, where in injected.concerns} == {"left upper_neck"}


def test_no_published_number_of_visits_so_three_is_ours_and_says_so(ask: Ask) -> None:
    """MA06, no publication, read from Sullivan 2008 and Bergh 2022 (low to medium).

    No standard was found; review after three; no change, veterinarian.
    """
    _, basis, sure = sign("no_better_after_agreed_visits", "three or more without change")
    assert "own setting" in basis
    assert sure == "low"
    levels = [ask(f"before the visit: {{visits without change: {n}}}\n").level for n in (0, 2, 3, 4)]
    assert levels == ["none", "none", "routine", "routine"]


# -- ranges that were read for grown horses --------------------------------------------------------------------------


@pytest.mark.parametrize("signs", ["temperature: 38 °C", "pulse: 40 /min", "breaths: 14 /min"])
def test_a_grown_horses_range_calls_nothing_usual_under_twelve_months(ask: Ask, signs: str) -> None:
    """VS01, six practice pages (high as the span of what was quoted).

    The ranges are a grown horse's; the same number, told by the age.
    """
    text = f"visit: 2026-04-18\nhorse: {{name: Clover, born: %s}}\nvital signs: {{{signs}}}\n"
    foal, grown = ask(text % "2025-10-02"), ask(text % "2017-05-02")
    assert foal.level == "prompt"
    assert "numbers_under_twelve_months" in keys(foal)
    assert grown.level == "none"


@pytest.mark.parametrize(("pulse", "level"), [(40, "prompt"), (46, "prompt"), (52, "prompt"), (64, "emergency")])
def test_knowing_that_it_is_young_never_lowers_a_call(ask: Ask, pulse: int, level: str) -> None:
    """VS02, VS03 and RF03 (medium; own settings where not published): the limits hold for a young horse as a floor."""
    order = ["none", *BOOK.scales.calls]
    text = f"visit: 2026-04-18\nvital signs: {{pulse: {pulse} /min}}\n"
    unknown, young = ask(text), ask(text + "horse: {name: Clover, born: 2025-10-02}\n")
    assert young.level == level
    assert order.index(young.level) >= order.index(unknown.level)
    assert unknown.concerns <= young.concerns
    assert unknown.stops() <= young.stops()


# -- one leg is not another ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("leg", "opens"), [("left hind", True), ("right hind", False)])
def test_a_graded_leg_opens_no_other(ask: Ask, leg: str, opens: bool) -> None:
    """LM06 and LM07: Keegan and others 2010, 131 horses (high).

    Practised eyes named the same worst leg in half of them.
    """
    word = (
        "veterinarian's word: {who: Dr Mossop, seen: 2026-04-10, about: [uneven steps], allows: [hands-on work], "
        "until: 2026-05-10, grade: {scale: AAEP, left hind: 2}}\n"
    )
    asked = ask(f"visit: 2026-04-18\nuneven steps: {{{leg}: slight}}\n{word}")
    assert ("hands_on_work" not in asked.stops()) is opens
