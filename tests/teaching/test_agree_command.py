"""`reasoner agree` and `reasoner press` as those who grade meet them: pages, JSON, files, seals, faults in plain words.

In: commands. Out: what they print and write.
Not here: statistics, what moves what.
"""

from __future__ import annotations

import json
import random
import shutil
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

import reasoner
from reasoner.cli import cli
from tests.rendering.forbidden import found_in
from tests.teaching.hands import EXAMPLES

SCHEMAS = Path(reasoner.__file__).parent / "rendering" / "schemas"
TWO = EXAMPLES / "two_hands"
WREN, TAM = str(TWO / "wren.yaml"), str(TWO / "tam.yaml")


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words), catch_exceptions=False)


def refused(*words: str) -> list[dict[str, Any]]:
    result = run(*words, "--json")
    assert result.exit_code == 2
    found: list[dict[str, Any]] = json.loads(result.stdout)["problems"]
    told = run(*words)
    assert told.exit_code == 2
    assert "Traceback" not in told.output
    assert found[0]["code"] in told.stderr
    return found


@pytest.mark.parametrize("name", ["agree", "press"])
def test_help_has_an_example(name: str) -> None:
    text = run(name, "--help").output
    assert "Example:" in text
    assert f"reasoner {name}" in text
    assert name in run("--help").output


def test_two_hands_on_one_horse(tmp_path: Path) -> None:
    page, picture = tmp_path / "page.html", tmp_path / "d.svg"
    result = run("agree", WREN, TAM, "-o", str(page), "--picture", str(picture))
    assert result.exit_code == 0
    for part in ("HOW WELL THEY AGREE", "BY REGION", "WHERE THEY DIFFER", "NOT COMPARED", "WHAT THAT MAKES OF THE CONCLUSIONS",
                 "examined by neither", "moved by this reading by itself", "Landis and Koch 1977"):  # fmt: skip
        assert part in " ".join(result.output.split()), part
    assert found_in(result.output) == []
    html = page.read_text()
    assert found_in(html) == []
    assert "<script" not in html
    assert html.count("<svg") == 1
    assert ET.fromstring(picture.read_text()).tag.endswith("svg")
    assert refused("agree", WREN, TAM, "--picture", str(picture))[0]["code"] == "CL03"
    assert run("agree", WREN, TAM, "-o", str(page)).exit_code == 0  # an earlier page of ours is replaced


def test_the_json_fits_its_schema_and_says_what_the_page_says() -> None:
    data = json.loads(run("agree", WREN, TAM, "--json").stdout)
    jsonschema.validate(data, json.loads((SCHEMAS / "agree.json").read_text()))
    (one,) = data["comparisons"]
    assert (one["first"], one["second"], one["same_hand"], one["icc_form"]) == (
        "Wren Aldous",
        "Tam Orrin",
        False,
        "ICC(2,1)",
    )
    (trace,) = one["traces"]
    assert trace["moved"]
    assert {reading["key"] for reading in trace["readings"]} >= {"loin", "croup"}
    mirror = json.loads(run("agree", TAM, WREN, "--json").stdout)["comparisons"][0]
    assert mirror["whole"]["kappa_linear"]["value"] == pytest.approx(one["whole"]["kappa_linear"]["value"])
    assert mirror["whole"]["limits"]["mean"]["value"] == pytest.approx(-one["whole"]["limits"]["mean"]["value"])


def hand_twice(folder: Path, pairs: int, name: str) -> None:
    """A folder of visits by one hand, each horse twice, sore all over."""
    rnd, text = random.Random(7), Path(WREN).read_text()
    head = text.split("palpation:")[0].replace("Wren Aldous", name)
    places = ("loin", "croup", "withers", "rear hamstring", "beside the withers", "behind the poll", "top of the croup")
    for n in range(pairs):
        base = {(place, side): rnd.randint(6, 14) for place in places for side in ("left", "right")}
        for k in "ab":
            lines = [
                f"  {place}: {{left: {(base[place, 'left'] + rnd.randint(-1, 1)) / 2}, "
                f"right: {(base[place, 'right'] + rnd.randint(-1, 1)) / 2}}}" for place in places
            ]  # fmt: skip
            (folder / f"{n:02}{k}.yaml").write_text(
                head.replace("Juno", f"Horse {n}") + "palpation:\n" + "\n".join(lines) + "\n"
            )


