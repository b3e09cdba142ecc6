"""Cautious answers: stiff after work, too young to be ridden, and what is looked for without a promise.

In: visits to invented horses. Out: calls, the riding answer, and sentences of the pages that are read by owners.
Not here: the emergency with sweat and dark urine (test_concerns), steps told together (test_told_once).
"""

from __future__ import annotations

import re

import pytest

from reasoner.rendering import phrases, riding_words
from reasoner.rendering.answer_json import plan_json
from reasoner.rendering.assess_text import assess_lines
from reasoner.rendering.plan_text import plan_lines
from reasoner.rendering.report import report_html
from reasoner.rendering.text_page import plain_text
from tests.asking import Asked, ask

HARD = "before the visit: {ridden hard: in the last 3 days}\n"
RESTED = "before the visit: {ridden hard: none in 3 days, speed work: none in 3 days}\n"
STIFF_NOW = "at first sight: {ten steps of walk: stiff, sweating: none, attitude: bright, urine: usual}\n"
STIFF_AFTER = "in hand: {stiff after work: yes}\n"
SORE = "palpation: {loin: {both: 5}, long back: {both: 3}, croup: {both: 3}, top of the croup: {both: 3}}\n"
FOAL = "visit: 2026-04-18\nhorse: {name: Clover, born: 2025-08-10}\n"
NOT_UNTIL = "not until the veterinarian has seen it"


def plan_page(asked: Asked, *, full: bool = True) -> str:
    return " ".join(plain_text(plan_lines(asked.answer, full=full)).split())


def report(asked: Asked) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", report_html(asked.answer, "owner")).split())


# -- stiff, with nothing else ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("said", [STIFF_NOW, HARD + STIFF_NOW, HARD + STIFF_AFTER, RESTED + STIFF_NOW])
def test_stiff_steps_are_asked_about_before_it_is_worked(said: str) -> None:
    """Devereux (the picture begins with short stiff steps) and own setting (routine): not ridden, not worked, not trotted up."""
    asked = ask(said + SORE)
    assert asked.level == "routine"
    assert ("stiff_in_its_steps", "") in asked.listed
    assert {"riding", "exercises"} <= asked.stops()
    assert asked.riding == NOT_UNTIL
    kinds = {s.kind for s in asked.answer.plan.steps}
    assert not kinds & {"riding", "exercise", "rider"}
    assert not {key for key, _ in asked.steps} & {"look_at_the_hind_limb", "look_at_the_fore_end"}  # both trot it up


def test_stiff_with_sweat_stays_the_emergency_and_tells_the_milder_with_it() -> None:
    asked = ask(HARD + STIFF_NOW.replace("sweating: none", "sweating: patchy"))
    assert asked.level == "emergency"
    assert [c.key for c in asked.answer.referral.concerns] == ["stiff_and_sweating_after_work"]
    assert ("stiff_in_its_steps", "") in asked.concerns
    assert {"hands_on_work", "riding", "exercises"} <= asked.stops()


def test_stiff_after_ordinary_work_is_worked_easily_and_not_trotted_up() -> None:
    """By the owner's word and without hard work: no call by itself, easy work only, and watched the morning after."""
    asked = ask(
        RESTED + STIFF_AFTER + "palpation: {croup: {left: 1, right: 5}, top of the croup: {left: 1, right: 4}}\n"
    )
    assert asked.level == "none"
    assert asked.riding == "lightly"
    assert ("easy_days_while_stiff_after_work", "") in asked.steps
    assert not {key for key, _ in asked.steps} & {"look_at_the_hind_limb", "look_at_the_fore_end"}


def test_sore_after_hard_work_but_moving_freely_is_not_sent_to_the_veterinarian() -> None:
    asked = ask(HARD + SORE + "at first sight: {ten steps of walk: even}\nin hand: {stiff after work: no}\n")
    assert asked.level == "none"
    assert asked.riding == "lightly"


# -- too young to be ridden --------------------------------------------------------------------------------------------

WORD = (
    "veterinarian's word: {who: Dr Mossop, seen: 2026-04-18, about: [under twelve months], "
    "allows: [riding, hands-on work], until: 2026-05-10}\n"
)


