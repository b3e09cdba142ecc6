"""The check as a whole: the shipped rules are clean, everything is told at once, and the numbers add up.

In: the shipped rules, whole and spoilt. Out: reports, exit codes, JSON.
Not here: each single mistake (test_faults), new pages (test_new_page).
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

import reasoner
from reasoner.cli import cli
from reasoner.cli.rules import RULES
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulecare.check import Report, check
from tests.asking import shipped

SCHEMA = json.loads((Path(reasoner.__file__).parent / "rendering" / "schemas" / "rules_check.json").read_text())
PINCH = shipped_rules() / "causes" / "withers_pinch.yaml"


@cache
def report() -> Report:
    return check()


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, ["rules", *words], catch_exceptions=False)


def layer(folder: Path, *changes: tuple[str, str]) -> str:
    """A layer with the shipped withers page, changed."""
    text = PINCH.read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    (folder / "causes").mkdir()
    (folder / "causes" / "withers_pinch.yaml").write_text(text, "utf-8")
    return str(folder)


def test_the_shipped_rules_are_clean() -> None:
    assert [str(p) for p in report().problems] == []
    assert report().sketches == ()


def test_the_numbers_are_those_of_the_pages() -> None:
    book, counts = shipped().book, report().counts
    assert counts["rules"] == sum(len(page.evidence) for page in book.conclusions.values())
    assert counts["concerns"] == len(list((shipped_rules() / "concerns").glob("*.yaml")))
    based = [counts[f"rules_{what}"] for what in ("published", "common_practice", "own_setting")]
    assert sum(based) == counts["rules"]
    assert all(based)


def test_exit_codes_and_json(tmp_path: Path) -> None:
    clean = run("check", "--json")
    assert clean.exit_code == 0
    told = json.loads(clean.output)
    jsonschema.validate(told, SCHEMA)
    assert told["problems"] == []
    assert told["counts"] == dict(report().counts)
    mine = layer(
        tmp_path, ("status: in trial", "status: sketch"), ("A saddle without room", "The saddler's fault. No room")
    )
    warned = run("check", "--rules", "shipped", "--rules", mine, "--json")
    assert warned.exit_code == 1
    told = json.loads(warned.output)
    jsonschema.validate(told, SCHEMA)
    assert (told["errors"], told["warnings"]) == (0, 1)
    assert told["problems"][0]["severity"] == "warning"


def test_everything_wrong_is_told_at_once_and_in_order(tmp_path: Path) -> None:
    """A word that is unknown does not hide a blank lesson or a verdict on the same page, or on another."""
    mine = layer(
        tmp_path,
        ("{clearance: touches}\n    points", "{clearence: touches}\n    points"),
        ("A saddle without room", "The horse is unsound. A saddle without room"),
        ("can_mislead: >-\n  Pressure is not pain:", "can_mislead: tbd\nlesson_too: >-\n  Pressure is not pain:"),
    )
    result = run("check", "--rules", "shipped", "--rules", mine)
    assert result.exit_code == 2
    assert "RB02" in result.output
    assert "RB52" in result.output
    page = tmp_path / "causes" / "withers_pinch.yaml"
    page.write_text(
        page.read_text().replace("lesson_too: >-", "# >-").replace("\n  Pressure is not pain:", "\n# Pressure")
    )
    told = json.loads(run("check", "--rules", "shipped", "--rules", mine, "--json").output)
    jsonschema.validate(told, SCHEMA)
    places = [(p["file"], p["line"]) for p in told["problems"]]
    assert places == sorted(places)
    assert told["complete"] is False


def test_a_page_and_a_reference_wrong_are_both_told(tmp_path: Path) -> None:
    mine = layer(
        tmp_path,
        ("{clearance: touches}\n    points", "{clearence: touches}\n    points"),
        ("A saddle without room", "The horse is unsound. A saddle without room"),
    )
    codes = [
        p["code"] for p in json.loads(run("check", "--rules", "shipped", "--rules", mine, "--json").output)["problems"]
    ]
    assert codes == ["RB11", "RB52"]


def test_what_keeps_a_rulebook_from_being_read_is_an_error_on_a_sketch_too(tmp_path: Path) -> None:
    mine = layer(tmp_path, ("status: in trial", "status: sketch"), ("[von_peinen_2010]", "[nobody_2010]"))
    result = run("check", "--rules", "shipped", "--rules", mine)
    assert result.exit_code == 2
    assert "nobody_2010" in result.output


@pytest.mark.parametrize("folder", ["nowhere", "empty", "no_scales"])
def test_a_folder_that_is_none_is_said_in_words(folder: str, tmp_path: Path) -> None:
    if folder != "nowhere":
        (tmp_path / folder).mkdir()
    if folder == "no_scales":
        (tmp_path / folder / "causes").mkdir()
        (tmp_path / folder / "causes" / "withers_pinch.yaml").write_text(PINCH.read_text("utf-8"), "utf-8")
    result = run("check", "--rules", str(tmp_path / folder))
    assert result.exit_code == 2
    assert "Traceback" not in result.output + result.stderr
    assert "RB0" in result.output + result.stderr


def test_a_practice_adds_words_and_takes_none_away(tmp_path: Path) -> None:
    (tmp_path / "scales").mkdir()
    (tmp_path / "scales" / "wording.yaml").write_text(
        "wording:\n  never:\n    - {because: is a word we left behind, words: [gullet plate]}\n  allowed: []\n", "utf-8"
    )
    mine = layer(tmp_path, ("A saddle without room", "A gullet plate, and lameness. A saddle without room"))
    told = json.loads(run("check", "--rules", "shipped", "--rules", mine, "--json").output)["problems"]
    assert sorted(p["sentence"].split('"')[1] for p in told) == ["gullet plate", "lameness"]


@pytest.mark.parametrize("name", RULES)
def test_help_has_an_example(name: str) -> None:
    result = run(name, "--help")
    assert result.exit_code == 0
    assert "Example:" in result.output
    assert f"reasoner rules {name}" in result.output


def test_it_works_from_any_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("check").exit_code == 0
