"""Whole visits with a measured saddle: what follows from the numbers, and where the plan gives a thickness.

In: examples/bramble.yaml with measurements written into it, as written and in the mirror. Out: entries, plans, what is told.
Not here: the arithmetic (test_roll.py, test_seat.py), the gates themselves (tests/trade).
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from reasoner.consult import judge
from reasoner.facts.from_measures import worked_out
from reasoner.plan.doses import before_it, reckoned
from reasoner.rendering.measured import Told, measured
from reasoner.visit.model import Outline, Visit, mirrored
from tests.asking import OTHER, Asked, ask, shipped, visit_of

BRAMBLE = (Path(__file__).resolve().parents[2] / "examples" / "bramble.yaml").read_text()
BOOK = shipped().book
SHIM = ("shims_under_the_side", "right")
ROLL = "saddle roll: {right: 3.2 °}"


def bramble(after: str = ROLL, standing: str = "bar spacing: 240 mm", kind: str = "with bars", ridden: str = "") -> str:
    """Bramble with the saddle measured instead of judged by eye."""
    text = (
        BRAMBLE.replace("  rests: straight\n", "").replace("  saddle comes to: right\n", "").replace("with bars", kind)
    )
    text = text.replace("shims in place: none}", f"shims in place: none{', ' if standing else ''}{standing}}}")
    text = text.replace("after work: {", f"after work: {{{after}{', ' if after else ''}")
    return text.replace("ridden:\n", f"ridden:\n  {ridden}\n") if ridden else text


def found(visit: Visit) -> dict[str, object]:
    """What follows from the measurements."""
    return {noted.key: noted.value for noted in worked_out(visit, BOOK)}


def told(visit: Visit, key: str = "shims") -> Told | None:
    """What is told of one measure."""
    return next((one for one in measured(visit, BOOK) if one.key == key), None)


@pytest.fixture(params=[False, True], ids=["as written", "in the mirror"])
def mirror(request: pytest.FixtureRequest) -> bool:
    return bool(request.param)


def dose(answer: Asked) -> tuple[str, ...]:
    """The dose in numbers of the shim, where its step stands."""
    return next((step.reckoned for step in answer.answer.plan.steps if step.key == SHIM[0]), ())


def test_the_dose_in_numbers_stands_in_the_plan(mirror: bool) -> None:
    answer = ask(bramble(), mirror=mirror)
    assert SHIM in answer.steps
    side = answer.side("right")
    number, wedge, beside, most, warned = dose(answer)
    assert f"under the {side.upper()} bar: 18 mm (3/4 in) of soft shim before anybody sits on it, ±6 mm" in number
    assert "under the rider 13 mm (1/2 in) remains of it (25 % pressed away, own setting" in number
    assert (
        f"3.2° over bars 240 mm (9 1/2 in) apart; the saddle leans 3.2° to the {side}, ±1.0°, measured after work"
        in wedge
    )
    assert "the common figure, 19 mm (3/4 in) soft and uncompressed: the two are 1 mm apart" in beside
    assert "Never thicker than 25 mm (1 in), and never for more than 5° (own setting)" in most
    assert "never makes room under a narrow tree" in warned
    assert "is not a fitted one" in warned
    step = next(step for step in answer.answer.plan.steps if step.key == SHIM[0])
    assert {warned.basis for warned in BOOK.measures["shims"].warnings} <= set(step.basis)
    assert step.dose.startswith("About 19 mm"), "the words of the page stay"


def test_under_a_panelled_saddle_there_is_no_dose(mirror: bool) -> None:
    answer = ask(bramble(kind="panelled"), mirror=mirror)
    assert SHIM in answer.withheld
    assert not any("mm" in text for step in answer.answer.plan.steps for text in step.reckoned if "shim" in text)
    one = told(answer.answer.visit)
    assert one is not None
    assert one.lines[-1].startswith("Under a panelled, treeless or spring-treed saddle no thickness is worked out here")
    for side in ("left", "right"):
        assert reckoned("shim", answer.answer.visit, side, BOOK) == (one.lines[-1],)


def test_a_tilt_within_its_error_is_straight_and_gives_no_dose(mirror: bool) -> None:
    """Nothing but the tilt is off, and by no more than can be read: no step asks for a shim."""
    text = bramble(after="saddle roll: {right: 0.9 °}", standing="bar spacing: 240 mm, off the middle: {right: 4 mm}")
    answer = ask(text, mirror=mirror)
    assert found(answer.answer.visit) | {"shorter_stirrup": ""} == {
        "rests": "straight", "saddle_comes_to": "straight", "shorter_stirrup": "",
    }  # fmt: skip
    assert SHIM not in answer.steps
    assert dose(answer) == ()
    for side in ("left", "right"):
        assert [s for s in reckoned("shim", answer.answer.visit, side, BOOK) if not s.startswith("No thickness")] == []


def test_what_holds_the_step_back_holds_the_numbers_back(mirror: bool) -> None:
    """The numbers are the step's own: with the step withheld they stand nowhere, neither in the plan nor in what is told."""
    text = bramble().replace("tree width: looks right", "tree width: looks narrow")
    answer = ask(text, mirror=mirror)
    assert SHIM in answer.withheld
    assert dose(answer) == ()
    one = told(answer.answer.visit)
    assert one is not None
    assert one.numbers["shim"] is None
    assert "thickness" not in one.picture
    assert "shim" not in one.picture.replace("roll-shim", "")
    assert not any("soft shim before" in line for line in one.lines)
    assert one.lines[-1] == "A thickness for a shim stands in the plan, and only where that step stands today."