@pytest.mark.parametrize(
    "more", ["", WORD, "vital signs: {pulse: 64 /min}\n", "at first sight: {ten steps of walk: uneven}\n"]
)
def test_a_foal_is_not_a_horse_that_may_be_ridden_one_day_soon(more: str) -> None:
    """Eight months old: neither "not until" nor a veterinarian's word makes it one."""
    asked = ask(FOAL + more)
    assert asked.riding == NOT_UNTIL  # the most closed of the four answers
    for text in (plan_page(asked), plan_page(asked, full=False), report(asked)):
        answer = text.partition("May Clover be ridden?")[2][:60]
        assert answer.strip().startswith("No. It is too young to be ridden"), answer
        assert phrases.RIDING[NOT_UNTIL] not in text
    told = plan_json(asked.answer)["plan"]
    assert told["riding_says"] == "No. It is too young to be ridden, whatever else is found."


def test_a_grown_horse_is_answered_as_before() -> None:
    asked = ask("visit: 2026-04-18\nhorse: {name: Clover, born: 2014}\nvital signs: {pulse: 64 /min}\n")
    assert riding_words.riding(asked.answer) == phrases.RIDING[NOT_UNTIL]
    assert plan_json(asked.answer)["plan"]["riding_says"] == phrases.RIDING[NOT_UNTIL]


# -- no promises -------------------------------------------------------------------------------------------------------


def test_what_is_hoped_for_is_said_as_what_we_look_for() -> None:
    """A number and a date read like a promise: the page says that it is what we look for, and what if it is not so."""
    asked = ask("visit: 2026-04-18\n" + HARD + SORE)
    for text in (plan_page(asked), plan_page(asked, full=False), report(asked)):
        assert "we look for loin, left: 2 of 10 or less (5 today)" in text
        assert phrases.IF_NOT_SO in text
        assert not re.search(r"\bfrom \d+ to \d+ of 10|\bwill (?:be|go|come) (?:better|down)", text)


# -- a value is said once ----------------------------------------------------------------------------------------------


def test_a_value_of_both_sides_is_said_once() -> None:
    """One entry under rules of both sides: "new dislike", not "new dislike; new dislike"."""
    asked = ask("palpation: {girth line: {both: 6}}\ntacked up: {girthed: {girthing: new dislike}}\n")
    for full in (True, False):
        text = " ".join(plain_text(assess_lines(asked.answer, full=full)).split())
        assert "new dislike" in text
        assert "new dislike; new dislike" not in text


# -- the first sixty seconds come first, in every output ---------------------------------------------------------------


@pytest.mark.parametrize("full", [True, False])
def test_what_nobody_looked_at_first_is_told_by_every_page(full: bool) -> None:
    """Own setting: a reason to call may stand among it, so no page sends a hand to the horse before it is named."""
    asked = ask("palpation: {behind the poll: {left: 4, right: 2}}\nat first sight: {breathing: easy}")
    page = " ".join(plain_text(assess_lines(asked.answer, full=full)).split())
    looks = page[page.index(phrases.TOO_LITTLE) :]
    assert looks.index("first sixty seconds, before anything else: attitude") < looks.index("by hand")
    for told in (page, plan_page(asked, full=full)):
        unchecked = told[told.upper().index("NOT CHECKED") :]
        assert "first sixty seconds" in unchecked
        assert "attitude" in unchecked
    owner = report(asked)
    assert owner.index("the first sixty seconds:") < owner.index("Where it answered to the hand")


def test_a_round_begun_with_all_of_it_is_not_told_to_begin_again() -> None:
    seen = (
        "at first sight: {attitude: bright, breathing: easy, standing: square, belly signs: none, sweating: none, bleeding: none,"
        " wound: none, eyes: open and bright, gums: pink, discharge: none, cough: none, glands: flat, swallowing: easy,"
        " skin: clear, feet and pulses: cool and quiet, urine: usual, ten steps of walk: even}\n"
    )
    asked = ask(seen + "palpation: {behind the poll: {left: 4, right: 2}}")
    assert "sixty seconds" not in " ".join(plain_text(assess_lines(asked.answer, full=True)).split())
