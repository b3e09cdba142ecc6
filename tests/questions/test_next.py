"""What to check next: what is predicted comes true, the walk is walked, and what must not be proposed is not.

In: the shipped rulebook, example visits and visits made from them; small random rulebases. Out: failures.
Not here: the wording of the page.
"""

from __future__ import annotations

import random
from datetime import date
from pathlib import Path

import pytest

from reasoner.consult import Answer, consult, judge
from reasoner.questions.changes import Change, changed
from reasoner.questions.checks import checks_of
from reasoner.questions.next_check import next_of, rank
from reasoner.questions.telephone import telephone_of
from reasoner.questions.telling import effects_of
from reasoner.questions.written import change_from
from reasoner.rules_cache import Ready
from reasoner.visit.model import Visit, mirrored
from tests.questions.small import small_answer

EXAMPLES = Path(__file__).parents[2] / "examples"
TROT_OR_RIDE = {"in_hand", "uneven_steps", "ridden"}


def asked(name: str, shipped: Ready, *lines: str) -> Answer:
    answer = consult(EXAMPLES / f"{name}.yaml", shipped)
    changes = (change_from([line], answer.visit, shipped.book.vocabulary) for line in lines)
    return judge(changed(answer.visit, sum(changes, Change())), shipped)


@pytest.mark.parametrize("name", ["bramble", "sorrel", "clover", "tansy"])
def test_what_a_reading_would_do_is_what_it_does(name: str, shipped: Ready) -> None:
    """A predicted reading equals the assessment after it: the call, the concerns, which actions stand, the ranges."""
    answer = asked(name, shipped)
    effects = effects_of(answer, checks_of(answer))
    chance = random.Random(name)
    before = _raised(answer)
    for effect in chance.sample(effects, 12):
        calls = {call.reading.words: call for call in effect.calls}
        widths: list[float] = []
        stood: list[bool] = []
        for reading in effect.check.readings:
            after = judge(changed(answer.visit, reading.change), shipped)
            new = _raised(after) - before
            call = calls.get(reading.words)
            assert bool(new) == (call is not None), (effect.check.key, reading.words)
            assert set(call.concerns if call else ()) <= new
            levels = [list(shipped.book.scales.calls).index(shipped.book.concerns[key].call) + 1 for key, _, _ in new]
            assert (call.level if call else 0) == max(levels, default=0)
            widths.append(_width(answer) - _width(after))
            stood.append(_standing(answer) != _standing(after))
        assert effect.plan is any(stood)
        assert effect.narrows == pytest.approx(sum(widths) / len(widths), abs=1e-8)
        assert min(widths) >= -1e-9, "examining one more thing never widens a range"


def _raised(answer: Answer) -> set[tuple[str, str, str]]:
    return {(key, side, place) for _, key, side, place, _ in answer.record.raised()}


def _width(answer: Answer) -> float:
    lower, upper = answer.bounds.certainty[:, 0], answer.bounds.certainty[:, 1]
    return float((upper - lower).sum())


def _standing(answer: Answer) -> list[bool]:
    result = answer.record.result
    return [bool(x) for x in (result.wanted & ~result.held)[:, 0]]


@pytest.mark.parametrize("seed", range(12))
def test_predictions_come_true_on_small_rulebases(seed: int) -> None:
    answer = small_answer(seed)
    for effect in effects_of(answer, checks_of(answer)):
        widths = [
            _width(answer) - _width(judge(changed(answer.visit, r.change), answer.ready)) for r in effect.check.readings
        ]
        assert effect.narrows == pytest.approx(sum(widths) / len(widths), abs=1e-8)
        assert min(widths) >= -1e-9


def test_an_empty_visit_begins_with_the_first_sixty_seconds(shipped: Ready) -> None:
    told = next_of(judge(Visit(file="", day=date(2026, 5, 1)), shipped))
    assert {e.check.key for e in told.first_look} >= {
        "breathing",
        "gums",
        "discharge",
        "feet_and_pulses",
        "ten_steps_of_walk",
    }
    assert not any(e.check.pressing for e in told.first_look)
    assert any(e.check.pressing for e in told.proposed)
    assert not told.stop


