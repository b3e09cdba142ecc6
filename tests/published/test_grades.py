"""A veterinarian's grade of uneven steps: the words and the range of its scale, kept as given and never converted.

In: grades as a veterinarian's word. Out: read as written, or refused. Source: LM01, the scale of the American Association
of Equine Practitioners (rules/sources/aaep_scale, high); LM02 and LM05, what follows from it (high).
Not here: what a practitioner writes (slight, marked, not bearing weight).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

import pytest

from reasoner.problems import BadInput
from tests.asking import Asked, shipped, visit_of

Ask = Callable[[str], Asked]


def word(grade: str, scale: str = "AAEP") -> str:
    """A veterinarian's word with one grade."""
    return f"veterinarian's word: {{who: Dr Mossop, seen: 2026-04-10, grade: {{scale: {scale}, left hind: {grade}}}}}"


@pytest.mark.parametrize("grade", ["0", "1", "2", "3", "4", "5", "3/5", "2 of 5"])
def test_grades_of_the_scale_are_kept_as_given(grade: str) -> None:
    """LM01: 0 to 5; LM05: the scale's name stays with the grade."""
    (given,) = visit_of(word(grade)).vets_words[0].grades
    assert (given.scale, given.grade) == ("AAEP", grade)


@pytest.mark.parametrize("grade", ["6", "7", "10", "-1", "2/10", "4 of 10", "slight", "lame"])
def test_what_is_not_on_the_scale_is_refused(grade: str) -> None:
    """LM01: nothing below 0 or above 5; LM05: 4 of 10 is not a grade of this scale, nor turned into one."""
    with pytest.raises(BadInput, match="VF"):
        visit_of(word(grade))


def test_another_scale_is_kept_beside_it_and_not_converted() -> None:
    """LM03 and LM05: a 0-10 scale is another scale; its 7 stays 7, and stays with its name."""
    (given,) = visit_of(word("7", "UK 0-10")).vets_words[0].grades
    assert (given.scale, given.grade) == ("UK 0-10", "7")


def test_no_grade_moves_any_answer(ask: Ask) -> None:
    """LM02: the scale mixes how often with how bad, so no rule reads it; every grade leaves every answer as it was."""
    text = "uneven steps: {left hind: slight}\npalpation: {loin: {both: 5}}\n"
    answers = [ask(text + word(grade)).answer for grade in ("0", "2", "5")] + [ask(text + word("9", "UK 0-10")).answer]
    first = answers[0]
    for other in answers[1:]:
        assert other.explanation.supported() == first.explanation.supported()
        assert other.referral.concerns == first.referral.concerns
        assert other.plan == first.plan


def test_the_words_of_the_scale() -> None:
    """LM01, in our words.

    0 nothing in any circumstances, 3 every time at the trot, 4 plain at the walk, 5 no weight.
    """
    scale = cast("dict[str, Any]", shipped().book.vocabulary.facts["grade_scales"])["AAEP"]
    assert list(scale["grades"]) == ["0", "1", "2", "3", "4", "5"]
    for grade, parts in {
        "0": ["nothing", "any circumstances"],
        "1": ["hard to see", "not every time"],
        "2": ["hard to see", "walk", "straight trot", "certain circumstances"],
        "3": ["every time at the trot", "all circumstances"],
        "4": ["at the walk"],
        "5": ["weight", "at rest", "unable to move"],
    }.items():
        assert [part for part in parts if part not in scale["grades"][grade]] == []
    assert scale["basis"] == ["aaep_scale"]


def test_our_own_levels_follow_the_order_of_the_scale(ask: Ask) -> None:
    """LM01: no weight (5) stands above plain at the walk (4), and that above uneven at the trot only (3 and below)."""
    order = list(shipped().book.scales.calls)
    no_weight = ask("uneven steps: {left hind: not bearing weight}").level
    walk = ask("at first sight: {ten steps of walk: uneven}").level
    trot = ask("in hand: {trot in hand: uneven}").level
    assert order.index(no_weight) > order.index(walk) > order.index(trot) >= 0
