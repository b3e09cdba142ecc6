"""Slopes of the feet and a gait system's numbers in a visit: the same answer as the same thing written by eye.

In: visits with measurements. Out: entries worked out, answers equal, both sides alike in the mirror.
Not here: published limits (tests/published/test_measured_feet_and_gait.py).
"""

from __future__ import annotations

import pytest

from reasoner.facts.from_measures import worked_out
from reasoner.rendering.measured import measured
from reasoner.visit.model import mirrored
from tests.asking import Asked, ask, shipped, visit_of

BOOK = shipped().book
REST = """visit: 2026-04-18
before the visit: {shod: 2026-03-21}
settled under the hand: seen
standing square: {feet: tidy, bigger shoulder: right%s}
palpation: {withers: {left: 4, right: 1}, triceps: {left: 5, right: 2}, shoulder rear edge: {left: 5, right: 2}}
ridden: {lead preferred: left}
"""
TURNED = {"left": "right", "right": "left", "even": "even"}


def entries(text: str) -> dict[str, object]:
    return {noted.key: noted.value for noted in worked_out(visit_of(text), BOOK)}


def same_answer(one: Asked, two: Asked) -> None:
    """Conclusions with their certainty, the call, the concerns and the plan."""
    first, second = one.answer, two.answer
    assert {key: (c.certainty, c.band) for key, c in first.explanation.concluded.items()} == {
        key: (c.certainty, c.band) for key, c in second.explanation.concluded.items()
    }
    assert one.level == two.level
    assert one.concerns == two.concerns
    assert [(s.key, s.side) for s in first.plan.steps] == [(s.key, s.side) for s in second.plan.steps]
    assert first.plan.standing == second.plan.standing
    assert first.plan.riding == second.plan.riding


@pytest.mark.parametrize(("left", "right", "by_eye"), [
    ("54 °", "50 °", "left"), ("48.5°", "52 deg", "right"), ("52 °", "51 °", "even"), ("50 °", "50 °", "even"),
])  # fmt: skip
@pytest.mark.parametrize("mirror", [False, True])
def test_slopes_give_the_answer_of_the_same_pair_by_eye(left: str, right: str, by_eye: str, mirror: bool) -> None:
    by_gauge = ask(REST % "" + f"feet measured: {{hoof angle: {{left: {left}, right: {right}}}}}", mirror=mirror)
    same_answer(by_gauge, ask(REST % f", steeper fore foot: {by_eye}", mirror=mirror))
    nothing = ask(REST % "", mirror=mirror)
    assert by_gauge.certainty("uneven_fore_feet", "left") != nothing.certainty("uneven_fore_feet", "left")


def test_within_what_the_slopes_may_be_off_it_is_even() -> None:
    angles = "hoof angle: {left: 53 °, right: 50.5 °}"
    assert entries(f"feet measured: {{{angles}}}") == {"steeper_fore_foot": "left"}
    assert entries(f"feet measured: {{{angles}, hoof angle may be off by: 2 °}}") == {"steeper_fore_foot": "even"}


def test_one_foot_alone_gives_nothing() -> None:
    assert entries("feet measured: {hoof angle: {left: 53 °}}") == {}


def test_the_line_and_the_numbers_stand_with_the_entry() -> None:
    visit = visit_of("visit: 2026-04-18\nfeet measured:\n  hoof angle: {left: 53 °, right: 50 °}\n")
    (noted,) = worked_out(visit, BOOK)
    assert noted.line == 3
    assert noted.written.startswith("left (")
    for word in ("53°", "50°", "3° apart", "off by 1°"):
        assert word in noted.written


@pytest.mark.parametrize(("written", "value"), [
    ("{left: 5 mm}", "left"), ("{right: 9 mm}", "right"), ("{left: 4 mm}", "even"), ("{left: 0 mm, right: 0 mm}", "even"),
    ("{left: 0 mm, right: 6 mm}", "right"),
])  # fmt: skip
def test_withers_of_a_gait_system(written: str, value: str) -> None:
    assert entries(f"gait measured: {{withers min: {written}}}") == {"withers_at_the_trot": value}


def test_an_amount_on_both_sides_says_nothing_and_that_is_told() -> None:
    text = "gait measured: {withers min: {left: 5 mm, right: 6 mm}}"
    assert entries(text) == {}
    (told,) = measured(visit_of(text), BOOK)
    assert any("both sides" in missing for missing in told.not_measured)


@pytest.mark.parametrize("key", ["head min", "head max", "withers max", "pelvis min", "pelvis max"])
def test_the_other_differences_stay_numbers(key: str) -> None:
    text = f"gait measured: {{{key}: {{left: 30 mm}}}}"
    assert entries(text) == {}
    same_answer(ask(text), ask("visit: 2026-04-18"))


def test_what_was_written_by_hand_stands_and_the_difference_is_told() -> None:
    text = "standing square: {steeper fore foot: right}\nfeet measured: {hoof angle: {left: 54 °, right: 50 °}}"
    answer = ask(text).answer
    assert [problem.code for problem in answer.visit.warnings] == ["MS50"]
    same_answer(ask(text), ask("standing square: {steeper fore foot: right}"))


def test_the_mirror_of_a_visit() -> None:
    text = "feet measured: {hoof angle: {left: 54 °, right: 50 °}}\ngait measured: {withers min: {left: 6 mm}}"
    visit = visit_of(text)
    here = {noted.key: noted.value for noted in worked_out(visit, BOOK)}
    there = {noted.key: noted.value for noted in worked_out(mirrored(visit), BOOK)}
    assert len(here) == 2
    assert there == {key: TURNED[str(value)] for key, value in here.items()}


def test_readings_of_the_gauge_move_no_answer() -> None:
    """No cut-off was published for a difference between the sides, so none is used."""
    text = "pressure gauge: {gauge tip: 1 cm2, gauge at the withers: {left: 12 kg/cm2, right: 3 kg/cm2}}\nhand on a scale: 60 kg"
    same_answer(ask(REST % "" + text), ask(REST % ""))
    assert entries(text) == {}


@pytest.mark.parametrize(("scale", "near"), [("AEEP", 'Near: "AAEP"'), ("my own", "AAEP, UK 0-10, 0-8")])
def test_a_scale_that_is_not_in_the_table_is_kept_and_told(scale: str, near: str) -> None:
    text = f"veterinarian's word: {{who: Dr Mossop, seen: 2026-04-10, grade: {{scale: {scale}, left hind: 2}}}}"
    visit = visit_of(text)
    (warning,) = visit.warnings
    assert (warning.code, warning.severity) == ("MS47", "warning")
    assert near in str(warning)
    assert visit.vets_words[0].grades[0].scale == scale
