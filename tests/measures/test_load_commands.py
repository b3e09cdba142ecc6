"""`reasoner measure load` and `reasoner measure pressure`, as somebody in a barn aisle meets them.

In: commands. Out: words, JSON that fits its schemas, pictures, and errors that say what was read.
Not here: whether the numbers are right (beside this file).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import reasoner
from reasoner.rendering.phrases import counted
from tests.cli.test_commands import run

SCHEMAS = Path(reasoner.__file__).parent / "rendering" / "schemas"
LOAD = ("measure", "load", "--girth", "180 cm", "--length", "160 cm", "--rider", "78 kg", "--tack", "9 kg")
PRESSURE = ("measure", "pressure", "--rider", "75 kg", "--tack", "10 kg", "--area", "900 cm2", "--walk-mean", "9 kPa",
            "--trot-max", "4 N/cm2", "--trot-front", "8 kPa", "--trot-middle", "8 kPa", "--trot-rear", "11 kPa")  # fmt: skip


def schema(name: str) -> Any:
    return json.loads((SCHEMAS / name).read_text("utf-8"))


@pytest.mark.parametrize(
    ("words", "numbers", "keys"),
    [
        (LOAD, "measure_load.json", ["body_weight", "load", "rider_force"]),
        (("measure", "load", "--horse", "500 kg", "--rider", "62 kg"), "measure_load.json", ["load", "rider_force"]),
        (
            ("measure", "load", "--girth", "180 cm", "--length", "160 cm", "--type", "heavy"),
            "measure_load.json",
            ["body_weight"],
        ),
        (PRESSURE, "measure_pressure.json", ["mean_pressure", "pressure_mat"]),
        (("measure", "pressure", "--area", "900 cm2"), "measure_pressure.json", ["mean_pressure"]),
    ],
)
def test_json_fits_its_schemas_and_words_are_words(words: tuple[str, ...], numbers: str, keys: list[str]) -> None:
    plain, data = run(*words), run(*words, "--json")
    assert plain.exit_code == data.exit_code == 0
    told = json.loads(data.output)
    jsonschema.validate(told, schema("measured.json"))
    jsonschema.validate({one["key"]: one["numbers"] for one in told["measured"]}, schema(numbers))
    assert [one["key"] for one in told["measured"]] == keys
    assert not plain.output.lstrip().startswith("{")
    for one in told["measured"]:
        assert one["title"].upper() in plain.output
        assert one["rests_on"]
        assert one["cautions"]


def test_inches_and_pounds_say_the_same_as_centimetres_and_kilograms() -> None:
    metric = json.loads(run(*LOAD, "--json").output)
    other = json.loads(run("measure", "load", "--girth", "70 7/8 in", "--length", "63 in", "--rider", "172 lb", "--tack", "20 lb",
                           "--json").output)  # fmt: skip
    one, two = (told["measured"][1]["numbers"]["share_percent"]["value"] for told in (metric, other))
    assert one == pytest.approx(two, abs=0.1)


def test_age_and_height_choose_the_formula() -> None:
    def formula(*more: str) -> Any:
        told = json.loads(run("measure", "load", "--girth", "150 cm", "--length", "130 cm", *more, "--json").output)
        return told["measured"][0]["numbers"]["formula"]

    assert formula() == "grown"
    assert formula("--height", "13.2 hh") == "pony"
    assert formula("--age", "70 weeks") == "yearling"
    assert formula("--age", "40 weeks") == "weanling"
    assert formula("--age", "80 days") is None
    assert formula("--points", "to the tail") == "to_the_tail"


def test_the_picture_is_written_whole_and_over_nothing(tmp_path: Path) -> None:
    path = tmp_path / "load.svg"
    assert run(*LOAD, "--picture", str(path)).exit_code == 0
    drawn = path.read_text("utf-8")
    assert drawn.startswith("<svg")
    assert run(*PRESSURE[:1], "load", "--horse", "500 kg", "--rider", "90 kg", "--picture", str(path)).exit_code == 2
    assert path.read_text("utf-8") == drawn
    other = tmp_path / "other.svg"
    other.write_text("<svg>somebody's own</svg>", "utf-8")
    result = run(*LOAD, "--picture", str(other))
    assert result.exit_code == 2
    assert "CL03" in result.stderr
    assert other.read_text("utf-8") == "<svg>somebody's own</svg>"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["load"], ["MS14", "--girth"]),
        (["load", "--rider", "62"], ["VF16", "--rider", "kg, lb, st"]),
        (["load", "--rider", "620 kg"], ["VF17", '"620 kg"', "10 to 250 kg"]),
        (["load", "--rider", "62 cm"], ["VF16", '"cm"']),
        (["load", "--girth", "18 cm", "--length", "160 cm"], ["VF17", '"18 cm"', "40 to 260 cm"]),
        (["load", "--girth", "160 cm", "--length", "60 in", "--weighed", "weighbrige"], ["VF06", "weighbridge"]),
        (["load", "--girth", "185 cm", "--length", "90 cm"], ["MS10", "185 cm (72.8 in)", "90 cm (35.4 in)"]),
        (["load", "--horse", "60 kg", "--rider", "70 kg"], ["MS11", "70 kg", "60 kg"]),
        (["load", "--girth", "180 cm", "--length", "160 cm", "--age", "3 months"], ["MS13", "months are not exact"]),
        (["load", "--girth", "180 cm", "--length", "160 cm", "--age", "9000 years"], ["MS13", '"9000 years"']),
        (["load", "--girth", "180 cm", "--length", "160 cm", "--age", "-3 weeks"], ["MS13", '"-3 weeks"']),
        (["load", "--girth", "180 cm", "--length", "160 cm", "--picture", "/nowhere/load.svg"], ["CL04", "/nowhere"]),
        (["pressure"], ["MS14", "--area"]),
        (["pressure", "--area", "900 cm"], ["VF16", "cm², in²"]),
        (["pressure", "--walk-mean", "900 kPa"], ["VF17", "0.1 to 150 kPa"]),
        (["pressure", "--walk-front", "9 kPa"], ["MS14", "all three of a gait"]),
        (["pressure", "--walk-mean", "15 kPa", "--walk-max", "9 kPa"], ["MS15", "15 kPa", "9 kPa", "changed over"]),
        (["pressure", "--walk-mean", "9 bar", "--rider", "7 kg"], ["VF16", "VF17", "2 things to mend"]),
    ],
)  # fmt: skip
def test_a_slip_is_told_with_what_was_read_and_exit_code_2(words: list[str], told: list[str]) -> None:
    result = run("measure", *words)
    assert result.exit_code == 2
    assert result.output.replace(result.stderr, "") == ""
    for word in told:
        assert word in result.stderr
    assert "Traceback" not in result.stderr


def test_the_short_page_names_every_study_and_counts_what_it_folds_away() -> None:
    """Those near today's share are told whole, the others by where they lie; JSON and --full hold every one whole."""
    short, full = (" ".join(run(*LOAD, *more).output.split()) for more in ((), ("--full",)))
    whole = json.loads(run(*LOAD, "--json").output)
    load = next(one for one in whole["measured"] if one["key"] == "load")
    for name in ("Powell", "Stefansdottir", "Gunnarsson", "Dyson", "Christensen", "Matsuura", "Halliday"):
        assert f"{name} and" in short
    folded = [line for line in load["lines"] if line not in short]
    assert folded
    assert f"(and {counted(len(folded), 'sentence')} in detail: --full)" in short
    assert all(line in full for one in whole["measured"] for line in one["lines"])
    assert "--full)" not in full


def test_without_a_rider_there_is_no_picture_to_draw(tmp_path: Path) -> None:
    result = run("measure", "load", "--girth", "180 cm", "--length", "160 cm", "--picture", str(tmp_path / "x.svg"))
    assert result.exit_code == 2
    assert "MS40" in result.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["load", "pressure"])
def test_help_has_an_example(name: str) -> None:
    result = run("measure", name, "--help")
    assert result.exit_code == 0
    assert "Example:" in result.output
    assert f"reasoner measure {name}" in result.output
    assert f"reasoner measure {name}" in run("measure", "--help").output
