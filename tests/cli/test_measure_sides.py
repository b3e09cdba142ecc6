"""`reasoner measure sides`, `hand`, `feet` and `gait` as somebody in a barn aisle meets them.

In: commands. Out: what they print, the shapes of their JSON, their pictures, and faults in plain words.
Not here: the arithmetic (tests/measures), published values (tests/published).
"""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

import reasoner
from reasoner.cli import cli

SCHEMAS = Path(reasoner.__file__).parent / "rendering" / "schemas"
SIDES = ["sides", "--what", "forearm girth", "--left", "398 mm", "--right", "420 mm", "--error", "5 mm"]
HAND = ["hand", "--left", "6.4 kg/cm2", "--right", "4.8 kg/cm2", "--tip", "1 cm2"]
PUSH = ["hand", "--push", "38 kg", "--earlier-push", "52 kg"]
FEET = ["feet", "--left", "54 °", "--right", "50 °"]
GAIT = ["gait", "--pelvis-min", "left 9 mm", "--pelvis-min", "left 3 mm", "--grade", "AAEP: 3", "--face", "4"]
ALL = [SIDES, HAND, PUSH, FEET, GAIT]


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, ["measure", *words], catch_exceptions=False)


def numbers(*words: str) -> dict[str, Any]:
    (told,) = json.loads(run(*words, "--json").stdout)["measured"]
    found: dict[str, Any] = told["numbers"]
    return found


@pytest.mark.parametrize("name", ["sides", "hand", "feet", "gait"])
def test_help_has_an_example(name: str) -> None:
    result = run(name, "--help")
    assert result.exit_code == 0
    assert "Example:" in result.output
    assert f"reasoner measure {name}" in result.output
    assert name in run("--help").output


@pytest.mark.parametrize("words", ALL, ids=lambda words: " ".join(words[:2]))
def test_json_fits_its_schemas_and_words_are_words(words: list[str]) -> None:
    plain, data = run(*words), run(*words, "--json")
    assert plain.exit_code == data.exit_code == 0
    whole = json.loads(data.stdout)
    jsonschema.validate(whole, json.loads((SCHEMAS / "measured.json").read_text()))
    (told,) = whole["measured"]
    jsonschema.validate(told["numbers"], json.loads((SCHEMAS / f"measure_{told['key']}.json").read_text()))
    assert told["key"] == words[0]
    assert told["rests_on"]
    assert told["cautions"]
    assert "rests on" in plain.stdout
    assert not plain.stdout.lstrip().startswith("{")


@pytest.mark.parametrize("words", [SIDES, HAND, FEET, GAIT], ids=lambda words: words[0])
def test_the_picture_says_left_and_right_in_words(words: list[str], tmp_path: Path) -> None:
    path = tmp_path / "picture.svg"
    assert run(*words, "--picture", str(path)).exit_code == 0
    text = path.read_text("utf-8")
    root = ET.fromstring(text)
    space = "{http://www.w3.org/2000/svg}"
    title, desc = root.find(f"{space}title"), root.find(f"{space}desc")
    assert title is not None
    assert title.text
    assert desc is not None
    assert desc.text
    at = {el.text: float(el.get("x", "0")) for el in root.iter(f"{space}text")}
    assert at["LEFT (near)"] < at["RIGHT (off)"]
    assert "prefers-color-scheme:dark" in text
    assert (
        min(int(size) for size in re.findall(r"(\d+)px", text.split("max-width")[0] + text.split("<style>")[1])) >= 12
    )
    again = run(*words, "--picture", str(path))
    assert again.exit_code == 2
    assert "CL03" in again.stderr


def test_the_bars_of_the_picture_have_the_lengths_of_the_amounts(tmp_path: Path) -> None:
    path = tmp_path / "picture.svg"
    run("sides", "--left", "300 mm", "--right", "400 mm", "--picture", str(path))
    widths = [float(w) for w in re.findall(r'class="sp-bar" x="[\d.]+" y="[\d.]+" width="([\d.]+)"', path.read_text())]
    assert len(widths) == 2
    assert widths[0] / widths[1] == pytest.approx(0.75, abs=0.01)


