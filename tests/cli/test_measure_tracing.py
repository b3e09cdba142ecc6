"""`reasoner measure tracing`: from a visit file and from a table, in words, as JSON, drawn, and everything that may be wrong.

In: files in a folder of their own. Out: failures.
Not here: the geometry (tests/measures/), the reading of files (tests/visit/test_outlines.py).
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

from reasoner.cli import cli
from reasoner.rendering.schema_files import FOLDER

NARROW, WIDE = "0/0 40/30 130/150", "0/0 60/30 160/150"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of visits; commands run from another one beside it."""
    folder, other = tmp_path / "visits", tmp_path / "elsewhere"
    folder.mkdir()
    other.mkdir()
    monkeypatch.chdir(other)
    return folder


def visit(home: Path, text: str, name: str = "now.yaml", day: str = "2026-04-18") -> Path:
    path = home / name
    path.write_text(f"visit: {day}\n{text}\n", "utf-8")
    return path


def traced(left: str = NARROW, right: str = WIDE, station: str = "T13", more: str = "") -> str:
    return f"back tracings:\n  {station}: {{left: {left}, right: {right}}}\n{more}"


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(cli, ["measure", "tracing", *map(str, words)])


def numbers(*words: str | Path) -> dict[str, Any]:
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    answer = json.loads(result.stdout)
    (told,) = answer["measured"]
    for name, what in (("measured.json", answer), ("measure_tracing.json", told["numbers"])):
        jsonschema.validate(what, json.loads((FOLDER / name).read_text("utf-8")))
    found: dict[str, Any] = told["numbers"]
    return found


def refused(code: str, *words: str | Path) -> str:
    result = run(*words)
    assert result.exit_code == 2, result.output
    assert "Traceback" not in result.output
    assert result.stderr.startswith(code), result.stderr
    return result.stderr


# -- answers -----------------------------------------------------------------------------------------------------------


def test_widths_sides_ratio_and_slopes_in_words(home: Path) -> None:
    result = run(visit(home, traced()))
    said = " ".join(result.stdout.split())
    assert result.exit_code == 0
    # By hand, two standard errors: left 2 sqrt(3^2 + 2^2 + (0.75 x 2)^2), right the same with 100/120, across
    # 2 sqrt(2 x 3^2 + (1.583 x 2)^2).
    assert "T13, 150 mm below the midline: left 130 ± 8 mm, right 160 ± 8 mm, 290 ± 11 mm across" in said
    assert "the left side is narrower by 30 ± 12 mm" in said
    assert "ratio of the widths 3 cm : 15 cm: 0.34" in said
    assert "slope from the horizontal between 30 and 150 mm down: left 53 ±" in said  # atan(120 / 90)
    assert "right 50 ±" in said  # atan(120 / 100)
    assert "506 riding horses" in said


def test_the_numbers_for_programs(home: Path) -> None:
    (station,) = numbers(visit(home, traced()))["stations"]
    assert station["station"] == "t13"
    assert [(one["depth_mm"], one["left_mm"], one["right_mm"], one["narrower"]) for one in station["depths"]] == [
        (30, 40, 60, "left"), (150, 130, 160, "left"),
    ]  # fmt: skip
    assert station["ratio"]["value"] == pytest.approx(100 / 290, abs=1e-4)


def test_a_table_from_another_folder_and_one_named_in_a_visit_give_the_same(home: Path) -> None:
    run(visit(home, traced()), "--csv", home / "tracing.csv")
    by_table = numbers(Path("../visits/tracing.csv"))
    by_visit = numbers(visit(home, "back tracings: {file: tracing.csv}", "other.yaml"))
    assert by_table == by_visit == numbers(home / "now.yaml")


def test_inches_give_the_same_numbers(home: Path) -> None:
    mm = numbers(visit(home, traced("0/0 50.8/25.4 127/152.4", "0/0 63.5/25.4 152.4/152.4")))
    text = "back tracings:\n  units: in\n  T13: {left: 0/0 2/1 5/6, right: 0/0 2.5/1 6/6}"
    assert numbers(visit(home, text, "inches.yaml")) == mm


def test_the_mirror_image_swaps_the_sides(home: Path) -> None:
    (one,) = numbers(visit(home, traced()))["stations"]
    (two,) = numbers(visit(home, traced(WIDE, NARROW), "turned.yaml"))["stations"]
    for a, b in zip(one["depths"], two["depths"], strict=True):
        assert (a["left_mm"], a["right_mm"], a["narrower"]) == (b["right_mm"], b["left_mm"], "left")
        assert b["narrower"] == "right"
        assert a["left_less_right_mm"] == -b["left_less_right_mm"]
        assert a["width_mm"] == b["width_mm"]


