"""`reasoner rules show | book | impact` as a practitioner meets them: any folder, plain errors, whole files, JSON as promised.

In: commands. Out: what they print, write and return.
Not here: what leans on what, what changes, what the handbook holds (tests/rulecare, tests/rendering).
"""

from __future__ import annotations

import json
import os
import re
import shutil
from pathlib import Path
from typing import Any, get_args

import jsonschema
import pytest
from click.testing import CliRunner, Result

import reasoner
from reasoner.cli import cli
from reasoner.differences import KINDS
from reasoner.rendering.rules_schema import ImpactKind, Way
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulecare.leaning import WAYS

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
BRAMBLE, JUNO = str(EXAMPLES / "bramble.yaml"), str(EXAMPLES / "juno.yaml")
KEYS = (
    "withers_pinch/sore_on_this_side", "withers_pinch", "back_held_hollow", "prefers_lead", "loin_answers",
    "uneven_behind_slightly", "stirrup_trial", "fast_work_lately", "greve_dyson_2013", "withers", "temperature",
    "space_t3_t4", "fall_or_blow",
)  # fmt: skip


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, ["rules", *words], catch_exceptions=False)


def schema(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((Path(reasoner.__file__).parent / "rendering" / "schemas" / name).read_text())
    return found


@pytest.fixture
def layer(tmp_path: Path) -> Path:
    """A practice's own layer that weighs one rule anew."""
    folder = tmp_path / "our rules"
    folder.mkdir()
    (folder / "changes.yaml").write_text(
        "- {rule: withers_pinch/sore_on_this_side, points: slight, because: our saddles are tried without a pad}\n"
    )
    return folder


@pytest.mark.parametrize("name", ["show", "book", "impact"])
def test_help_has_an_example(name: str) -> None:
    result = run(name, "--help")
    assert result.exit_code == 0
    assert "Example:" in result.output
    assert f"reasoner rules {name}" in result.output
    assert name in run("--help").output


def test_the_schemas_know_every_kind_and_way() -> None:
    assert get_args(Way) == tuple(WAYS)
    assert get_args(ImpactKind) == KINDS


@pytest.mark.parametrize("key", KEYS)
def test_everything_can_be_shown_in_words_and_as_json(
    key: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    words, data = run("show", key), run("show", key, "--json")
    assert words.exit_code == data.exit_code == 0
    told = json.loads(data.output)
    jsonschema.validate(told, schema("rules_show.json"))
    assert told["key"] == key
    assert f"{told['file']}:{told['line']}" in words.output
    for lean in told["leans_on_it"]:
        if lean["way"] != "records":
            assert lean["key"] in words.output


def test_a_rule_is_shown_with_strength_reason_and_basis() -> None:
    said = " ".join(run("show", "withers_pinch/dry_or_rubbed_on_this_side_after_work").output.split())
    assert "fair (0.4)" in said
    assert "von Peinen and others 2010" in said
    assert "how sure: high" in said
    assert "rules/causes/withers_pinch.yaml:" in said


def test_cases_that_only_record_a_place_are_named_when_asked() -> None:
    assert len(run("show", "withers", "--full").output) > len(run("show", "withers").output)


def test_an_unknown_key_is_answered_with_the_nearest_word() -> None:
    result = run("show", "wither_pinch")
    assert result.exit_code == 2
    assert 'Near: "withers_pinch"' in result.stderr
    assert "Traceback" not in result.stderr
    jsonschema.validate(json.loads(run("show", "wither_pinch", "--json").stdout), schema("problems.json"))


def test_a_layer_of_ones_own_is_shown(layer: Path) -> None:
    rules = ["--rules", "shipped", "--rules", str(layer)]
    assert "slight (0.2)" in run("show", "withers_pinch/sore_on_this_side", *rules).output


def test_the_book_is_written_whole_and_only_over_itself(tmp_path: Path) -> None:
    target = tmp_path / "rules.html"
    assert run("book", "-o", str(target)).exit_code == 0
    first = target.read_text()
    assert run("book", "-o", str(target)).exit_code == 0
    assert target.read_text() == first
    notes = tmp_path / "notes.html"
    notes.write_text("my own notes")
    result = run("book", "-o", str(notes))
    assert result.exit_code == 2
    assert "CL03" in result.stderr
    assert notes.read_text() == "my own notes"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["notes.html", "rules.html"]
    assert run("book", "-o", str(tmp_path / "nowhere" / "x.html")).exit_code == 2
    told = json.loads(run("book", "-o", str(target), "--json").output)
    jsonschema.validate(told, schema("written.json"))


def test_a_book_of_rules_that_do_not_read_is_not_written(tmp_path: Path) -> None:
    (tmp_path / "r" / "causes").mkdir(parents=True)
    (tmp_path / "r" / "causes" / "bad.yaml").write_text("id: bad\nkind: cause\n")
    result = run("book", "--rules", "shipped", "--rules", str(tmp_path / "r"), "-o", str(tmp_path / "x.html"))
    assert result.exit_code == 2
    assert "bad.yaml" in result.stderr
    assert not (tmp_path / "x.html").exists()


def test_the_same_rules_change_nothing() -> None:
    result = run("impact", "--against", "shipped", BRAMBLE, JUNO)
    assert result.exit_code == 0
    assert "2 visits, 0 changed." in result.output
    assert run("impact", "--against", "shipped", "--must-agree", BRAMBLE).exit_code == 0


def test_a_change_is_told_and_fails_only_when_asked(layer: Path) -> None:
    words = ["impact", "--rules", "shipped", "--rules", str(layer), "--against", "shipped", BRAMBLE, JUNO]
    result = run(*words)
    assert result.exit_code == 0
    said = " ".join(result.output.split())
    assert re.search(r"withers pinch, left\): strong pointers \(0\.\d\d\) -> fair pointers \(0\.\d\d\)", said)
    assert "2 visits, 1 changed." in said
    assert run(*words, "--must-agree").exit_code == 3
    told = json.loads(run(*words, "--json").output)
    jsonschema.validate(told, schema("rules_impact.json"))
    assert told["summary"]["changed_by_kind"]["conclusion"] == 1
    assert [v["changed"] for v in told["visits"]] == [False, True]
    assert told["before"]["rulebase"] != told["after"]["rulebase"]


def test_without_visits_those_beside_the_rules_are_taken(tmp_path: Path, layer: Path) -> None:
    count = len(list(EXAMPLES.glob("*.yaml")))
    assert f"{count} visits" in run("impact", "--against", "shipped").output
    assert f"{count} visits" in run("impact", "--against", "shipped", str(EXAMPLES)).output
    alone = tmp_path / "alone" / "rules"
    alone.parent.mkdir()
    shutil.copytree(shipped_rules(), alone)
    result = run("impact", "--rules", str(alone), "--against", "shipped")
    assert result.exit_code == 2
    assert "CL07" in result.stderr


def test_a_visit_only_one_of_them_can_read_is_a_change(tmp_path: Path) -> None:
    own = tmp_path / "own"
    (own / "vocabulary").mkdir(parents=True)
    (own / "vocabulary" / "observations_ours.yaml").write_text(
        "observations:\n  bell_boots:\n    name: bell boots\n    section: tacked_up\n    kind: choice\n"
        "    sides: none\n    readings: {on: {}, none: {}}\n    question: Does it wear bell boots?\n    how: Look.\n"
    )
    visit = tmp_path / "v.yaml"
    visit.write_text("visit: 2026-04-18\nhorse: {name: Fennel}\ntacked up: {bell boots: on}\n")
    rules = ["--rules", "shipped", "--rules", str(own)]
    told = json.loads(run("impact", *rules, "--against", "shipped", str(visit), "--json").output)
    jsonschema.validate(told, schema("rules_impact.json"))
    (change,) = told["visits"][0]["changes"]
    assert change["kind"] == "reading"
    assert "bell boots" in change["before"]["words"]
    words = run("impact", "--against", "shipped", *rules, str(visit))
    assert "does not read" in words.output or "bell boots" in words.output


def test_a_visit_that_neither_can_read_is_refused(tmp_path: Path) -> None:
    visit = tmp_path / "v.yaml"
    visit.write_text("visit: 2026-04-18\npalpation: {withrs: {left: 4}}\n")
    result = run("impact", "--against", "shipped", str(visit))
    assert result.exit_code == 2
    assert "withers" in result.stderr
    assert run("impact", "--against", "shipped", str(tmp_path / "nothing.yaml")).exit_code == 2
    assert run("impact", "--against", str(tmp_path / "no rules"), BRAMBLE).exit_code == 2


def test_many_visits_say_how_far_it_is(tmp_path: Path) -> None:
    for number in range(25):
        (tmp_path / f"v{number}.yaml").write_text("visit: 2026-04-18\npalpation: {withers: {left: 4, right: 1}}\n")
    result = run("impact", "--against", "shipped", str(tmp_path))
    assert result.exit_code == 0
    assert "10 of 25 visits judged" in result.stderr
    assert "judged" not in result.stdout


def test_fence_into_a_folder_that_cannot_be_written_is_told_before_any_work(tmp_path: Path) -> None:
    """No folder, and a file in its place: exit code 2, no traceback, nothing written."""
    (tmp_path / "file").write_text("x")
    for place in (tmp_path / "nowhere", tmp_path / "file"):
        told = CliRunner().invoke(cli, ["rules", "fence", "loin_answers", "--into", str(place)], catch_exceptions=False)
        assert told.exit_code == 2
        assert str(place.name) in told.output
    assert sorted(p.name for p in tmp_path.iterdir()) == ["file"]


def test_a_book_is_not_written_into_a_pipe(tmp_path: Path) -> None:
    """What is no plain file is refused at once instead of waited for."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    told = CliRunner().invoke(cli, ["rules", "book", "-o", str(pipe)], catch_exceptions=False)
    assert told.exit_code == 2
    assert "CL03" in told.output or "CL04" in told.output
