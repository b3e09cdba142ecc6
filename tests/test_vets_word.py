"""What a veterinarian's word opens, and what closes it again.

In: visits with a word about an uneven step of the left hind. Out: what is still stopped.
Not here: reading a word (tests/visit), the wording of the plan.
"""

from __future__ import annotations

import pytest

from reasoner.consult import Answer, judge
from reasoner.rulebook.strict_yaml import parse
from reasoner.rules_cache import ready_rulebook
from reasoner.visit.reading import visit_from_node

UNEVEN = "uneven steps: {left hind: {is: slight, seen at: trot in hand}}\n"
WORD = (
    "veterinarian's word: {who: Dr Mossop, seen: 2026-04-10, about: [left hind], "
    "allows: [hands-on work], forbids: [], until: 2026-05-10}\n"
)
SORE = "palpation: {loin: {left: 6, right: 3}}\nsettled under the hand: seen\n"


def answer(text: str) -> Answer:
    ready = ready_rulebook()
    node = parse(("visit: 2026-04-18\n" + text).encode(), "visit.yaml")
    return judge(visit_from_node(node, "visit.yaml", ready.book.vocabulary), ready)


def standing(told: Answer) -> set[str]:
    return {stop for concern in told.referral.concerns for stop in concern.standing_stops}


def test_without_a_word_everything_stays_stopped() -> None:
    assert {"hands_on_work", "riding"} <= standing(answer(UNEVEN + SORE))


def test_it_opens_exactly_what_it_allows_and_lowers_nothing() -> None:
    before, after = answer(UNEVEN + SORE), answer(UNEVEN + WORD + SORE)
    assert after.referral.level == before.referral.level
    assert {c.key for c in after.referral.concerns} == {c.key for c in before.referral.concerns}
    assert standing(before) - standing(after) == {"hands_on_work"}
    assert after.plan.riding.answer == before.plan.riding.answer
    assert any(step.kind == "bodywork" for step in after.plan.steps)
    assert not any(step.kind == "bodywork" for step in before.plan.steps)


@pytest.mark.parametrize(
    ("change", "because"),
    [
        (("until: 2026-05-10", "until: 2026-04-12"), "ended"),
        (("about: [left hind]", "about: [right hind]"), ""),
        (("uneven steps: {", "uneven steps: {right fore: slight, "), "has come up"),
        (("visit", "visit"), "has come up"),
    ],
    ids=["it has ended", "it is about another leg", "another leg has begun", "a prompt sign has come up"],
)
def test_what_closes_it(change: tuple[str, str], because: str) -> None:
    text = (UNEVEN + WORD + SORE).replace(*change)
    if change[0] == change[1]:
        text += "before the visit: {temper: suddenly changed}\n"
    told = answer(text)
    assert "hands_on_work" in standing(told)
    (release,) = told.referral.releases
    assert because in release.closed_because
    assert release.holds is not bool(because)
    assert not any(step.kind == "bodywork" for step in told.plan.steps)


def test_an_emergency_is_opened_by_nobody() -> None:
    told = answer(UNEVEN.replace("slight", "not bearing weight") + WORD + SORE)
    assert told.referral.level == "emergency"
    assert "hands_on_work" in standing(told)
    assert told.plan.steps == ()


def test_what_it_forbids_is_held_back_whatever_is_found() -> None:
    word = WORD.replace("forbids: []", "forbids: [exercises, riding]")
    told = answer(word + "palpation: {withers: {both: 1}}\n")
    assert told.plan.riding.answer == "not until the veterinarian has seen it"
