"""`reasoner measure shims` and `reasoner measure stirrups`: words, JSON that fits its schema, the picture, and slips.

In: commands. Out: what they print and return.
Not here: the arithmetic (test_roll.py), visits (test_shims_at_a_visit.py).
"""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.plan.doses import before_it
from reasoner.rendering import schema_files
from reasoner.rendering.roll_picture import Drawn, in_words, picture
from reasoner.rulebook.layers import shipped_rules
from tests.asking import shipped

BARS = ("--bars", "240 mm", "--saddle", "with bars")
SCHEMAS = {name: json.loads(text) for name, text in schema_files.written().items()}


def run(*words: str) -> Result:
    """One command."""
    return CliRunner().invoke(cli, ["measure", *words], catch_exceptions=False)


def told(*words: str) -> dict[str, Any]:
    """The one measure that a command prints as JSON, which fits both schemas."""
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    whole = json.loads(result.stdout)
    jsonschema.validate(whole, SCHEMAS["measured.json"])
    (one,) = whole["measured"]
    jsonschema.validate(one["numbers"], SCHEMAS[f"measure_{words[0]}.json"])
    assert isinstance(one, dict)
    return one


def flat(text: str) -> str:
    """Without the breaks of lines."""
    return " ".join(text.split())


def test_the_thickness_with_everything_that_stands_before_it() -> None:
    result = run("shims", "--roll-right", "3 deg", *BARS)
    assert result.exit_code == 0
    said = flat(result.stdout)
    assert "under the RIGHT bar: 17 mm (5/8 in) of soft shim" in said
    assert "The saddle comes to the right, so a soft shim would lie under the RIGHT bar and lift that side" in said
    for sentence in before_it("shim", "right", shipped().book):
        assert flat(sentence) in said
    for warning in ("under a narrow tree", "is not a fitted one", "no single pad", "walk 14.2 against 11.0"):
        assert warning in said
    assert "Legs, back, saddle and rider were not looked at here" in said


def test_left_is_right_in_the_mirror() -> None:
    right, left = told("shims", "--roll-right", "3 deg", *BARS), told("shims", "--roll-left", "3 deg", *BARS)
    assert left["numbers"]["shim"] == right["numbers"]["shim"] | {"side": "left"}
    assert left["numbers"]["seats"][0]["rolls"][0]["roll_deg"] == -right["numbers"]["seats"][0]["rolls"][0]["roll_deg"]
    swap = {"left": "right", "right": "left", "LEFT": "RIGHT", "RIGHT": "LEFT"}
    fixed = "Left and right are the horse's own"
    for one, other in zip(right["lines"], left["lines"], strict=True):
        if one.startswith("- "):  # the sentences of the page name no side
            assert one == other
            continue
        words = [swap.get(word.strip(",.;"), word.strip(",.;")) for word in one.replace(fixed, "").split()]
        assert words == [word.strip(",.;") for word in other.replace(fixed, "").split()]


def test_inches_and_millimetres_are_one_answer() -> None:
    one = told("shims", "--off-right", "1/2 in", "--radius", "10 in", "--bars", "10 in", "--saddle", "western")
    two = told("shims", "--off-right", "12.7 mm", "--radius", "254 mm", "--bars", "254 mm", "--saddle", "with bars")
    assert one["lines"] == two["lines"]
    assert one["numbers"] == two["numbers"]


def test_the_load_of_both_sides_is_the_whole() -> None:
    one = told("shims", "--roll-right", "3 deg", "--bars", "240 mm", "--rider", "62 kg", "--tack", "9 kg",
               "--mass-height", "50 cm")  # fmt: skip
    load = one["numbers"]["seats"][0]["load"]
    assert load["left_kg"] + load["right_kg"] == pytest.approx(71, abs=0.002)
    assert load["right_n"] == pytest.approx(load["right_kg"] * 9.80665, abs=0.01)
    assert any("level ground, a horse standing still, everything rigid" in caution for caution in one["cautions"])
    assert one["numbers"]["shim"] is None
    assert any("the saddle type decides" in line for line in one["lines"])


@pytest.mark.parametrize("kind", ["panelled", "treeless", "tree sprung"])
def test_no_thickness_under_other_saddles(kind: str) -> None:
    for words in (("--roll-right", "3 deg"), ("--wanted", "3 deg"), ("--thickness", "13 mm")):
        one = told("shims", *words, "--bars", "240 mm", "--saddle", kind)
        assert (one["numbers"]["shim"], one["numbers"]["thickness"]) == (None, None)
        assert any("a qualified saddle fitter decides" in line for line in one["lines"])
        assert "shim" not in (one["picture"] or "").replace("roll-shim", "")


