"""A visit in which somebody weighed, taped or laid a mat: what follows, what a hand's own entry does, and what the plan says.

In: visits as text. Out: conclusions, entries, warnings, doses, sentences.
Not here: the arithmetic by itself, the commands.
"""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from decimal import Decimal

import pytest

from reasoner.consult import Answer
from reasoner.questions.changes import Change
from reasoner.questions.rows import Rows
from reasoner.rendering.measured import Told, measured
from reasoner.visit.model import Noted
from tests.asking import ask, shipped
from tests.rendering.forbidden import found_in

BACK = "palpation: {long back: {both: 6}}\n"
HORSE = "horse: {name: Fennel, height: 160 cm, weight: 500 kg, weighed: weighbridge}\n"
TAPED = "horse: {name: Fennel, height: 160 cm, heart girth: 180 cm, body length: 160 cm}\n"


def before(*entries: str) -> str:
    return f"before the visit: {{{', '.join(entries)}}}\n"


def entry(answer: Answer, key: str) -> Noted | None:
    return next((noted for noted in answer.facts.worked_out if noted.key == key), None)


def certainties(answer: Answer) -> dict[tuple[str, str], float]:
    return {key: concluded.certainty for key, concluded in answer.explanation.concluded.items()}


def told_of(text: str) -> dict[str, Told]:
    return {one.key: one for one in measured(ask(text).answer.visit, shipped().book)}


@pytest.mark.parametrize(
    ("rider", "band"),
    [
        ("50 kg", "under 15 percent"),
        ("75 kg", "15 to 20 percent"),
        ("100 kg", "20 to 25 percent"),
        ("130 kg", "over 25 percent"),
    ],
)
def test_weights_conclude_what_the_band_by_hand_concludes(rider: str, band: str) -> None:
    weighed = ask(HORSE + before(f"rider weight: {rider}", "tack weight: 12 kg") + BACK)
    by_hand = ask(HORSE + before(f"load: {band}") + BACK)
    assert certainties(weighed.answer) == certainties(by_hand.answer)
    assert weighed.answer.plan.standing == by_hand.answer.plan.standing
    assert weighed.answer.visit.warnings == ()


def test_what_was_written_by_hand_stands_and_the_difference_is_told() -> None:
    both = ask(HORSE + before("load: over 25 percent", "rider weight: 60 kg", "tack weight: 10 kg") + BACK)
    by_hand = ask(HORSE + before("load: over 25 percent") + BACK)
    assert certainties(both.answer) == certainties(by_hand.answer)
    (warning,) = both.answer.visit.warnings
    assert warning.code == "MS50"
    assert "over 25 percent" in warning.sentence
    assert "14.0 %" in warning.sentence
    told = told_of(HORSE + before("load: over 25 percent", "rider weight: 60 kg", "tack weight: 10 kg"))
    assert "that is what is judged" in " ".join(told["load"].lines)


def test_a_share_at_an_edge_says_that_it_may_be_the_neighbour() -> None:
    answer = ask(TAPED + before("rider weight: 78 kg", "tack weight: 9 kg")).answer
    found = entry(answer, "load")
    assert found is not None
    assert found.value == "15_to_20_percent"
    assert "may be 20 to 25 percent" in found.written
    firm = entry(ask(HORSE + before("rider weight: 78 kg", "tack weight: 9 kg")).answer, "load")
    assert firm is not None
    assert "may be" not in firm.written


def test_both_shares_are_told() -> None:
    load = told_of(HORSE + before("rider weight: 60 kg", "tack weight: 10 kg", "extra weight: 5 kg"))["load"]
    assert load.numbers["share_percent"]["value"] == pytest.approx(15.0)
    assert load.numbers["rider_share_percent"]["value"] == pytest.approx(12.0)
    assert "15.0 %" in load.lines[0]
    assert "12.0 %" in load.lines[1]