def test_sides_swapped_give_the_negative_in_any_unit() -> None:
    here = numbers("sides", "--left", "250 mm", "--right", "390 mm")
    there = numbers("sides", "--left", "0.39 m", "--right", "25 cm")
    assert here["symmetry_index_percent"] == pytest.approx(43.75)
    assert there["symmetry_index_percent"] == -here["symmetry_index_percent"]
    assert there["difference"] == -here["difference"] == -140
    assert (here["larger"], there["larger"]) == ("right", "left")


def test_several_readings_of_a_side_give_their_mean_and_its_error() -> None:
    found = numbers("sides", "--left", "50 kg", "--left", "52 kg", "--right", "60 kg", "--right", "62 kg")
    assert (found["left"], found["right"], found["difference"]) == (51, 61, 10)
    assert found["left_error"] == pytest.approx(2.0)


def test_a_gauge_in_newtons_and_in_kilograms_a_square_centimetre_agree() -> None:
    pressed = numbers(*HAND)["spots"][0]
    forced = numbers("hand", "--left", "6.4 kg", "--right", "47.07192 N", "--tip", "1 cm2")["spots"][0]
    assert forced["unit"] == pressed["unit"] == "kPa"
    for key in ("left", "right", "difference", "symmetry_index_percent"):
        assert forced[key] == pytest.approx(pressed[key])
    assert pressed["answered_sooner"] == "right"
    alone = numbers("hand", "--left", "6.4 kg", "--right", "4.8 kg")["spots"][0]
    assert (alone["unit"], alone["left_kg_per_cm2"]) == ("N", None)


def test_two_days_are_judged_with_their_reasons() -> None:
    days = numbers(*PUSH)["two_days"]
    assert days["how_far"] == "one way"
    assert len(days["reasons"]) == 2
    words = numbers("hand", "--pressure", "firm", "--earlier-pressure", "light")["two_days"]
    assert words["how_far"] == "not"
    assert "no target on a horse" in " ".join(run(*PUSH).stdout.split())


def test_parts_of_the_face_are_added() -> None:
    assert numbers("gait", "--face-parts", "0 1 2 0 1 0")["face_total"] == 4