def test_a_rulebook_without_the_step_gives_no_thickness(tmp_path: Path) -> None:
    """The gate is the page: where no page lays a shim in, nothing is given."""
    page = (shipped_rules() / "actions" / "shims_under_the_side.yaml").read_text()
    (tmp_path / "actions").mkdir()
    (tmp_path / "actions" / "shims_under_the_side.yaml").write_text(page.replace("calculation: shim\n", ""))
    result = run("shims", "--roll-right", "3 deg", *BARS, "--rules", "shipped", "--rules", str(tmp_path))
    assert result.exit_code == 0, result.output
    assert "No thickness: this rulebook has no step that lays a shim in." in flat(result.stdout)


def test_the_roll_of_a_thickness_and_the_thickness_of_a_roll() -> None:
    lifted = told("shims", "--bars", "100 mm", "--thickness", "13 mm")["numbers"]["thickness"]
    assert round(lifted["roll_deg"], 2) == 7.41
    wanted = told("shims", "--bars", "100 mm", "--wanted", "3 deg", "--saddle", "with bars", "--soft", "0 %")[
        "numbers"
    ]["shim"]
    assert round(wanted["under_load_mm"], 2) == 5.24
    assert wanted["laid_in_mm"] == wanted["under_load_mm"]
    assert (wanted["side"], wanted["pressed_away_given"]) == (None, True)


@pytest.mark.parametrize(
    ("thickness", "bars", "passed"),
    [
        ("40 mm", "240 mm", "more than 5° of roll"),
        ("13 mm", "100 mm", "more than 5° of roll"),
        ("26 mm", "500 mm", "thicker than 25 mm"),
        ("13 mm", "240 mm", ""),
    ],
)
def test_a_thickness_beyond_the_upper_limits_is_said_to_be(thickness: str, bars: str, passed: str) -> None:
    lines = " ".join(told("shims", "--bars", bars, "--thickness", thickness)["lines"])
    assert ("Nothing so thick is laid in" in lines) == bool(passed)
    assert passed in lines


def test_what_stands_behind_the_error_is_said_and_a_level_saddle_has_no_side() -> None:
    lines = told("shims", "--roll-right", "0 deg")["lines"]
    assert any(line.startswith("What stands behind ± is 2 standard deviations") for line in lines)
    assert not any("to the left" in line or "to the right" in line for line in lines)


def test_a_part_of_the_roll() -> None:
    part = told("shims", "--roll-left", "4 deg", "--wanted", "2 deg", *BARS)["numbers"]["shim"]
    assert (part["roll_deg"], part["side"]) == (2, "left")


def test_within_the_error_there_is_no_thickness() -> None:
    one = told("shims", "--roll-right", "0.9 deg", *BARS)
    assert one["numbers"]["shim"] is None
    assert one["numbers"]["seats"][0]["side"] == "straight"
    assert any(line.startswith("No thickness: the saddle leans no more than can be read") for line in one["lines"])


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--roll-right", "3 deg", "--roll-left", "2 deg"), "MS02", "a saddle can be off to one side only"),
        (("--off-right", "12 mm", "--off-left", "3 mm"), "MS02", "--off-left, --off-right"),
        (("--roll-right", "3 deg", "--bars=-240 mm"), "MS01", '"-240 mm" is -240 mm; 50 to 600 mm was expected'),
        (("--roll-right", "45 deg"), "MS01", '"45 deg" is 45 °; 0 to 30 ° was expected'),
        (("--roll-right", "3"), "MS01", "The unit is missing"),
        (("--roll-right", "3 mm"), "MS01", '"mm" in "3 mm" is not a unit read here'),
        (("--off-right", "200 mm", "--radius", "100 mm", "--wanted", "45 deg", *BARS), "MS03", "nothing is worked out"),
        (("--height-left", "1120 mm", "--height-right", "110 mm", "--apart", "40 cm"), "MS03", "look at the units"),
        (("--wanted", "45 deg", *BARS), "MS03", "0° to 30° was expected"),
        (("--roll-right", "3 deg", "--wanted", "4 deg", *BARS), "MS03", "puts it over the other way"),
        (("--height-left", "110 cm"), "MS05", "--height-right"),
        (("--bars", "240 mm"), "MS05", "Nothing was given that tells where the saddle sits"),
        (("--roll-right", "3 deg", "--saddle", "wester"), "MS06", 'Near: "western"'),
        (("--roll-right", "3 deg", "--soft", "100 %", *BARS), "MS01", "0 % to less than 100 % was expected"),
        (("--thickness", "0 mm", "--bars", "240 mm"), "MS01", "more than 0 mm was expected"),
        (("--thickness=-13 mm", "--bars", "240 mm"), "MS01", "is less than nothing"),
        (("--off-right", "12 mm", "--picture", "roll.svg"), "MS40", "There is nothing to draw"),
    ],
)
def test_slips_are_told_in_the_words_of_the_option(words: tuple[str, ...], code: str, said: str) -> None:
    result = run("shims", *words)
    assert result.exit_code == 2
    assert code in result.stderr
    assert said in result.stderr
    assert "Traceback" not in result.output