def test_a_full_visit_leaves_nothing_to_check(shipped: Ready) -> None:
    """With every check made, quiet or as usual, nothing is proposed and nothing is left."""
    answer = judge(Visit(file="", day=date(2026, 5, 1)), shipped)
    for _ in range(3):
        whole = sum((check.readings[0].change for check in checks_of(answer)), Change())
        answer = judge(changed(answer.visit, whole), shipped)
    assert answer.referral.level != "emergency"
    told = next_of(answer)
    assert (told.first_look, told.proposed, told.others) == ((), (), 0)


@pytest.mark.parametrize(
    "line",
    [
        "left hind = slight", "trot in hand = uneven", "ten steps of walk = stiff", "ten steps of walk = uneven",
        "stiff after work = yes", "feet and pulses = warm", "trot under the rider = uneven on one diagonal",
    ],
)  # fmt: skip
def test_nobody_trots_or_rides_it_to_find_out_more(line: str, shipped: Ready) -> None:
    """A horse that is uneven, unsteady, stiff after work or has hot feet is not trotted up or ridden (common practice)."""
    quiet = asked("clover", shipped, "trot in hand = not examined", "left hind = not examined")
    proposed = {e.check.heading for e in next_of(quiet, most=200).proposed}
    assert proposed & TROT_OR_RIDE, "else nothing is taken away"
    told = next_of(asked("clover", shipped, "trot in hand = not examined", "left hind = not examined", line), most=200)
    assert not {e.check.heading for e in (*told.first_look, *told.proposed)} & TROT_OR_RIDE
    assert {one.check.heading for one in told.left} & TROT_OR_RIDE


@pytest.mark.parametrize("line", ["feet and pulses = hot with strong pulses", "ten steps of walk = unsteady"])
def test_at_an_emergency_it_says_stop(line: str, shipped: Ready) -> None:
    told = next_of(asked("clover", shipped, line))
    assert told.stop
    assert told.first_look == told.proposed == ()


def test_no_pressure_where_it_would_not_allow_touch(shipped: Ready) -> None:
    lines = ("croup, both = not examined", "side of the croup, both = not examined")
    before = {e.check.region for e in next_of(asked("clover", shipped, *lines), most=200).proposed if e.check.pressing}
    told = next_of(asked("clover", shipped, *lines, "point of the hip, left = would not allow touch"), most=200)
    after = {e.check.region for e in told.proposed if e.check.pressing}
    assert "croup" in before
    assert "croup" not in after


@pytest.mark.parametrize("line", ["attitude = dull", "gums = pale", "left hind = marked", "cough = repeated"])
def test_a_horse_for_the_veterinarian_today_is_not_walked_to_find_out_more(line: str, shipped: Ready) -> None:
    """The pages of these signs say to keep it quiet; a routine sign leaves the ten steps, which may show an unsteady horse."""

    def proposed(*lines: str) -> set[str]:
        told = next_of(asked("clover", shipped, "ten steps of walk = not examined", *lines), most=200)
        return {e.check.key for e in (*told.first_look, *told.proposed)}

    assert "ten_steps_of_walk" in proposed("left hind = slight")
    assert "ten_steps_of_walk" not in proposed(line)


def test_a_mare_late_in_foal_is_not_ridden_to_find_out_more(shipped: Ready) -> None:
    told = next_of(asked("sorrel", shipped, "in foal = last third"), most=200)
    assert not {e.check.heading for e in (*told.first_look, *told.proposed)} & TROT_OR_RIDE
    assert not any(e.check.heading == "after_work" for e in told.proposed)


@pytest.mark.parametrize("lines", [("loin, left = would not allow touch",), ("withers, both = 6",)])
def test_where_the_plan_leaves_the_saddle_off_nobody_rides_to_find_out_more(
    lines: tuple[str, ...], shipped: Ready
) -> None:
    """What the plan asks the owner not to do is not asked for by the next check; looking at it led in hand may be."""
    for said in ((), lines):
        answer = asked("sorrel", shipped, *said)
        told = next_of(answer, most=300)
        entries = shipped.book.vocabulary.observations
        ridden = {entries[e.check.key].section for e in told.proposed if e.check.key in entries}
        assert answer.referral.level == "none"
        assert bool(ridden & {"ridden", "tacked_up/rider_up", "after_work"}) == (not said)
        assert "in_hand" in ridden