def test_one_hand_twice_writes_its_own_error_and_firm_reads_it(tmp_path: Path) -> None:
    visits, practice = tmp_path / "visits", tmp_path / "practice"
    visits.mkdir()
    (practice / "scales").mkdir(parents=True)
    hand_twice(visits, 6, "Tam Orrin")
    layer = practice / "scales" / "reading_error.yaml"
    result = run("agree", str(visits), "--into", str(layer))
    assert result.exit_code == 0, result.output
    assert "THIS HAND'S OWN ERROR" in result.output
    assert "ICC(A,1)" in result.output
    firm = run("firm", TAM, "--rules", "shipped", "--rules", str(practice), "--json", "--rows", "20")
    assert json.loads(firm.stdout)["error"]["whose"] == "this examiner"
    usual = run("firm", TAM, "--json", "--rows", "20")
    assert json.loads(usual.stdout)["error"]["whose"] == "the rules"
    before = layer.read_text()
    assert run("agree", str(visits), "--into", str(layer)).exit_code == 0
    assert layer.read_text() == before
    layer.write_text("examiners: {}\n")
    assert refused("agree", str(visits), "--into", str(layer))[0]["code"] == "TE09"
    assert layer.read_text() == "examiners: {}\n"


def test_too_little_writes_nothing(tmp_path: Path) -> None:
    hand_twice(tmp_path, 1, "Tam Orrin")
    layer = tmp_path / "error.txt"
    assert refused("agree", str(tmp_path), "--into", str(layer))[0]["code"] == "TE08"
    assert refused("agree", WREN, TAM, "--into", str(layer))[0]["code"] == "TE13"
    assert not layer.exists()


