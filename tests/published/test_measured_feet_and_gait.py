"""Slopes of the fore feet, gait systems, scales of grades and totals, against published values.

In: numbers as printed. Out: classes, spreads, ranges, and that nothing from memory is a limit.
Not here: laws (tests/measures), the AAEP scale as such (test_grades.py). Each source stands beside its check.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any, cast

import pytest

from reasoner.measures.given_numbers import DIFFERENCES, face_total, repeat_mm
from reasoner.measures.hoof import called, slopes
from reasoner.problems import BadInput
from reasoner.rendering.measured import measured
from reasoner.rulebook.conditions import leaves
from reasoner.rulebook.measures.feet_and_gait import FeetAndGait
from tests.asking import ask, shipped, visit_of

BOOK = shipped().book
TABLE = cast(FeetAndGait, BOOK.measures["feet_and_gait"])


@pytest.mark.parametrize(
    ("angle", "word"), [(49.9, "flat"), (50, "medium"), (52.5, "medium"), (55, "medium"), (55.1, "upright")]
)
def test_flat_medium_and_upright(angle: float, word: str) -> None:
    """L07, Wiggers 2015 (high): flat below 50 degrees, medium 50 to 55, upright above 55."""
    assert called(angle, TABLE) == word


@pytest.mark.parametrize(
    ("left", "right", "steeper"), [(51.5, 50, "even"), (51.6, 50, "left"), (50, 51.6, "right"), (50, 50, "even")]
)
def test_uneven_above_a_degree_and_a_half(left: float, right: float, steeper: str) -> None:
    """L07, Wiggers 2015 (high): a pair counts as uneven above 1.5 degrees; here with slopes read to a tenth."""
    assert slopes(left, right, TABLE, 0.1).steeper == steeper


def test_the_flatter_foot_took_the_larger_load_and_weight_is_put_there() -> None:
    """L07, Wiggers 2015 (high): the steeper foot leads to weight on the OTHER fore, and slopes are told so."""
    answer = ask("feet measured: {hoof angle: {left: 56 °, right: 50 °}}")
    assert answer.certainty("uneven_fore_feet", "left") > 0
    assert answer.certainty("uneven_fore_feet", "right") < 0
    assert {"weight_on_one_fore": "other"} in [
        {key: side for key, side in link.items() if key != "line"}
        for link in BOOK.conclusions["uneven_fore_feet"].leads_to
    ]
    (told,) = measured(answer.answer.visit, BOOK)
    assert any("flatter foot took the larger load" in line for line in told.lines)
    assert told.numbers["flatter"] == "right"


def test_the_error_of_a_slope_is_an_own_setting() -> None:
    assert TABLE.angle_error.basis == ("own setting",)


@pytest.mark.parametrize(("key", "mm"), list(zip(DIFFERENCES, (13, 12, 4, 3, 5, 4), strict=True)))
def test_the_spread_of_repeats(key: str, mm: float) -> None:
    """CO18, Hardeman 2019 (high): lowest and highest points of head 13 and 12, withers 4 and 3, pelvis 5 and 4 mm."""
    assert repeat_mm(key, TABLE) == mm
    assert TABLE.repeats.basis == ("hardeman_2019",)


def test_limits_from_memory_are_shown_as_such_and_read_by_no_rule() -> None:
    """CO03 (from memory): 6 mm head, 3 mm pelvis. CO04, Rhodin 2017 (high): 161 of 222 passed one; no proof of pain."""
    screening, level = TABLE.screening, TABLE.owners_level
    assert (screening.head_mm, screening.pelvis_mm) == (6, 3)
    assert "from memory" in screening.says
    assert "from memory" in BOOK.sources["keegan_2011"].seen
    assert (level.horses, level.passed) == (222, 161)
    assert round(level.passed / level.horses * 100, 1) == 72.5
    assert "no proof of pain" in level.says
    given = {key for key, seen in BOOK.vocabulary.observations.items() if seen.measure == "feet_and_gait"}
    assert set(DIFFERENCES) < given
    read = {leaf.subject for condition in BOOK.parsed.values() for leaf in leaves(condition)}
    assert read & given == set()


def test_withers_with_the_head_or_against_it() -> None:
    """CO05-CO06, Rhodin 2018 (high): with the head from in front, to the other foreleg from behind; a system's millimetres
    say the same as the eye, beyond the spread of repeats."""
    seen = "uneven steps: {left fore: slight}\n"
    by_system = ask(seen + "gait measured: {withers min: {left: 6 mm}}")
    by_eye = ask(seen + "in hand: {withers at the trot: left}")
    within = ask(seen + "gait measured: {withers min: {left: 3 mm}}")
    for side in ("left", "right"):
        for page in ("spares_a_foreleg", "spares_a_hind_limb"):
            assert by_system.certainty(page, side) == by_eye.certainty(page, side)
    assert by_system.certainty("spares_a_foreleg", "left") > within.certainty("spares_a_foreleg", "left")


def scales() -> dict[str, Any]:
    return cast("dict[str, Any]", BOOK.vocabulary.facts["grade_scales"])


def test_the_scale_of_ten_and_the_scale_of_eight() -> None:
    """LM03, Vet Times 2015 (high): 1-3 mild, 4-6 moderate, 7-10 severe, 10 no weight. LM04 (from memory): 2, 4, 6, 8."""
    ten, eight = scales()["UK 0-10"], scales()["0-8"]
    assert list(ten["grades"]) == [str(n) for n in range(11)]
    words = [ten["grades"][str(n)] for n in range(1, 10)]
    assert words == ["mild"] * 3 + ["moderate"] * 3 + ["severe"] * 3
    assert ten["grades"]["10"] == eight["grades"]["8"] == "no weight taken"
    assert [eight["grades"][n] for n in "246"] == ["mild", "moderate", "severe"]
    assert (ten["basis"], eight["basis"]) == (["gait_review_2015"], ["dyson_2011"])
    assert "from memory" in BOOK.sources["dyson_2011"].seen


@pytest.mark.parametrize(("scale", "grade", "reads"), [
    ("UK 0-10", "10", True), ("UK 0-10", "11", False), ("0-8", "8", True), ("0-8", "9", False), ("0-8", "4/8", True),
    ("0-8", "4/5", False),
])  # fmt: skip
def test_every_scale_has_its_ends(scale: str, grade: str, reads: bool) -> None:
    """LM03, LM04: what is not on the scale is refused with its ends."""
    text = f"veterinarian's word: {{who: Dr Mossop, seen: 2026-04-10, grade: {{scale: {scale}, left hind: {grade}}}}}"
    if reads:
        assert visit_of(text).vets_words[0].grades[0].grade == grade
        assert visit_of(text).warnings == ()
    else:
        with pytest.raises(BadInput, match="VF23"):
            visit_of(text)


def test_a_grade_is_compared_on_its_own_scale_only() -> None:
    """LM02, LM05 (high): ordinal, and 2 of 5 is not 4 of 10."""
    word = "  - {{who: Dr Mossop, seen: {day}, grade: {{scale: {scale}, left hind: {grade}}}}}\n"

    def asked(*given: tuple[str, str, str]) -> str:
        text = "veterinarian's word:\n" + "".join(word.format(day=d, scale=s, grade=g) for d, s, g in given)
        (told,) = measured(visit_of(text), BOOK)
        return " ".join(told.lines)

    same = asked(("2026-04-10", "AAEP", "3"), ("2026-04-01", "AAEP", "2"))
    assert "the later grade is higher on AAEP" in same
    assert "the scale does not say" in same
    other = asked(("2026-04-01", "AAEP", "2"), ("2026-04-10", "UK 0-10", "4"))
    assert "not compared" in other
    assert "two scales" in other


def test_the_face_has_six_parts_and_twelve_points() -> None:
    """PA07, Dalla Costa 2014 (high): six parts, 0 to 2 each, 12 at most. PA11: no cut-off was found, and none is used."""
    assert (len(TABLE.face.units), TABLE.face.most_each) == (6, 2)
    assert face_total([2] * 6, TABLE) == 12
    assert visit_of("face scored: {face total: 12}").noted_value("face_total") == Decimal(12)
    with pytest.raises(BadInput, match="VF17"):
        visit_of("face scored: {face total: 13}")
    assert "No official cut-off" in " ".join(TABLE.face.says.split())
    quiet, plain = ask("face scored: {face total: 0}"), ask("face scored: {face total: 12}")
    assert quiet.answer.referral.concerns == plain.answer.referral.concerns
    assert quiet.answer.plan == plain.answer.plan


def test_the_ridden_signs_are_twenty_four_and_called_from_eight() -> None:
    """PA01 and PA06, Dyson 2018: 24 behaviours, 8 or more; the same figures as the reason to call reads."""
    assert (TABLE.ridden_signs.items, TABLE.ridden_signs.called_from) == (24, 8)
    assert BOOK.vocabulary.observations["ridden_signs"].range == (0.0, float(TABLE.ridden_signs.items))
    raised = {
        count: bool(ask(f"ridden: {{ridden signs: {count}}}").answer.referral.concerns)
        for count in (TABLE.ridden_signs.called_from - 1, TABLE.ridden_signs.called_from)
    }
    assert raised == {7: False, 8: True}
    with pytest.raises(BadInput, match="VF17"):
        visit_of("ridden: {ridden signs: 25}")
