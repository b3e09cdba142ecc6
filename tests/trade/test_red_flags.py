"""Red flags are never discounted, and what is quiet on painkillers or under sedation is unknown.

In: every example in the pages by which a concern is raised, with all circumstances that lessen anything added to it.
Out: the same concerns. Not here: the concerns one by one (their own pages).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import pytest

from reasoner.rulebook.pages import Concern
from reasoner.rulecare.example_check import Case
from tests.asking import Asked
from tests.rules.page_examples import answer_of, cases

Ask = Callable[[str], Asked]
CIRCUMSTANCES: dict[str, Any] = {
    "horse": {"name": "Magpie", "temperament": "stoic", "type": "cob or heavy"},
    "before the visit": {"painkillers": "given", "sedation": "given", "speed work": "in the last 3 days"},
    "settled under the hand": "not seen",
}
RAISED = [c for c in cases() if isinstance(c.page, Concern) and c.example.thanks_to]


def with_circumstances(recorded: Mapping[str, Any]) -> dict[str, Any]:
    """The same notes with every circumstance added that is not already written down."""
    out = dict(recorded)
    for key, value in CIRCUMSTANCES.items():
        out[key] = {**value, **out.get(key, {})} if isinstance(value, dict) else out.get(key, value)
    return out


@pytest.mark.parametrize("case", RAISED, ids=lambda case: case.name)
def test_no_circumstance_takes_a_red_flag_away(case: Case) -> None:
    """A stoic cob on a painkiller and sedated, not settled, galloped yesterday: what was raised is raised."""
    before = {(c.key, c.side, c.place) for c in answer_of(case).referral.concerns}
    lessened = replace(case, example=replace(case.example, recorded=with_circumstances(case.example.recorded)))
    after = {(c.key, c.side, c.place) for c in answer_of(lessened).referral.concerns}
    assert before
    assert before <= after


@pytest.mark.parametrize("circumstance", ["painkillers: given", "sedation: given"])
def test_a_quiet_place_is_then_unknown_and_a_sore_one_counts_in_full(ask: Ask, circumstance: str) -> None:
    """common practice and own setting: quiet counts for nothing, neither for nor against; sore counts as ever."""
    with_it, none = f"before the visit: {{{circumstance}}}\n", "before the visit: {painkillers: none, sedation: none}\n"
    quiet = "palpation: {loin: {both: 0}, withers: {both: 0}}"
    assert ask(none + quiet).band("loin_answers", "left") == "against"
    hidden = ask(with_it + quiet)
    for key in ("loin_answers", "withers_pinch"):
        assert hidden.certainty(key, "left") == hidden.certainty(key, "right") == 0.0
    rule = hidden.rules("loin_answers", "left")["sore on this side"]
    assert (rule.state, rule.support, rule.opposition) == ("waits", 0.0, 0.0)
    sore = "palpation: {loin: {both: 5}}"
    assert ask(with_it + sore).certainty("loin_answers", "left") == ask(none + sore).certainty("loin_answers", "left")


def test_a_quiet_horse_on_painkillers_is_not_called_quiet(ask: Ask) -> None:
    """common practice: nothing found is not the same as nothing there; the owner is told to ask first."""
    answer = ask("before the visit: {painkillers: given}\nquiet: {neck: both, back: both, croup: both}")
    assert answer.level == "routine"
    assert answer.riding == "not until the veterinarian has seen it"
    assert {c.band for c in answer.answer.explanation.concluded.values()} == {"none"}


@pytest.mark.parametrize(
    ("reading", "level", "stops"),
    [
        ("{soreness: 7, response: moves away}", "routine", {"this_place", "this_saddle"}),
        ("{soreness: 7, response: tightens}", "none", set()),
        ("{soreness: 6.5, response: moves away}", "none", set()),
        ("9", "prompt", {"hands_on_work", "riding", "exercises", "this_place"}),
        ("10", "prompt", {"hands_on_work", "riding", "exercises", "this_place"}),
        ("8.5", "none", set()),
        ("{soreness: 3, response: threatens}", "prompt", {"hands_on_work", "riding", "exercises", "this_place"}),
    ],
)
def test_very_sore_places(ask: Ask, reading: str, level: str, stops: set[str]) -> None:
    """own settings: 7 and moving away is routine, 9 or a threat is for today."""
    answer = ask(f"settled under the hand: seen\npalpation: {{withers: {{left: {reading}, right: 1}}}}")
    assert (answer.level, answer.stops()) == (level, stops)
    if level == "routine":
        assert answer.riding == "led, not ridden"


def test_a_second_quieter_touch_takes_no_red_flag_away(ask: Ask) -> None:
    """The worst reading is what a concern reads: 9 and then 2 is still told."""
    answer = ask("palpation: {withers: {left: {soreness: 9, once settled: 2, after work: 1}, right: 1}}")
    assert ("very_sore_or_threatens", "left withers") in answer.concerns


@pytest.mark.parametrize(
    "text",
    [
        "at first sight: {belly signs: paws or rolls}",
        "at first sight: {discharge: yellow}",
        "uneven steps: {left hind: slight}",
        "in hand: {trot in hand: uneven}",
    ],
)
def test_nobody_is_sent_to_look_for_more_where_hands_are_off(ask: Ask, text: str) -> None:
    """Own rule: with a reason to call that stops the hands, nothing more is trotted up or pressed to find out more."""
    account = ask(text + "\npalpation: {loin: {left: 4, right: 1}}").answer.explanation.account
    assert account.look_at == ()
    assert ask("palpation: {loin: {left: 4, right: 1}}").answer.explanation.account.look_at != ()


@pytest.mark.parametrize("place", ["withers", "long back muscle", "loin", "girth line"])
@pytest.mark.parametrize("reading", ["7", "would not allow touch"])
def test_a_horse_very_sore_under_girth_saddle_or_rider_is_led(ask: Ask, place: str, reading: str) -> None:
    """Own setting: a bare number does not say what the horse did, and one that refuses the hand has answered."""
    answer = ask(f"palpation: {{{place}: {{left: {reading}, right: 1}}}}")
    assert answer.riding == "led, not ridden"
    assert ask(f"palpation: {{{place}: {{left: 3, right: 1}}}}").riding == "as usual"