def test_two_folders_and_many_pairs(tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    one.mkdir()
    two.mkdir()
    hand_twice(one, 3, "Wren Aldous")
    for path in list(one.glob("*b.yaml")):
        path.rename(two / path.name)
        (two / path.name).write_text((two / path.name).read_text().replace("Wren Aldous", "Tam Orrin"))
    (one / "02a.yaml").unlink()
    result = run("agree", str(one), str(two), "--moved")
    assert result.exit_code == 0, result.output
    assert "2 pairs of visits to 2 horses: two hands" in result.output
    assert "the same in" in result.output
    assert "02b.yaml" in result.output
    data = json.loads(run("agree", str(one), str(two), "--json").stdout)
    jsonschema.validate(data, json.loads((SCHEMAS / "agree.json").read_text()))
    assert data["comparisons"][0]["traces"] == []
    assert len(data["without_another"]) == 1


def test_pairs_of_the_records(tmp_path: Path) -> None:
    store = str(tmp_path / "practice.db")
    assert run("records", "save", WREN, "--store", store).exit_code == 0
    assert run("records", "save", TAM, "--store", store, "--part", "2").exit_code == 0
    told = run("agree", "--store", store, "--json")
    assert told.exit_code == 0, told.output
    kept, files = (
        json.loads(told.stdout)["comparisons"][0],
        json.loads(run("agree", TAM, WREN, "--json").stdout)["comparisons"][0],
    )
    assert (kept["first"], kept["second"]) == ("Tam Orrin", "Wren Aldous")
    for name in ("kappa_linear", "icc", "limits", "same", "readings"):
        assert kept["whole"][name] == files["whole"][name]
    assert refused("agree", "--store", store, "--horse", "Jun")[0]["code"] == "ST20"


def test_blind_beside_the_teacher(tmp_path: Path) -> None:
    """Each seals, seals change hands, then openings: compared is what the files hold, and a changed file is refused."""
    for name in ("wren", "tam"):
        shutil.copy(TWO / f"{name}.yaml", tmp_path)
        told = run("agree", "--seal", str(tmp_path / f"{name}.yaml"), "--json")
        jsonschema.validate(json.loads(told.stdout), json.loads((SCHEMAS / "agree_seal.json").read_text()))
    opened = [str(tmp_path / f"{name}.opening.json") for name in ("tam", "wren")]
    seals = [str(tmp_path / f"{name}.seal.json") for name in ("tam", "wren")]
    with_seals = ["--sealed", seals[0], "--sealed", seals[1]]
    told = json.loads(run("agree", *opened, *with_seals, "--json").stdout)
    assert len(told["sealed"]) == 2
    plain = json.loads(run("agree", TAM, WREN, "--json").stdout)
    assert told["comparisons"][0]["whole"] == plain["comparisons"][0]["whole"]
    assert "fits its seal" in run("agree", *opened, *with_seals).output
    assert [p["code"] for p in refused("agree", *opened)] == ["TE07", "TE07"]
    assert refused("agree", *seals)[0]["code"] == "TE07"
    assert refused("agree", "--seal", str(tmp_path / "tam.yaml"))[0]["code"] == "CL03"
    # The apprentice mends a grade after having handed over the seal.
    (tmp_path / "tam.opening.json").unlink()
    (tmp_path / "tam.seal.json").rename(tmp_path / "given.seal.json")
    text = (tmp_path / "tam.yaml").read_text()
    (tmp_path / "tam.yaml").write_text(text.replace("{left: 5, right: 1.5}", "{left: 4, right: 2}"))
    run("agree", "--seal", str(tmp_path / "tam.yaml"))
    late = refused("agree", *opened, "--sealed", str(tmp_path / "given.seal.json"), "--sealed", seals[1])
    assert late[0]["code"] == "TE06"
    # A copied seal is nobody's own: one opening cannot stand for both hands.
    copied = str(tmp_path / "copied.opening.json")
    shutil.copy(opened[1], copied)
    shutil.copy(seals[1], tmp_path / "copied.seal.json")
    both = refused("agree", copied, opened[1], "--sealed", seals[1], "--sealed", str(tmp_path / "copied.seal.json"))
    assert both[0]["code"] == "TE06"


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["agree"], "TE13"), (["agree", WREN], "TE13"), (["agree", WREN, WREN], "TE03"), (["agree", WREN, str(EXAMPLES)], "TE13"),
        (["agree", WREN, str(EXAMPLES / "bramble.yaml")], "TE01"), (["agree", WREN, "nowhere.yaml"], "YM01"),
        (["agree", WREN, TAM, "--store", "x.db"], "TE13"), (["agree", "--seal", WREN, "--store", "x.db"], "TE13"),
        (["agree", WREN, TAM, "--sealed", WREN], "TE05"), (["press", "--aim", "20kg"], "TE12"),
        (["press", "--aim", "much", "--left", "20"], "TE10"), (["press", "--aim", "20", "--left", "2o"], "TE10"),
        (["press", "--aim", "20", "--log", "nowhere.csv"], "YM01"),
    ],
)  # fmt: skip
def test_faults_in_plain_words(words: list[str], code: str) -> None:
    assert refused(*words)[0]["code"] == code


def test_a_hand_on_a_scale(tmp_path: Path) -> None:
    log, picture, page = (tmp_path / name for name in ("log.csv", "p.svg", "p.html"))
    words = ["press", "--aim", "20kg", "--left", "19 20.5 21 19.5 20", "--right", "22 21 23 22.5 21"]
    told = run(*words, "--day", "2026-05-06", "--into", str(log), "--picture", str(picture), "-o", str(page))
    assert told.exit_code == 0
    assert found_in(told.output) == found_in(page.read_text()) == []
    assert "never a target on a horse" in " ".join(told.output.split())
    assert ET.fromstring(picture.read_text()).tag.endswith("svg")
    data = json.loads(run("press", "--aim", "20kg", "--log", str(log), "--json").stdout)
    jsonschema.validate(data, json.loads((SCHEMAS / "press.json").read_text()))
    typed = json.loads(run(*words, "--json").stdout)
    assert data["hands"] == typed["hands"]
    assert data["right_less_left_kg"] == typed["right_less_left_kg"]
    more = json.loads(
        run("press", "--aim", "20kg", "--log", str(log), "--both", "38 40", "--day", "later", "--json").stdout
    )
    assert [s["session"] for s in more["sessions"]] == ["2026-05-06", "2026-05-06", "later"]
    assert refused(*words, "--into", str(log))[0]["code"] == "CL03"