def test_the_horse_is_weighed_by_what_was_written_and_never_overwritten() -> None:
    answer = ask("horse: {weight: 520 kg, weighed: weighbridge, heart girth: 180 cm, body length: 160 cm}\n"
                 + before("rider weight: 62 kg", "tack weight: 16 kg")).answer  # fmt: skip
    assert answer.visit.noted_value("weight") == Decimal(520)
    assert entry(answer, "weight") is None
    taped = entry(answer, "weight_by_tape")
    assert taped is not None
    assert taped.value == Decimal("435.6")
    load = {one.key: one for one in measured(answer.visit, shipped().book)}["load"]
    assert load.numbers["share_percent"]["value"] == pytest.approx(15.0)
    assert load.numbers["horse_weighed"] == "weighbridge"


def test_a_printed_tape_that_agrees_is_not_warned_of_and_one_that_does_not_is() -> None:
    for written, warned in (("450 kg", 0), ("600 kg", 1)):
        horse = f"horse: {{heart girth: 180 cm, body length: 160 cm, weight by tape: {written}}}\n"
        answer = ask(horse + before("rider weight: 60 kg", "tack weight: 10 kg")).answer
        assert len(answer.visit.warnings) == warned
        load = {one.key: one for one in measured(answer.visit, shipped().book)}["load"]
        assert load.numbers["horse_kg"]["value"] == float(written.split()[0])


def test_without_the_tack_there_is_no_entry_and_that_is_said() -> None:
    answer = ask(HORSE + before("rider weight: 130 kg") + BACK).answer
    assert entry(answer, "load") is None
    load = {one.key: one for one in measured(answer.visit, shipped().book)}["load"]
    assert load.numbers["share_percent"] is None
    assert any(line.startswith("Tack: not weighed") for line in load.not_measured)
    assert {one["study"] for one in load.numbers["studies"]} == {"pilot"}


@pytest.mark.parametrize(
    ("horse", "said"),
    [
        ("horse: {type: cob or heavy, heart girth: 200 cm, body length: 170 cm}\n", "taken as a cob or heavy type"),
        ("horse: {born: 2026-01-10, heart girth: 100 cm, body length: 85 cm}\n", "taken as a foal"),
        ("horse: {heart girth: 180 cm, body length: 160 cm, measuring points: other}\n", "between these points"),
    ],
)
def test_where_no_formula_applies_no_number_is_given(horse: str, said: str) -> None:
    text = horse + before("rider weight: 60 kg", "tack weight: 10 kg")
    answer = ask(text).answer
    assert entry(answer, "weight_by_tape") is None
    assert entry(answer, "load") is None
    weight = told_of(text)["body_weight"]
    assert said in " ".join(weight.lines)
    assert weight.numbers["horse_kg"] is None


def test_numbers_that_no_horse_has_are_told_and_the_rest_is_judged() -> None:
    weights = before("rider weight: 60 kg", "tack weight: 10 kg")
    text = "horse: {weight: 500 kg, heart girth: 185 cm, body length: 90 cm}\n" + weights
    found = told_of(text)
    assert found["load"].numbers["share_percent"]["value"] == pytest.approx(14.0)
    alone = told_of("horse: {heart girth: 185 cm, body length: 90 cm}\n")["body_weight"]
    assert "90 cm (35.4 in)" in alone.lines[0]
    heavy = told_of("horse: {weight: 50 kg}\n" + before("rider weight: 60 kg", "tack weight: 10 kg"))
    assert "load" not in heavy
    assert "60 kg carried by a horse of 50 kg" in " ".join(heavy["body_weight"].lines)


def test_every_study_stands_beside_the_share_it_counts() -> None:
    load = told_of(HORSE + before("rider weight: 80 kg", "tack weight: 10 kg"))["load"]
    table = {study["study"]: study for study in load.numbers["studies"]}
    assert len(table) == 7
    today = {key: [one["today"] for one in study["tried"]] for key, study in table.items()}
    assert today["pilot"] == ["above", "above", "inside", "below"]  # the rider alone is 16 %
    assert today["icelandic_blood"] == ["inside"]  # rider and tack are 18 %
    assert today["scheme"] == ["above", "above", "below"]
    said = " ".join([*load.lines, *load.more])
    assert "No leave for other horses" in said
    assert "An opinion, nothing was measured" in said
    assert set(load.rests_on) >= {study["source"] for study in table.values()}


