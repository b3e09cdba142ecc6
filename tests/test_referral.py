"""What a veterinarian's word may open, attacked from every side: it opens what it says, where it says, and until when.

In: visits with a word beside other findings. Out: what stays stopped, and what the plan lets stand.
Not here: the plain road of one word (test_vets_word), reading a word (tests/visit).
"""

from __future__ import annotations

import pytest

from reasoner.consult import Answer
from tests.asking import ask

LEFT_HIND = "uneven steps: {left hind: slight}\n"
MARKED = "uneven steps: {left hind: marked}\n"
WITHERS = "palpation: {withers: {both: 6}, behind the poll: {left: 5, right: 5}, front of the upper arm: {both: 5}}\n"
SPACE = (
    "between the spinous processes: {T14-T15: {soreness: 3, response: flinches, touch: light, "
    "once settled: {soreness: 3, response: flinches, touch: light}}}\n"
)


def word(
    about: str, allows: str = "", forbids: str = "", until: str = ", until: 2026-05-10", seen: str = "2026-04-10"
) -> str:
    return (
        f"veterinarian's word: {{who: Dr Mossop, seen: {seen}, about: [{about}], allows: [{allows}], "
        f"forbids: [{forbids}]{until}}}\n"
    )


def judged(*parts: str) -> Answer:
    return ask("visit: 2026-04-18\nsettled under the hand: seen\n" + "".join(parts)).answer


def standing(told: Answer) -> set[str]:
    return {stop for concern in told.referral.concerns for stop in concern.standing_stops}


def kinds(told: Answer) -> set[str]:
    return {step.kind for step in told.plan.steps}


# -- until when ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("until", "seen", "opens"),
    [
        (", until: 2026-04-18", "2026-04-10", True),
        (", until: 2026-04-17", "2026-04-10", False),
        ("", "2026-04-18", True),
        ("", "2026-04-17", False),
        ("", "2024-04-18", False),
    ],
    ids=["to this very day", "to yesterday", "given today", "given yesterday, no end", "given two years ago, no end"],
)
def test_a_word_holds_to_its_last_day_and_without_one_on_its_own_day(until: str, seen: str, opens: bool) -> None:
    told = judged(LEFT_HIND, word("left hind", "hands-on work", until=until, seen=seen), WITHERS)
    assert ("hands_on_work" not in standing(told)) is opens
    assert ("bodywork" in kinds(told)) is opens
    assert told.referral.releases[0].holds is opens


# -- which side, which concern ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("about", ["right hind", "left fore", "left back", "withers", "temperature"])
def test_a_word_about_something_else_opens_nothing(about: str) -> None:
    told = judged(LEFT_HIND, word(about, "hands-on work, riding, exercises"), WITHERS)
    assert {"hands_on_work", "riding", "exercises"} <= standing(told)
    assert told.plan.riding.answer == "not until the veterinarian has seen it"


@pytest.mark.parametrize(("about", "opens"), [("back", True), ("left back", False), ("right back", False)])
def test_a_word_about_one_side_does_not_open_the_midline(about: str, opens: bool) -> None:
    told = judged(SPACE, word(about, "riding, back work, this place"))
    assert ("riding" not in standing(told)) is opens
    assert told.referral.level == "prompt"


# -- which leg, and how bad it was ------------------------------------------------------------------------------------


def graded(legs: str, about: str = "uneven steps", seen: str = "2026-04-10") -> str:
    """A word that grades the legs named and allows the hands."""
    return word(about, "hands-on work", seen=seen).replace("}\n", f", grade: {{scale: AAEP, {legs}}}}}\n")


@pytest.mark.parametrize(
    ("legs", "grade", "opens"),
    [
        ("left hind: slight", "left hind: 2", True),
        ("left hind: slight", "right hind: 2", False),
        ("left hind: slight", "left fore: 2", False),
        ("left hind: slight, right fore: slight", "left hind: 2", False),
        ("left hind: slight, right fore: slight", "left hind: 2, right fore: 1", True),
    ],
)
def test_a_leg_named_in_the_grade_narrows_what_the_word_is_about(legs: str, grade: str, opens: bool) -> None:
    """ "Uneven steps" with a grade for one leg is about that leg; every other leg is still to be seen."""
    told = judged(f"uneven steps: {{{legs}}}\n", graded(grade), WITHERS)
    assert ("hands_on_work" not in standing(told)) is opens
    assert ("bodywork" in kinds(told)) is opens


def test_a_grade_does_not_take_away_the_trot_that_names_no_leg() -> None:
    told = judged(LEFT_HIND, "in hand: {trot in hand: uneven}\n", graded("left hind: 2"), WITHERS)
    assert "hands_on_work" not in standing(told)


@pytest.mark.parametrize(
    ("about", "seen", "opens"),
    [
        ("left hind", "2026-04-10", False),
        ("uneven steps", "2026-04-10", False),
        ("left hind slight", "2026-04-10", False),
        ("slight left hind", "2026-04-18", False),
        ("uneven behind slightly", "2026-04-10", False),
        ("uneven behind slightly", "2026-04-18", False),
        ("right hind marked", "2026-04-10", False),
        ("left hind marked", "2026-04-10", True),
        ("left hind not bearing weight", "2026-04-10", True),
        ("uneven steps marked", "2026-04-10", True),
        ("left uneven behind markedly", "2026-04-10", True),
        ("left hind", "2026-04-18", True),
        ("uneven steps", "2026-04-18", True),
    ],
)
def test_a_word_about_a_slight_step_opens_nothing_now_that_it_is_marked(about: str, seen: str, opens: bool) -> None:
    """A word of an earlier day reaches a marked step only where it says so; one of this very day has seen this step."""
    told = judged(MARKED, word(about, "hands-on work", seen=seen), WITHERS)
    assert ("hands_on_work" not in standing(told)) is opens
    assert ("bodywork" in kinds(told)) is opens
    assert told.referral.level == "prompt"


