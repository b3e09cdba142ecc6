"""One finding is told once: the milder concern is told with the more pressing one, and nothing comes open by it.

In: visits on which several concerns rest on one finding. Out: what is listed, folded, stopped and said.
Not here: which pages may yield (tests/rules_room), a veterinarian's word in general (test_referral).
"""

from __future__ import annotations

import pytest

from reasoner.consult import Answer
from reasoner.plan.concerns import RaisedConcern
from reasoner.rendering.answer_json import answer_json
from reasoner.rendering.assess_text import assess_lines
from reasoner.rendering.text_page import plain_text
from tests.asking import ask, shipped

AGAIN = "{soreness: 4, response: flinches, touch: light, once settled: {soreness: 4, response: flinches, touch: light}}"
ONCE = "{soreness: 4, response: flinches, touch: light}"


def judged(text: str) -> Answer:
    return ask("visit: 2026-04-18\n" + text).answer


def listed(told: Answer) -> list[tuple[str, str]]:
    return [(c.key, c.place) for c in told.referral.concerns]


def one(told: Answer, key: str) -> RaisedConcern:
    (found,) = (c for c in told.referral.concerns if c.key == key)
    return found


def standing(told: Answer) -> set[str]:
    return {stop for concern in told.referral.concerns for stop in concern.standing_stops}


@pytest.mark.parametrize(
    ("pulse", "level", "key", "folds"),
    [
        (46, "routine", "vital_signs_just_outside", []),
        (52, "prompt", "vital_signs_well_outside", ["vital_signs_just_outside"]),
        (64, "emergency", "vital_signs_alarming", ["vital_signs_well_outside", "vital_signs_just_outside"]),
    ],
)
def test_one_pulse_is_one_reason_to_call(pulse: int, level: str, key: str, folds: list[str]) -> None:
    told = judged(f"vital signs: {{pulse: {pulse} /min}}\n")
    assert told.referral.level == level
    assert listed(told) == [(key, "")]
    assert [f.key for f in one(told, key).folds] == folds


def test_what_only_the_milder_one_saw_is_told_with_the_more_pressing_one() -> None:
    """White gums are alarming and the temperature is just outside: one entry, both findings, both signs."""
    told = judged("vital signs: {temperature: 38.7 °C}\nat first sight: {gums: white}\n")
    alarming = one(told, "vital_signs_alarming")
    assert len(told.referral.concerns) == 1
    assert {f.where for f in alarming.findings} == {"gums", "temperature"}
    assert "a little warm" in [sign for sign, _, _ in alarming.signs]
    lines = shipped().book.concerns["vital_signs_just_outside"].tell_the_vet
    assert set(lines) <= set(alarming.tell_the_vet)


def test_it_yields_at_its_own_place_only() -> None:
    told = judged(f"between the spinous processes: {{T14-T15: {AGAIN}, T16-T17: {ONCE}}}\n")
    assert listed(told) == [
        ("answers_between_the_spines_twice", "space_t14_t15"),
        ("answers_between_the_spines_once", "space_t16_t17"),
    ]
    assert [f.key for f in one(told, "answers_between_the_spines_twice").folds] == ["answers_between_the_spines_once"]


def test_it_yields_on_its_own_side_only() -> None:
    told = judged(
        "palpation: {loin: {left: {soreness: 9, response: moves away}, right: {soreness: 7, response: moves away}}}\n"
    )
    sides = {(c.key, c.side): [f.key for f in c.folds] for c in told.referral.concerns}
    assert sides == {
        ("very_sore_or_threatens", "left"): ["moves_away_from_the_hand"],
        ("moves_away_from_the_hand", "right"): [],
    }


def test_what_the_milder_one_stops_stays_stopped() -> None:
    """The saddle that was to stay off at 7 stays off at 9, though the page for 9 does not speak of it."""
    assert "this saddle" not in shipped().book.concerns["very_sore_or_threatens"].stops
    told = judged("palpation: {loin: {left: {soreness: 9, response: moves away}, right: 0}}\n")
    assert "this_saddle" in one(told, "very_sore_or_threatens").standing_stops


def test_a_word_about_the_more_pressing_page_opens_nothing_that_the_milder_one_stops() -> None:
    """Both stop back work and only the other stops riding: what the veterinarian said of one page is not said of both."""
    word = (
        "veterinarian's word: {who: Dr Mossop, seen: 2026-04-18, about: [answers between the spines twice], "
        "allows: [riding, back work], until: 2026-05-10}\n"
    )
    told = judged(f"between the spinous processes: {{T14-T15: {AGAIN}}}\n{word}")
    twice = one(told, "answers_between_the_spines_twice")
    assert twice.released == ("riding",)
    assert {"back_work", "this_place"} <= set(twice.standing_stops)
    both = word.replace("answers between the spines twice", "back")
    assert "back_work" not in standing(judged(f"between the spinous processes: {{T14-T15: {AGAIN}}}\n{both}"))


def test_json_and_the_full_page_name_what_was_folded() -> None:
    told = judged("vital signs: {pulse: 64 /min}\n")
    (concern,) = answer_json(told)["referral"]["concerns"]
    assert [(f["key"], f["call"]) for f in concern["folds"]] == [
        ("vital_signs_well_outside", "prompt"),
        ("vital_signs_just_outside", "routine"),
    ]
    page = " ".join(plain_text(assess_lines(told, full=True)).split())
    assert "is just outside the usual range" in page
    assert "just outside" not in " ".join(plain_text(assess_lines(told, full=False)).split())