def test_all_slips_at_once() -> None:
    result = run("shims", "--roll-right", "3", "--bars", "240", "--rider", "fat")
    assert result.exit_code == 2
    assert "3 things to mend" in result.stderr


def test_a_load_outside_the_bars_is_said() -> None:
    one = told("shims", "--roll-right", "20 deg", "--bars", "240 mm", "--rider", "62 kg", "--mass-height", "500 mm")
    assert any("the load would lie outside both bars" in line for line in one["lines"])
    assert one["numbers"]["seats"][0]["load"] is None


def test_the_picture(tmp_path: Path) -> None:
    """A whole SVG: words for both sides, a title and a description, nothing smaller than 12 pixels, never over a file."""
    path = tmp_path / "roll.svg"
    words = ("shims", "--roll-right", "3 deg", *BARS, "--picture", str(path))
    assert run(*words).exit_code == 0
    root = ET.fromstring(path.read_text())
    space = "{http://www.w3.org/2000/svg}"
    texts = {text.text: float(text.get("x", "0")) for text in root.iter(f"{space}text")}
    assert texts["LEFT"] < texts["RIGHT"], "seen from behind, the horse's left is at the left"
    assert "The saddle leans 3.0° (±1.0°) to the RIGHT." in texts
    assert "17 mm (5/8 in)" in texts
    assert "soft shim" in texts
    assert root.find(f"{space}title") is not None
    description = root.find(f"{space}desc")
    assert description is not None
    assert "under the right bar" in (description.text or "")
    again = run(*words)
    assert again.exit_code == 2
    assert "CL03" in again.stderr


def test_the_picture_in_the_mirror() -> None:
    """The saddle, its bars and the shim stand as far to the left as they stood to the right."""
    right = Drawn(roll_deg=3.4, roll_error_deg=1.0, side="right", bars="240 mm", shim="19 mm")
    left = Drawn(roll_deg=-3.4, roll_error_deg=1.0, side="left", bars="240 mm", shim="19 mm")
    space = "{http://www.w3.org/2000/svg}"

    def middle(drawn: Drawn, kind: str) -> list[float]:
        root = ET.fromstring(picture(drawn))
        lines = [line for line in root.iter(f"{space}line") if line.get("class") == kind]
        return sorted(abs(float(line.get(at, "0")) - 195) for line in lines for at in ("x1", "x2"))

    assert middle(right, "roll-saddle") == pytest.approx(middle(left, "roll-saddle"), abs=0.11)
    assert middle(right, "roll-hatch") == pytest.approx(middle(left, "roll-hatch"), abs=0.11)
    assert "under the right bar" in in_words(right)
    assert "under the left bar" in in_words(left)


def test_two_stirrups() -> None:
    one = told("stirrups", "--left", "78 cm", "--right", "74 cm", "--hole", "20 mm")
    numbers = one["numbers"]
    assert (numbers["shorter"], numbers["difference_mm"], numbers["holes"]) == ("right", 40, 2)
    assert one["picture"] is None
    assert told("stirrups", "--left", "30 in", "--right", "30 in")["numbers"]["shorter"] == "even"


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ((), "MS05", "--left"),
        (("--left", "78 cm"), "MS05", "--right"),
        (("--left", "78", "--right", "74 cm"), "MS01", "The unit is missing"),
        (("--left", "78 cm", "--right", "7 cm"), "MS01", "100 to 1200 mm was expected"),
        (("--left", "78 cm", "--right", "74 cm", "--hole", "2 mm"), "MS01", "8 to 80 mm was expected"),
    ],
)
def test_slips_of_stirrups(words: tuple[str, ...], code: str, said: str) -> None:
    result = run("stirrups", *words)
    assert result.exit_code == 2
    assert code in result.stderr
    assert said in result.stderr