@pytest.mark.parametrize(
    "about", ["left hind", "left hind slight", "left hind marked", "uneven steps", "uneven steps slight"]
)
def test_any_of_them_is_about_a_step_that_is_slight_today(about: str) -> None:
    told = judged(LEFT_HIND, word(about, "hands-on work"), WITHERS)
    assert "hands_on_work" not in standing(told)


def test_an_uneven_walk_is_more_than_the_slight_step_of_an_earlier_word() -> None:
    walk = "at first sight: {ten steps of walk: uneven}\n"
    assert "hands_on_work" in standing(judged(LEFT_HIND, walk, word("uneven steps", "hands-on work"), WITHERS))
    marked = judged(LEFT_HIND, walk, word("uneven steps marked", "hands-on work"), WITHERS)
    assert "hands_on_work" not in standing(marked)


# -- what it forbids -------------------------------------------------------------------------------------------------


def test_a_forbidden_saddle_is_not_ridden_in() -> None:
    told = judged(word("back", "", "this saddle"))
    assert told.plan.riding.answer == "not in this saddle"
    assert "Dr Mossop" in told.plan.riding.because[0]


@pytest.mark.parametrize(
    ("legs", "holds"), [("left hind: slight", True), ("left hind: slight, right fore: slight", False)]
)
def test_a_new_sign_closes_what_is_allowed_and_not_what_is_forbidden(legs: str, holds: bool) -> None:
    """One word, and another sign of the same family: what the veterinarian forbade must not come open with it."""
    parts = f"uneven steps: {{{legs}}}\n", WITHERS
    told = judged(*parts, word("left hind", "hands-on work, riding", "this saddle"))
    assert told.referral.releases[0].holds is holds
    assert told.referral.forbidding("this_saddle") == ("Dr Mossop",)
    assert told.plan.riding.answer == ("not in this saddle" if holds else "not until the veterinarian has seen it")


def test_a_second_word_does_not_open_what_a_closed_one_forbids() -> None:
    """The first word is closed (no end, given before today), and what it forbids is still forbidden."""
    first = "{who: Dr Mossop, seen: 2026-04-12, about: [left hind], allows: [riding], forbids: [hands-on work]}"
    second = "{who: Dr Mossop, seen: 2026-04-10, about: [left hind], allows: [hands-on work], until: 2026-05-10}"
    told = judged(LEFT_HIND, f"veterinarian's word: [{first}, {second}]\n", WITHERS)
    assert "hands_on_work" in standing(told)
    assert "bodywork" not in kinds(told)


def test_what_was_forbidden_until_yesterday_is_not_forbidden_today() -> None:
    told = judged(word("back", "", "riding", until=", until: 2026-04-17"))
    assert told.referral.forbidding("riding") == ()


# -- pressing concerns -----------------------------------------------------------------------------------------------


def test_a_prompt_sign_released_for_hands_on_work_opens_the_hands_and_nothing_else() -> None:
    told = judged(MARKED, word("left hind marked", "hands-on work"), WITHERS)
    assert told.referral.level == "prompt"
    assert "bodywork" in kinds(told)
    assert kinds(told) <= {"bodywork", "recheck"}  # to look again by hand is hands-on work too
    assert told.plan.riding.answer == "not until the veterinarian has seen it"
    assert {"riding", "exercises"} <= standing(told)


def test_hands_on_work_alone_does_not_open_back_work_at_prompt_and_saying_so_does() -> None:
    alone = judged(MARKED, word("left hind marked", "hands-on work"), WITHERS)
    both = judged(MARKED, word("left hind marked", "hands-on work, back work"), WITHERS)
    assert "flat_hand_at_the_withers" not in {step.key for step in alone.plan.steps}
    assert "flat_hand_at_the_withers" in {step.key for step in both.plan.steps}


def test_riding_allowed_does_not_allow_the_saddle_that_was_to_stay_off() -> None:
    """Without the word the saddle stays off; a word about the spines, which allows riding, says nothing of the saddle."""
    before = judged(WITHERS)
    assert before.plan.riding.answer == "not in this saddle"
    after = judged(SPACE, word("back", "riding, back work, this place"), WITHERS)
    assert after.plan.riding.answer == "not in this saddle"


@pytest.mark.parametrize("about", ["left hind", "uneven steps"])
def test_nobody_opens_an_emergency(about: str) -> None:
    text = "uneven steps: {left hind: not bearing weight}\n"
    told = judged(text, word(about, "hands-on work, riding, exercises, back work, this saddle"), WITHERS)
    assert {"hands_on_work", "riding", "exercises"} <= standing(told)
    assert not told.plan.steps


def test_a_prompt_sign_elsewhere_closes_the_word_and_its_own_stops_stand() -> None:
    told = judged(LEFT_HIND, word("left hind", "hands-on work, riding, exercises"), WITHERS,
                  "before the visit: {temper: suddenly changed}\n")  # fmt: skip
    assert {"hands_on_work", "riding", "exercises"} <= standing(told)
    assert told.plan.riding.answer == "not until the veterinarian has seen it"
    assert not told.plan.steps