def test_the_dose_gives_kilograms_and_no_advice_about_a_person() -> None:
    answer = ask(HORSE + before("rider weight: 90 kg", "tack weight: 20 kg") + BACK).answer
    (step,) = [one for one in answer.plan.steps if one.key == "reckon_the_load"]
    first, *edges = step.reckoned
    assert "22.0 %, give or take" in first
    assert "the rider alone 18.0 %" in first
    twenty = next(line for line in edges if line.startswith("Under 20 %"))
    assert "10.0 kg less" in twenty  # 20 of a hundred of 500 kg are 100 kg
    seventeen = next(line for line in edges if line.startswith("Under 17 %"))
    assert "25.0 kg less" in seventeen
    pilot = next(line for line in edges if line.startswith("Under 15.3 %"))
    assert "13.5 kg less" in pilot  # the rider alone: 90 against 76.5 kg
    assert edges[-1].startswith("Today lies under: 23.6 %")
    assert not any(word in " ".join(step.reckoned).lower() for word in ("lose", "diet", "should", "too heavy"))


def test_without_weights_the_step_has_no_numbers() -> None:
    answer = ask(before("load: 20 to 25 percent") + BACK).answer
    (step,) = [one for one in answer.plan.steps if one.key == "reckon_the_load"]
    assert step.reckoned == ()


def test_rows_of_a_change_are_the_edited_visit() -> None:
    """A weight that no rule reads still moves the load that follows from it."""
    text = HORSE + before("rider weight: 90 kg", "tack weight: 20 kg") + BACK
    answer = ask(text).answer
    change = Change(noted=(Noted(key="weight", value=Decimal(800), written="800 kg", kind="number"),))
    row = Rows(answer).table([change])[:, 0]
    edited = ask(text.replace("500 kg", "800 kg")).answer
    whole = Rows(edited).base
    assert ((row == whole) | ((row != row) & (whole != whole))).all()
    assert not ((row == Rows(answer).base) | (row != row)).all()


# -- pressure ----------------------------------------------------------------------------------------------------------


def mat(gait: str, *entries: str) -> str:
    return f"ridden: {{mat at {gait}: {{{', '.join(entries)}}}}}\n"


@pytest.mark.parametrize(
    ("kpa", "reading"),
    [
        ("9.8 kPa", "like_the_well_fitting_group"),
        ("1.81 N/cm2", "like_the_dry_patch_group"),
        ("29.7 kPa", "like_the_saddle_sore_group"),
        ("13.3 kPa", "between_the_groups"),
    ],
)
def test_means_conclude_what_the_reading_by_hand_concludes(kpa: str, reading: str) -> None:
    felt = "palpation: {withers: {both: 5}}\n"
    measured_by_mat = ask(felt + mat("trot", f"withers mean: {kpa}")).answer
    by_hand = ask(felt + f"ridden: {{pressure at the withers: {reading.replace('_', ' ')}}}\n").answer
    assert certainties(measured_by_mat) == certainties(by_hand)
    found = entry(measured_by_mat, "pressure_at_the_withers")
    assert found is not None
    assert found.value == reading


def test_thirds_conclude_what_the_reading_by_hand_concludes() -> None:
    felt = "tacked up: {saddle: {tree width: looks narrow}}\n"
    by_mat = ask(felt + mat("walk", "front third: 5 kPa", "middle third: 5 kPa", "rear third: 7 kPa")).answer
    by_hand = ask(felt + "ridden: {heaviest third: most behind}\n").answer
    assert certainties(by_mat) == certainties(by_hand)
    assert certainties(by_mat) != certainties(ask(felt).answer)


def test_a_mat_alone_concludes_nothing_of_the_withers() -> None:
    """Pressure is not pain: beside withers that nobody felt, or that are quiet, a high mean adds nothing."""
    for felt in ("", "palpation: {withers: {both: 1}}\n"):
        plain, high = ask(felt), ask(felt + mat("walk", "withers mean: 30 kPa"))
        for side in ("left", "right"):
            assert high.certainty("withers_pinch", side) == plain.certainty("withers_pinch", side)
    sore = "palpation: {withers: {both: 5}}\n"
    assert ask(sore + mat("walk", "withers mean: 30 kPa")).certainty("withers_pinch", "left") > ask(sore).certainty(
        "withers_pinch", "left"
    )