def test_nobody_asks_whether_a_gelding_is_in_foal(shipped: Ready) -> None:
    keys = [{c.key for c in checks_of(asked("sorrel", shipped, line))} for line in ("sex = mare", "sex = gelding")]
    assert "in_foal" in keys[0]
    assert "in_foal" not in keys[1]


def test_a_back_that_would_not_allow_touch_keeps_the_finger_off_its_spines(shipped: Ready) -> None:
    lines = [
        f"{place.name} = not examined"
        for place in shipped.book.vocabulary.places.values()
        if "spinous_spaces" in place.groups
    ]
    for place, proposed in (("triceps", True), ("long back muscle", False)):
        told = next_of(asked("clover", shipped, *lines, f"{place}, left = would not allow touch"), most=200)
        assert any(e.check.heading == "between_the_spinous_processes" for e in told.proposed) == proposed


def test_hands_off_takes_every_place_away(shipped: Ready) -> None:
    told = next_of(asked("sorrel", shipped, "left hind = slight"), most=200)
    assert not any(e.check.pressing for e in (*told.first_look, *told.proposed))


@pytest.mark.parametrize("name", ["bramble", "sorrel", "tansy", "fennel", "clover"])
def test_one_walk_and_the_sorest_last(name: str, shipped: Ready) -> None:
    answer = asked(name, shipped)
    told = next_of(answer, most=60)
    pressing = [e.check for e in told.proposed if e.check.pressing]
    scored = [t for t in answer.visit.touches if t.soreness or t.refused]
    worst = max(scored, key=lambda t: (t.refused, t.soreness or 0, t.place), default=None)
    sorest = shipped.book.vocabulary.places[worst.place].region if worst else ""
    walks = [c.walk for c in pressing if c.region != sorest]
    assert walks == sorted(walks)
    assert [c.region == sorest for c in pressing] == sorted(c.region == sorest for c in pressing)


@pytest.mark.parametrize("name", ["bramble", "tansy", "thistle"])
def test_the_mirror_image_is_told_the_same(name: str, shipped: Ready) -> None:
    answer = asked(name, shipped)
    one, two = next_of(answer), next_of(judge(mirrored(answer.visit), shipped))
    other = {"left": "right", "right": "left"}
    assert [e.check.key for e in one.proposed] == [e.check.key for e in two.proposed]
    for a, b in zip(one.proposed, two.proposed, strict=True):
        assert a.narrows == pytest.approx(b.narrows)
        if a.raises and b.raises:
            assert (a.raises[0], other.get(a.raises[1], a.raises[1])) == b.raises


def test_ranked_as_it_says(shipped: Ready) -> None:
    """First what may change the call, then the plan, then what narrows most."""
    answer = asked("bramble", shipped)
    effects = sorted((e for e in effects_of(answer, checks_of(answer)) if e.matters), key=rank)
    keys = [(e.level > 0, e.plan, e.narrows) for e in effects]
    assert keys == sorted(keys, reverse=True)
    assert len({key[:2] for key in keys}) > 1


def test_a_red_flag_on_the_telephone_means_the_veterinarian(shipped: Ready) -> None:
    questions = telephone_of(judge(Visit(file="", day=date(2026, 5, 1)), shipped))
    levels = [question.level for question in questions]
    assert levels == sorted(levels, reverse=True)
    assert {"belly_signs", "appetite", "breathing"} <= {q.effect.check.key for q in questions if q.level == 3}
    assert all(q.effect.check.question.endswith("?") for q in questions)
    assert not any(q.effect.check.pressing for q in questions)
    assert "ten_steps_of_walk" in {q.effect.check.key for q in questions}, "an unsteady horse is told on the telephone"