@pytest.mark.parametrize(
    ("after", "standing", "sentence"),
    [
        (ROLL, "", "how far the bars are apart was not measured"),
        ("saddle off the middle: {right: 15 mm}", "bar spacing: 240 mm", "millimetres off the middle are no angle"),
        ("saddle roll: {right: 9 °}", "bar spacing: 240 mm", "more than 5° of roll (own setting)"),
        ("saddle roll: {right: 4.5 °}", "bar spacing: 300 mm", "thicker than 25 mm (own setting)"),
        (
            "saddle roll: {left: 3 °}, saddle off the middle: {right: 15 mm}",
            "bar spacing: 240 mm",
            "name opposite sides",
        ),
        ("saddle off the middle: {right: 150 mm}", "radius of the back: 100 mm", "nothing is worked out above 30°"),
    ],
)
def test_why_there_is_no_thickness_is_said(after: str, standing: str, sentence: str) -> None:
    visit = visit_of(bramble(after=after, standing=standing))
    said = reckoned("shim", visit, "right", BOOK)
    assert len(said) == 1
    assert said[0].startswith("No thickness")
    assert sentence in said[0]


def test_for_the_other_side_there_is_no_thickness() -> None:
    (said,) = reckoned("shim", visit_of(bramble()), "left", BOOK)
    assert "leans to the right" in said
    assert "this is for the left" in said


def test_nothing_measured_nothing_said() -> None:
    visit = visit_of(BRAMBLE.replace("  stirrups: {left: 78 cm, right: 78 cm}\n", ""))
    assert reckoned("shim", visit, "right", BOOK) == ()
    assert reckoned("stirrups", visit, "", BOOK) == ()
    assert found(visit) == {}
    assert measured(visit, BOOK) == ()


@pytest.mark.parametrize(
    ("standing", "rests"),
    [
        ("off the middle: {right: 12 mm}", "right"),
        ("off the middle: {left: 1/2 in}", "left"),
        ("off the middle: {left: 0 mm, right: 12 mm}", "right"),
        ("off the middle: {right: 5 mm}", "straight"),
        ("off the middle: {right: 0 mm}", "straight"),
        ("roll: {left: 2 °}", "left"),
        ("side height: {left: 110 cm, right: 112 cm}", "left"),
        ("side height: {left: 110 cm, right: 110.5 cm}", "straight"),
        ("side height: {left: 110 cm}", None),
        ("off the middle: {left: 12 mm}, roll: {right: 3 °}", "right"),
        ("off the middle: {left: 12 mm, right: 8 mm}", "left"),
        ("off the middle: {left: 12 mm, right: 12 mm}", None),
        ("bar spacing: 240 mm", None),
    ],
)
def test_where_it_rests_follows_from_the_numbers(standing: str, rests: str | None) -> None:
    visit = visit_of(bramble(after="", standing=standing))
    assert found(visit).get("rests") == rests
    other = found(mirrored(visit)).get("rests")
    assert other == (OTHER[rests] if rests in ("left", "right") else rests)


def test_inches_and_millimetres_are_one_visit() -> None:
    one = visit_of(bramble(standing="bar spacing: 254 mm, off the middle: {right: 12.7 mm}"))
    two = visit_of(bramble(standing="bar spacing: 10 in, off the middle: {right: 1/2 in}"))
    assert reckoned("shim", one, "right", BOOK) == reckoned("shim", two, "right", BOOK)
    assert [n.value for n in worked_out(one, BOOK)] == [n.value for n in worked_out(two, BOOK)]
    assert told(one) == told(two)