def test_other_depths_and_another_instrument(home: Path) -> None:
    path = visit(home, traced())
    (station,) = numbers(path, "--depth", "9 cm", "--traced-with", "pin gauge")["stations"]
    (one,) = station["depths"]
    assert (one["depth_mm"], one["left_mm"], one["right_mm"]) == (90, 85, 110)
    assert station["measured_with"] == "profile_gauge"
    (curve,) = numbers(path, "--depth", "90 mm")["stations"][0]["depths"]
    assert one["width_mm_error"] < curve["width_mm_error"]


def test_what_changed_since_the_time_before(home: Path) -> None:
    then = visit(home, traced(WIDE, WIDE), "then.yaml", "2026-02-18")
    now = visit(home, traced())
    found = {(one["of"], one["depth_mm"]): one for one in numbers(now, "--before", then)["changes"]}
    assert found["left", 150]["change"] == -30
    assert found["left", 150]["way"] == "smaller"
    assert found["right", 150]["way"] == "within the error"
    assert found["ratio", None]["then"] == pytest.approx(0.375)
    said = " ".join(run(now, "--before", then).stdout.split())
    assert "width 150 mm down: 320 then, 290 now, smaller by 30 ± 15 mm" in said
    assert "59 days lie between these tracings; published ones had changed there after 4 months" in said


def test_a_falling_ratio_at_t8_is_told_with_what_went_with_it(home: Path) -> None:
    """And not where it does not fall beyond the error, nor at another station."""
    then, now = traced("0/0 90/30 160/150", "0/0 90/30 160/150", "T8"), traced(WIDE, WIDE, "T8")
    old = visit(home, then, "then.yaml", "2026-02-18")
    assert "saddles that tipped back" in " ".join(run(visit(home, now), "--before", old).stdout.split())
    assert "saddles that tipped back" not in " ".join(run(visit(home, then), "--before", old).stdout.split())
    at_t13 = visit(home, now.replace("T8", "T13"))
    old = visit(home, then.replace("T8", "T13"), "then.yaml", "2026-02-18")
    assert "saddles that tipped back" not in " ".join(run(at_t13, "--before", old).stdout.split())


def test_a_side_that_ends_too_early_is_told_and_the_other_read_by_itself(home: Path) -> None:
    path = visit(home, traced("0/0 50/30 90/92", WIDE))
    said = " ".join(run(path).stdout.split())
    assert "T13: the left side ends 92 mm down; 150 mm was asked." in said
    (station,) = numbers(path)["stations"]
    assert [one["depth_mm"] for one in station["depths"]] == [30]
    assert [(one["side"], one["depth_mm"], one["out_mm"]) for one in station["alone"]] == [("right", 150, 160)]
    assert station["ratio"] is None


def test_widths_by_tape_tell_no_side(home: Path) -> None:
    path = visit(home, "back measured: {width at T13 3 cm down: 4 3/4 in, width at T13 15 cm down: 32 cm}")
    (station,) = numbers(path)["stations"]
    assert station["traced"] is False
    assert [(one["depth_mm"], one["width_mm"]) for one in station["widths"]] == [(30, 120.65), (150, 320)]
    assert station["ratio"]["value"] == pytest.approx(120.65 / 320, abs=1e-4)
    assert station["depths"] == []


# -- the picture -------------------------------------------------------------------------------------------------------


def test_the_picture_is_seen_from_behind_with_the_horses_left_at_the_left(home: Path) -> None:
    then = visit(home, traced(WIDE, WIDE), "then.yaml", "2026-02-18")
    drawing = home / "tracing.svg"
    assert run(visit(home, traced()), "--before", then, "--picture", drawing).exit_code == 0
    root = ET.fromstring(drawing.read_text("utf-8"))
    middle = float(root.attrib["viewBox"].split()[2]) / 2
    at = {text.text: float(text.attrib["x"]) for text in root.iter(f"{SVG}text")}
    assert at["LEFT"] < middle < at["RIGHT"]
    reach: dict[str, list[float]] = {}
    for line in root.iter(f"{SVG}polyline"):
        far = [float(pair.split(",")[0]) - middle for pair in line.attrib["points"].split()][-1]
        reach.setdefault(line.attrib["class"], []).append(far)
    scale = max(reach["tr-back"]) / 160
    assert sorted(round(far / scale) for far in reach["tr-back"]) == [-130, 160]
    assert sorted(round(far / scale) for far in reach["tr-other"]) == [
        -160,
        130,
    ]  # each side's mirror image on the other
    assert sorted(round(far / scale) for far in reach["tr-then"]) == [-160, 160]
    dots = sorted(round((float(dot.attrib["cx"]) - middle) / scale) for dot in root.iter(f"{SVG}circle"))
    assert dots == [-130, -40, 60, 160]
    (bar,) = (line for line in root.iter(f"{SVG}line") if line.attrib["class"] == "tr-bar")
    assert (float(bar.attrib["x2"]) - float(bar.attrib["x1"])) / scale == pytest.approx(50, abs=0.1)
    assert root.find(f"{SVG}title") is not None
    described = root.find(f"{SVG}desc")
    assert described is not None
    assert "left 130, right 160 mm: left narrower" in (described.text or "")