@pytest.mark.parametrize(("reason", "offered"), [("no time", True), ("owner said no", False), ("unsafe", False)])
def test_a_place_passed_over_is_proposed_again_only_where_that_was_for_want_of_time(
    reason: str, offered: bool, shipped: Ready
) -> None:
    """What was unsafe, or what the owner refused, is not asked for a second time."""
    answer = asked("sorrel", shipped, f"croup, both = not examined - {reason}")
    check = [c for c in checks_of(answer) if c.key == "croup"]
    assert bool(check) is offered
    for effect in effects_of(answer, check):
        widths = [
            _width(answer) - _width(judge(changed(answer.visit, r.change), shipped)) for r in effect.check.readings
        ]
        assert effect.narrows == pytest.approx(sum(widths) / len(widths), abs=1e-8)


@pytest.mark.parametrize("answered", ["{soreness: 4, response: tightens}", "{soreness: 7, response: moves away}"])
def test_no_pressure_in_a_region_that_was_guarded(answered: str, shipped: Ready) -> None:
    """Guarding is more than refusing: the region is not pressed further to find out more (common practice)."""
    lines = ("croup, both = not examined - no time", "side of the croup, both = not examined - no time")
    before = {e.check.region for e in next_of(asked("clover", shipped, *lines), most=200).proposed if e.check.pressing}
    told = next_of(asked("clover", shipped, *lines, f"point of the hip, left = {answered}"), most=200)
    assert "croup" in before
    assert "croup" not in {e.check.region for e in told.proposed if e.check.pressing}


@pytest.mark.parametrize("line", ["long back, left = {soreness: 5, response: tightens}", "left hind = slight"])
def test_the_back_is_not_pressed_under_another_name(line: str, shipped: Ready) -> None:
    """A look for which the back is pressed goes the way of pressing it: after guarding, and where hands are kept off."""
    looks = {"press_along_the_back", "lifts_its_back"}
    empty = judge(Visit(file="", day=date(2026, 5, 1)), shipped)
    assert looks <= {e.check.key for e in next_of(empty, most=300).proposed}
    answer = judge(changed(empty.visit, change_from([line], empty.visit, shipped.book.vocabulary)), shipped)
    assert not looks & {e.check.key for e in next_of(answer, most=300).proposed}


def test_it_is_not_asked_to_lift_its_back_while_exercises_are_stopped(shipped: Ready) -> None:
    """It moves by itself under the hand: what stops exercises stops that as well. The stroke along the back is no exercise."""
    lines = ["top of the croup, left = 4", "canter against trot = canter worse"]
    empty = judge(Visit(file="", day=date(2026, 5, 1)), shipped)
    answer = judge(changed(empty.visit, change_from(lines, empty.visit, shipped.book.vocabulary)), shipped)
    assert "exercises" in {stop for concern in answer.referral.concerns for stop in concern.standing_stops}
    assert "hands_on_work" not in {stop for concern in answer.referral.concerns for stop in concern.standing_stops}
    keys = {e.check.key for e in next_of(answer, most=300).proposed}
    assert "lifts_its_back" not in keys
    assert "press_along_the_back" in keys


@pytest.mark.parametrize("line", ["feet and pulses = warm", "stiff after work = yes", "ten steps of walk = stiff"])
def test_the_assessment_asks_for_no_trot_that_next_would_not_ask_for(line: str, shipped: Ready) -> None:
    """What to look at where there is too little to say follows the same table."""
    answer = judge(Visit(file="", day=date(2026, 5, 1)), shipped)
    words = shipped.book.vocabulary
    headings = {words.observations[u.where].section.partition("/")[0] for u in answer.explanation.account.look_at
                if u.where in words.observations}  # fmt: skip
    assert headings & TROT_OR_RIDE, "else nothing is taken away"
    answer = judge(changed(answer.visit, change_from([line], answer.visit, words)), shipped)
    left = {u.where for u in answer.explanation.account.look_at if u.where in words.observations}
    assert not {words.observations[where].section.partition("/")[0] for where in left} & TROT_OR_RIDE


def test_at_an_emergency_nobody_is_asked_anything_first(shipped: Ready) -> None:
    assert telephone_of(asked("otter", shipped)) == ()