def test_what_was_written_by_eye_stands_and_the_difference_is_told() -> None:
    text = bramble().replace("ridden:\n", "ridden:\n  saddle comes to: left\n")
    answer = judge(visit_of(text), shipped())
    assert answer.visit.noted_value("saddle_comes_to") == "left"
    assert "saddle_comes_to" not in {noted.key for noted in answer.facts.worked_out}
    warned = [problem for problem in answer.visit.warnings if problem.code == "MS50"]
    assert len(warned) == 1
    assert "by measurement it is right (3.2° of roll, measured)" in warned[0].sentence


def test_both_sides_at_once_are_told_and_give_no_thickness() -> None:
    visit = visit_of(bramble(after="saddle off the middle: {left: 12 mm, right: 8 mm}"))
    assert found(visit)["saddle_comes_to"] == "left", "no call is lost by a slip"
    (said,) = reckoned("shim", visit, "left", BOOK)
    assert said.startswith("No thickness")
    one = told(visit)
    assert one is not None
    assert any("written on both sides at once" in line for line in one.lines)


def test_a_tracing_gives_the_radius() -> None:
    """A back that falls 40 mm at 120 mm from the midline has a radius of 200 mm there."""
    visit = visit_of(bramble(after="saddle off the middle: {right: 12 mm}"))
    points = tuple((Decimal(out), Decimal(down)) for out, down in ((0, 0), (60, 9), (110, 33), (130, 47)))
    traced = replace(visit, outlines=(Outline(of="back", station="t13", left=points, right=points),))
    without, with_ = told(visit), told(traced)
    assert without is not None
    assert with_ is not None
    assert without.numbers["seats"][0]["rolls"] == []
    (roll,) = with_.numbers["seats"][0]["rolls"]
    assert roll["how"] == "by millimetres and a radius"
    assert roll["roll_deg"] == pytest.approx(12 / 200 * 57.29578, abs=0.001)
    assert any("turns about the line of the back" in caution for caution in with_.cautions)
    narrow = replace(traced, outlines=(Outline(of="back", station="t13", left=points[:3], right=points[:3]),))
    short = told(narrow)
    assert short is not None
    assert short.numbers["seats"][0]["rolls"] == [], "the tracing does not reach the bars"


def test_every_sentence_of_the_page_stands_before_it() -> None:
    page = BOOK.actions[SHIM[0]]
    said = before_it("shim", "right", BOOK)
    assert len(said) == len(page.only_after) + len(page.forbidden_by)
    for whole, short in zip(
        (*(n.otherwise for n in page.only_after), *(f.because for f in page.forbidden_by)), said, strict=True
    ):
        assert short in whole
        assert not short.startswith("Not today")
    assert before_it("no such calculation", "right", BOOK) == ()


@pytest.mark.parametrize(
    ("left", "right", "shorter"),
    [("78 cm", "78 cm", "even"), ("78 cm", "77.5 cm", "even"), ("78 cm", "74 cm", "right"), ("29 in", "30 in", "left")],
)
def test_the_shorter_stirrup_follows_from_the_tape(left: str, right: str, shorter: str) -> None:
    text = bramble().replace("{left: 78 cm, right: 78 cm}", f"{{left: {left}, right: {right}}}")
    visit = visit_of(text)
    assert found(visit)["shorter_stirrup"] == shorter
    assert found(mirrored(visit))["shorter_stirrup"] == (shorter if shorter == "even" else OTHER[shorter])


def test_the_change_of_stirrups_in_numbers_stands_in_the_plan(mirror: bool) -> None:
    text = BRAMBLE.replace("right: 78 cm}", "right: 74 cm}").replace("difference: none", "difference: not deliberate")
    answer = ask(text, mirror=mirror)
    assert ("level_the_stirrups", "") in answer.steps
    assert ("stirrups_uneven", "right") in answer.supported
    step = next(step for step in answer.answer.plan.steps if step.key == "level_the_stirrups")
    shorter, change = step.reckoned
    side = answer.side("right")
    assert f"the {side.upper()} stirrup is the shorter, by 40 mm (1 5/8 in), ±8 mm" in shorter
    assert "about 1.5 holes (25 mm (1 in) from hole to hole, own setting; measure yours)" in change


def test_stirrups_that_the_tape_finds_even_want_no_levelling() -> None:
    answer = ask(BRAMBLE.replace("right: 78 cm}", "right: 77.5 cm}").replace("  stirrup difference: none\n", ""))
    assert ("level_the_stirrups", "") not in answer.steps
    assert ("stirrups_uneven", "right") not in answer.supported
    one = told(answer.answer.visit, "stirrups")
    assert one is not None
    assert one.lines[0].startswith("By the tape the two are even")
    assert len(one.lines) == 1, "neither view is shown of a difference that is none"