@pytest.mark.parametrize(("words", "code", "says"), [
    (["sides", "--left", "5 mm", "--right", "4 kg"], "MS44", '"kg" in "4 kg" is not a unit read here'),
    (["sides", "--left", "5 mmm", "--right", "4 mm"], "MS44", 'Near: "mm"'),
    (["sides", "--left", "0.5", "--right", "0.4"], "MS44", "write its unit"),
    (["sides", "--left", "38 °C", "--right", "37 °C"], "MS44", "does not read as an amount"),
    (["sides", "--left", "0 mm", "--right", "0 mm"], "MS42", "both 0"),
    (["sides", "--left", "-3 mm", "--right", "5 mm"], "MS43", "whose sign means a side"),
    (["sides", "--left", "3 mm", "--right", "5 mm", "--error", "0 mm"], "MS43", "more than 0"),
    (["sides", "--left", "3 mm", "--right", "5 mm", "--error", "2 kg"], "MS44", "--error"),
    (["sides", "--left", "3 mm", "--right", "5 mm", "--what", "a\x1b[31m"], "MS44", "control characters"),
    (["sides", "--left", "3 mm", "--right", "5 mm", "--what", " "], "MS44", "words on one line"),
    (["hand", "--push", "38 kg", "--examiner", "W\x07"], "MS44", "--examiner"),
    (["gait", "--grade", "A\x1bEP: 2"], "MS44", "--grade"),
    ([*PUSH, "--picture", "never.svg"], "MS40", "nothing to draw"),
    (["hand"], "MS40", "--push"),
    (["hand", "--left", "6 kg/cm2"], "MS40", "--right"),
    ([*HAND, "--right-tip", "0.5 cm2"], "MS41", "tip reads lower"),
    (["hand", "--left", "60 N", "--right", "6 kg/cm2", "--tip", "1 cm2"], "MS44", "N, kg, lb"),
    (["hand", "--left", "60 N", "--right", "60 N", "--tip", "0 cm2"], "MS41", "above 0"),
    (["hand", "--left", "60 mm", "--right", "60 N"], "MS44", "kPa"),
    (["hand", *HAND[1:], "--error", "0 %"], "MS45", "more than 0 %"),
    (["hand", *HAND[1:], "--presses", "0"], "MS45", "1 or more"),
    (["hand", "--push", "900 kg"], "MS45", "0.1 to 200 kg"),
    (["feet", "--left", "95 °", "--right", "50 °"], "MS45", "25 to 85 °"),
    (["feet", "--left", "53", "--right", "50 °"], "MS44", "the unit is missing"),
    (["feet", "--left", "53 °", "--right", "50 °", "--error", "0 °"], "MS45", "more than 0"),
    (["gait"], "MS40", "nothing to tell"),
    (["gait", "--pelvis-min", "left 30 cm"], "MS45", "0 to 200 mm"),
    (["feet", "--left", "5 °", "--right", "50 °"], "MS45", "25 to 85 °"),
    (["gait", "--pelvis-min", "-6 mm"], "MS49", "lacks the side"),
    (["gait", "--pelvis-min", "lefft 6 mm"], "MS49", 'Near: "left"'),
    (["gait", "--pelvis-min", "left -6 mm"], "MS49", "without a sign"),
    (["gait", "--head-min", "left 1 mm", "--head-min", "left 1 mm", "--head-min", "left 1 mm"], "MS49", "3 times"),
    (["gait", "--grade", "2"], "MS48", "lacks the scale"),
    (["gait", "--grade", "AAEP: 3", "--grade", "AAEP: 7"], "MS48", "runs from 0"),
    (["gait", "--face", "13"], "MS46", "0 to 12"),
    (["gait", "--face-parts", "0 1 3 0 1 0"], "MS46", "0 to 2"),
    (["gait", "--face-parts", "0 1"], "MS46", "expected 6"),
    (["gait", "--face", "3", "--face-parts", "0 1 2 0 0 0"], "MS49", "one of them"),
    (["gait", "--ridden-signs", "25"], "MS46", "0 to 24"),
    (["gait", "--ridden-signs", "many"], "MS44", "whole number"),
])  # fmt: skip
def test_faults_are_told_in_plain_words(words: list[str], code: str, says: str) -> None:
    result = run(*words)
    assert result.exit_code == 2
    assert code in result.stderr
    assert says in result.stderr
    assert not result.stdout
    told = json.loads(run(*words, "--json").stdout)
    assert [problem["code"] for problem in told["problems"]] == [code]


def test_one_grade_off_its_scale_is_refused_too() -> None:
    assert run("gait", "--grade", "AAEP: 7").exit_code == 2


def test_a_scale_that_is_not_in_the_table_is_told_with_the_nearest() -> None:
    result = run("gait", "--grade", "AEEP: 2")
    assert result.exit_code == 0
    assert 'Near: "AAEP"' in result.stdout
    assert "not compared" in " ".join(run("gait", "--grade", "AEEP: 2", "--grade", "AAEP: 2").stdout.split())


def test_a_rulebook_without_the_table_is_told(tmp_path: Path) -> None:
    import shutil

    from reasoner.rulebook.layers import shipped_rules

    shutil.copytree(shipped_rules(), tmp_path / "rules")
    shutil.rmtree(tmp_path / "rules" / "measures")
    result = run(*FEET, "--rules", str(tmp_path / "rules"))
    assert result.exit_code == 2
    assert "measures/feet_and_gait.yaml" in result.stderr
