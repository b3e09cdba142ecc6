"""Fact 8 of the trade: an answer to a light touch between the spines, once or twice, settled or not.

In: visits in which the spaces were touched. Out: when to call, what stops, what the plan still holds.
Not here: what lies beneath (never named). Basis: common practice; that 2 of 10 is an answer is an own setting.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.asking import Asked

Ask = Callable[[str], Asked]
ONCE, TWICE = "answers_between_the_spines_once", "answers_between_the_spines_twice"
PATTERN = "spines_answer_light_touch"


def touched(reading: str, *more: str) -> str:
    """One space touched, and a loin that answers and would be worked on."""
    return "\n".join(
        [
            "palpation: {loin: {both: 5}}",
            f"between the spinous processes: {{T14-T15: {reading}}}",
            *(more or ("settled under the hand: seen",)),
        ]
    )


AGAIN = "{soreness: 4, touch: light, response: flinches, once settled: {soreness: 4, response: flinches}}"
NOT_AGAIN = "{soreness: 4, touch: light, response: flinches, once settled: {soreness: 0, response: none}}"
SINGLE = "{soreness: 4, touch: light, response: flinches}"


@pytest.mark.parametrize(
    "reading",
    [
        AGAIN,
        "{soreness: 2, touch: light, once settled: 2}",
        "{touch: light, response: tightens, once settled: {response: ears back}}",
        "{soreness: 3, touch: light, once settled: would not allow touch}",
    ],
)
def test_8_repeated_once_settled_is_prompt_and_stops_back_work_and_riding(ask: Ask, reading: str) -> None:
    """common practice: an answer repeated once settled, skin twitch set apart, is for today."""
    answer = ask(touched(reading))
    assert answer.level == "prompt"
    assert (TWICE, "space_t14_t15") in answer.concerns
    assert {"back_work", "riding"} <= answer.stops()
    assert answer.riding == "not until the veterinarian has seen it"
    assert answer.steps == set()
    assert ("long_strokes_over_the_loin", "left") in answer.withheld


@pytest.mark.parametrize("reading", [SINGLE, NOT_AGAIN, "would not allow touch", "{soreness: 2, touch: light}"])
def test_8_one_unrepeated_answer_is_routine_and_leaves_the_back(ask: Ask, reading: str) -> None:
    """common practice: leave the back, repeat later; riding is not stopped by it."""
    answer = ask(touched(reading))
    assert answer.level == "routine"
    assert answer.concerns == {(ONCE, "space_t14_t15")}
    assert answer.stops() == {"back_work", "this_place"}
    assert answer.riding != "not until the veterinarian has seen it"
    assert not [key for key, _ in answer.steps if key == "long_strokes_over_the_loin"]
    assert ("long_strokes_over_the_loin", "right") in answer.withheld


def test_8_a_horse_that_never_settled_is_routine_however_often_it_answers(ask: Ask) -> None:
    """common practice: an unsettled horse answers everything; leave the back and repeat later."""
    twice = "{soreness: 4, touch: light, response: flinches, after work: {soreness: 4, response: flinches}}"
    assert ask(touched(twice, "settled under the hand: not seen")).level == "routine"
    assert ask(touched(twice, "settled under the hand: seen")).level == "prompt"


@pytest.mark.parametrize(
    "reading",
    [
        "{soreness: 0, touch: light, response: skin twitch, once settled: {soreness: 0, response: skin twitch}}",
        "{soreness: 1, touch: light, response: skin twitch}",
        "{touch: light, response: skin twitch, once settled: {response: skin twitch}}",
        "{soreness: 0, touch: light}",
    ],
)
def test_8_a_skin_twitch_alone_is_nothing(ask: Ask, reading: str) -> None:
    """common practice: skin twitch is not pain, once or twice."""
    answer = ask(touched(reading))
    assert (answer.level, answer.concerns) == ("none", set())
    assert answer.band(PATTERN) in ("none", "against")
    assert ("long_strokes_over_the_loin", "left") in answer.steps


def test_8_a_twitch_beside_an_answer_is_still_an_answer(ask: Ask) -> None:
    """common practice: set apart, the twitch neither makes an answer nor takes one away."""
    both = "soreness: 4, response: [skin twitch, flinches]"
    assert ask(touched(f"{{{both}, once settled: {{{both}}}}}")).level == "prompt"


def test_8_one_dip_of_the_back_is_normal(ask: Ask) -> None:
    """common practice: a dip under the hand on the loin raises nothing."""
    answer = ask("settled under the hand: seen\npalpation: {loin: {both: {soreness: 1, response: dips away}}}")
    assert (answer.level, answer.supported) == ("none", set())


def test_8_vertebra_numbers_by_hand_are_estimates(ask: Ask) -> None:
    """K06, Haussler, Stover and Willits 1997 (high): numbers found by hand are estimates, and the answer says about."""
    for reading in (SINGLE, AGAIN):
        concern = next(c for c in ask(touched(reading)).answer.referral.concerns if c.key in (ONCE, TWICE))
        assert "about T14-T15" in concern.words
        assert any("estimate" in line for line in concern.tell_the_vet)


def test_8_two_spaces_are_two_reasons(ask: Ask) -> None:
    """Each space answers for itself: one answer here and one there is not one answer twice."""
    answer = ask("between the spinous processes: {T13-T14: {soreness: 4}, T15-T16: {soreness: 4}}")
    assert answer.concerns == {(ONCE, "space_t13_t14"), (ONCE, "space_t15_t16")}
    assert answer.level == "routine"