def test_mean_pressure_needs_a_rider_and_says_what_it_counted() -> None:
    area = "ridden: {contact area: 800 cm2}\n"
    assert told_of(area)["mean_pressure"].numbers["mean_kpa"] is None
    alone = told_of(before("rider weight: 75 kg") + area)["mean_pressure"]
    assert alone.numbers["mean_kpa"]["value"] == pytest.approx(9.19, abs=0.005)
    assert not alone.numbers["with_tack"]
    whole = told_of(before("rider weight: 75 kg", "tack weight: 10 kg") + area)["mean_pressure"]
    assert whole.numbers["with_tack"]
    assert whole.numbers["mean_kpa"]["value"] > alone.numbers["mean_kpa"]["value"]


def test_the_warnings_stand_beside_every_pressure() -> None:
    text = before("rider weight: 75 kg") + "ridden: {contact area: 800 cm2, mat at walk: {withers maximum: 40 kPa}}\n"
    for one in (told_of(text)["mean_pressure"], told_of(text)["pressure_mat"]):
        assert any("Pressure is not pain" in caution for caution in one.cautions)
        assert any("people lying in bed" in caution for caution in one.cautions)
    assert any("not used alone" in caution for caution in told_of(text)["pressure_mat"].cautions)


def test_a_thick_pad_brings_the_trial_with_shims() -> None:
    text = "tacked up: {pad: thick}\n" + mat("walk", "withers mean: 9 kPa")
    assert "+29.1 %" in " ".join(told_of(text)["pressure_mat"].lines)
    assert "+29.1 %" not in " ".join(told_of(mat("walk", "withers mean: 9 kPa"))["pressure_mat"].lines)


# -- the picture, and words --------------------------------------------------------------------------------------------


def test_the_picture_is_whole_and_says_the_same_in_words() -> None:
    load = told_of(TAPED + before("rider weight: 78 kg", "tack weight: 9 kg"))["load"]
    root = ET.fromstring(load.picture)
    name = "{http://www.w3.org/2000/svg}"
    assert root.find(f"{name}title") is not None
    description = root.find(f"{name}desc")
    assert description is not None
    assert "20.0 percent" in (description.text or "")
    words = " ".join(text.text or "" for text in root.iter(f"{name}text"))
    assert "20.0 %" in words
    assert "17.9 %" in words
    assert "No single limit is proven" in words
    bars = [
        piece
        for tag in ("rect", "polygon")
        for piece in root.iter(f"{name}{tag}")
        if piece.get("class") in ("full", "open")
    ]
    tried = sum(len(study["tried"]) for study in load.numbers["studies"])
    assert len(bars) == tried + 2  # and the two of the legend
    assert load.picture_says.startswith("A scale of load")


def test_nothing_told_uses_a_word_that_is_not_ours_to_say() -> None:
    text = (
        "horse: {height: 140 cm, heart girth: 170 cm, body length: 150 cm}\n"
        + before("rider weight: 90 kg", "tack weight: 20 kg", "extra weight: 5 kg")
        + "tacked up: {pad: thick}\nridden: {contact area: 700 cm2, mat at trot: {withers mean: 30 kPa, withers maximum: 60 kPa, "
        "front third: 10 kPa, middle third: 20 kPa, rear third: 9 kPa}}\n"
    )
    found = told_of(text)
    assert len(found) == 5
    for one in found.values():
        for sentence in (one.title, *one.lines, *one.cautions, *one.not_measured, one.picture_says):
            assert found_in(sentence) == []
        json.dumps(one.numbers)


def test_a_mean_above_the_greatest_is_told_and_not_used() -> None:
    text = (
        "ridden: {mat at walk: {withers mean: 15 kPa, withers maximum: 9 kPa}, mat at trot: {withers mean: 10 kPa}}\n"
    )
    mat = told_of(text)["pressure_mat"]
    assert mat.lines[0].startswith("At walk a mean of 15 kPa and a greatest of 9 kPa")
    assert [one["gait"] for one in mat.numbers["withers"]] == ["trot"]
    assert mat.numbers["pressure_at_the_withers"] == "like_the_well_fitting_group"