def test_every_text_of_the_picture_is_large_enough_on_a_telephone(home: Path) -> None:
    drawing = home / "tracing.svg"
    run(visit(home, traced()), "--picture", drawing)
    text = drawing.read_text("utf-8")
    width = float(text.partition('viewBox="0 0 ')[2].split()[0])
    sizes = [float(size) for size in re.findall(r"font-size:([0-9.]+)px", text)]
    assert sizes
    assert min(sizes) * 390 / width >= 12


def test_no_file_is_written_over_an_older_picture_no_more_than_another(home: Path) -> None:
    path, drawing = visit(home, traced()), home / "tracing.svg"
    assert run(path, "--picture", drawing).exit_code == 0
    refused("CL03", path, "--picture", drawing)
    drawing.write_text("my own drawing")
    refused("CL03", path, "--picture", drawing)
    assert drawing.read_text() == "my own drawing"


def test_of_two_files_none_is_half_written(home: Path) -> None:
    path, one, other = visit(home, traced()), home / "one.svg", home / "other.csv"
    refused("CL03", path, "--picture", one, "--csv", one)
    other.write_text("kept")
    refused("CL03", path, "--picture", one, "--csv", other)
    assert not one.exists()
    assert other.read_text() == "kept"


def test_centimetres_written_as_millimetres_are_asked_about(home: Path) -> None:
    table = home / "cm.csv"
    rows = [
        f"back,across,T13,{side},{out},{down}" for side in ("left", "right") for out, down in ((0, 0), (6, 2), (15, 9))
    ]
    table.write_text("\n".join(["of,plane,station,side,out_mm,down_mm", *rows]))
    refused("MS27", table)
    table.write_text(
        "\n".join(["of,plane,station,side,out_cm,down_cm", *rows]).replace("_cm", "_mm").replace("15,9", "150,90")
    )
    assert run(table).exit_code == 0


def test_the_same_tracing_is_the_same_picture_to_the_letter(home: Path) -> None:
    path = visit(home, traced())
    for name in ("one.svg", "two.svg"):
        run(path, "--picture", home / name)
    assert (home / "one.svg").read_bytes() == (home / "two.svg").read_bytes()


# -- what may be wrong -------------------------------------------------------------------------------------------------


def test_a_depth_the_tracing_does_not_reach(home: Path) -> None:
    said = refused("MS23", visit(home, traced("0/0 50/30 90/92", WIDE)), "--depth", "150 mm")
    assert "T13: the left side ends 92 mm down; 150 mm was asked" in said


@pytest.mark.parametrize(("text", "word"), [("15", "unit is missing"), ("0 mm", "greater than 0"), ("-3 cm", "greater"),
                                            ("8 parsecs", "parsecs")])  # fmt: skip
def test_a_depth_that_is_none(text: str, word: str, home: Path) -> None:
    assert word in refused("MS22", visit(home, traced()), f"--depth={text}")


def test_an_instrument_nobody_knows(home: Path) -> None:
    said = refused("MS26", visit(home, traced()), "--traced-with", "flexible curv")
    assert 'Near: "flexible curve"' in said


def test_a_visit_without_a_tracing(home: Path) -> None:
    assert "back tracings" in refused("MS24", visit(home, "palpation: {loin: {both: 1}}"))
    taped = visit(home, "back measured: {width at T13 3 cm down: 12 cm}", "taped.yaml")
    assert "nothing was traced" in refused("MS24", taped, "--picture", home / "tracing.svg")
    assert not (home / "tracing.svg").exists()


def test_two_tracings_without_a_station_in_common(home: Path) -> None:
    said = refused("MS25", visit(home, traced()), "--before", visit(home, traced(station="T8"), "then.yaml"))
    assert "T8 then and T13 now" in said


def test_a_file_that_is_not_there(home: Path) -> None:
    refused("YM01", home / "nowhere.csv")
    refused("YM01", home / "nowhere.yaml")


def test_problems_as_json(home: Path) -> None:
    result = run(visit(home, traced()), "--depth", "0 mm", "--json")
    assert result.exit_code == 2
    assert [problem["code"] for problem in json.loads(result.stdout)["problems"]] == ["MS22"]
